#include "review/areas.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace knockwell {
namespace {

constexpr std::array kinds_of_installation = {"pump", "source", "drive"};

/// A house as all its jobs together show it.
struct House {
    std::uint32_t area = 0;
    std::vector<std::uint32_t> settings;   // "pump=submersible", the last that was said
    std::map<std::uint32_t, bool> causes;  // -> whether it was ever more than guessed
};

std::string_view setting_name(const std::string& text) {
    return std::string_view(text).substr(0, text.find('='));
}

/// Later jobs know better.
void learn_settings(const ShopBook& book, const Visit& visit, House& house) {
    for (const std::uint32_t said : book.settings_of(visit)) {
        const std::string_view name = setting_name(book.settings[said]);
        const auto same =
            std::find_if(house.settings.begin(), house.settings.end(), [&](std::uint32_t one) {
                return setting_name(book.settings[one]) == name;
            });
        if (same == house.settings.end())
            house.settings.push_back(said);
        else
            *same = said;
    }
}

std::vector<House> houses_of(const ShopBook& book, AreaReview& review) {
    std::vector<House> houses(book.installations.size());
    std::vector<bool> seen(houses.size(), false);
    for (const std::uint32_t i : book.in_time()) {
        const Visit& visit = book.visits()[i];
        ++review.jobs;
        if (visit.causes == 0) {
            ++review.without_cause;
            continue;
        }
        House& house = houses[visit.installation];
        house.area = visit.area;
        seen[visit.installation] = true;
        learn_settings(book, visit, house);
        for (const std::uint32_t cause : book.causes_of(visit)) {
            bool& sure = house.causes[cause];
            sure = sure || visit.sure;
        }
    }
    std::vector<House> found;
    for (std::size_t i = 0; i < houses.size(); ++i)
        if (seen[i])
            found.push_back(std::move(houses[i]));
    review.houses = found.size();
    return found;
}

/// For every house the number of its mix of those settings; what was never said is a value too.
std::vector<std::uint32_t> strata(const ShopBook& book, const std::vector<House>& houses,
                                  const std::vector<std::string>& by, std::size_t& count) {
    std::map<std::vector<std::uint32_t>, std::uint32_t> numbers;
    std::vector<std::uint32_t> of;
    of.reserve(houses.size());
    std::vector<std::size_t> place(book.settings.size(),
                                   by.size());  // setting text -> place in `by`
    for (std::uint32_t text = 0; text < book.settings.size(); ++text)
        place[text] = static_cast<std::size_t>(
            std::find(by.begin(), by.end(), setting_name(book.settings[text])) - by.begin());
    for (const House& house : houses) {
        std::vector<std::uint32_t> mix(by.size(), 0);
        for (const std::uint32_t said : house.settings)
            if (place[said] < by.size())
                mix[place[said]] = said + 1;
        const auto number = static_cast<std::uint32_t>(numbers.size());
        of.push_back(numbers.emplace(std::move(mix), number).first->second);
    }
    count = numbers.size();
    return of;
}

/// Every area's cells of one cause.
void add_cells(const std::vector<House>& houses, const std::vector<std::uint32_t>& stratum,
               std::size_t strata_count, std::size_t areas, std::uint32_t cause, AreaReview& review,
               std::vector<AreaCell>& cells) {
    std::vector<double> had(strata_count, 0);
    std::vector<double> all(strata_count, 0);
    std::vector<AreaCell> of(areas);
    for (std::size_t i = 0; i < houses.size(); ++i) {
        ++all[stratum[i]];
        const auto found = houses[i].causes.find(cause);
        if (found == houses[i].causes.end())
            continue;
        ++had[stratum[i]];
        ++of[houses[i].area].observed;
        of[houses[i].area].guessed += found->second ? 0U : 1U;
    }
    for (std::size_t i = 0; i < houses.size(); ++i)
        of[houses[i].area].expected += had[stratum[i]] / all[stratum[i]];
    for (std::uint32_t area = 0; area < areas; ++area) {
        AreaCell& cell = of[area];
        // Where nothing else could have it but this area, there is nothing to compare with.
        if (!(cell.expected > 0))
            continue;
        cell.area = area;
        cell.cause = cause;
        cell.p = poisson_at_least(cell.observed, cell.expected);
        ++review.tested;
        cells.push_back(cell);
    }
}

std::vector<std::string> names_of(const Knowledge& knowledge, const std::string& cause) {
    std::vector<std::string> names;
    // Other kinds of installation call for other reasons, so that every cause's share differs.
    for (const char* kind : kinds_of_installation)
        if (setting_named(knowledge, kind).valid())
            names.emplace_back(kind);
    const CauseId id = cause_named(knowledge, cause);
    if (!id.valid())
        return names;
    for (const SettingId setting : settings_that_bear_on(knowledge[id])) {
        const std::string& name = knowledge[setting].head.id;
        if (!knowledge[setting].table && std::find(names.begin(), names.end(), name) == names.end())
            names.push_back(name);
    }
    return names;
}

}  // namespace

std::vector<SettingId> settings_that_bear_on(const Cause& cause) {
    std::vector<SettingId> found;
    const auto add = [&](const Conditions& conditions) {
        for (const Condition& one : conditions)
            if (std::find(found.begin(), found.end(), one.setting) == found.end())
                found.push_back(one.setting);
    };
    add(cause.only_if);
    for (const RaisedBy& raised : cause.raised_by)
        add(raised.when);
    return found;
}

AreaReview review_areas(const ShopBook& book, const Knowledge& knowledge) {
    AreaReview review;
    const std::vector<House> houses = houses_of(book, review);
    std::vector<AreaCell> cells;
    // Causes on which the same settings bear share their strata.
    std::map<std::vector<std::string>, std::pair<std::vector<std::uint32_t>, std::size_t>> mixes;
    for (std::uint32_t cause = 0; cause < book.causes.size(); ++cause) {
        const std::vector<std::string> by = names_of(knowledge, book.causes[cause]);
        auto mix = mixes.find(by);
        if (mix == mixes.end()) {
            std::size_t count = 0;
            auto of = strata(book, houses, by, count);
            mix = mixes.emplace(by, std::pair(std::move(of), count)).first;
        }
        review.allowed_for[cause] = by;
        add_cells(houses, mix->second.first, mix->second.second, book.areas.size(), cause, review,
                  cells);
    }
    if (cells.empty())
        return review;
    std::vector<double> p;
    std::vector<std::uint64_t> observed;
    std::vector<double> expected;
    for (const AreaCell& cell : cells) {
        p.push_back(cell.p);
        observed.push_back(cell.observed);
        expected.push_back(cell.expected);
    }
    const std::vector<double> adjusted = false_discovery(p);
    review.spread = fit_gamma(observed, expected);
    for (std::size_t i = 0; i < cells.size(); ++i) {
        cells[i].adjusted = adjusted[i];
        cells[i].shrunk = shrunk_ratio(review.spread, cells[i].observed, cells[i].expected);
        const Limits limits = poisson_limits(cells[i].observed);
        cells[i].limits = {limits.low / cells[i].expected, limits.high / cells[i].expected};
        if (cells[i].observed > 0)
            review.cells.push_back(cells[i]);
    }
    std::stable_sort(review.cells.begin(), review.cells.end(),
                     [](const AreaCell& a, const AreaCell& b) { return a.p < b.p; });
    return review;
}

}  // namespace knockwell
