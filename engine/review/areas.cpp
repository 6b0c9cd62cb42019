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
    std::vector<std::uint32_t> settings;  // "pump=submersible", the last that was said
    std::vector<std::pair<std::uint32_t, bool>>
        causes;  // and whether it was ever more than guessed
};

std::string setting_name(const std::string& text) { return text.substr(0, text.find('=')); }

/// For every text of a setting the number of its name.
std::vector<std::uint32_t> setting_names(const ShopBook& book) {
    Names names;
    std::vector<std::uint32_t> of;
    for (std::uint32_t text = 0; text < book.settings.size(); ++text)
        of.push_back(names.number_of(setting_name(book.settings[text])));
    return of;
}

/// Later jobs know better.
void learn_settings(const ShopBook& book, const std::vector<std::uint32_t>& name,
                    const Visit& visit, House& house) {
    for (const std::uint32_t said : book.settings_of(visit)) {
        const auto same = std::find_if(house.settings.begin(), house.settings.end(),
                                       [&](std::uint32_t one) { return name[one] == name[said]; });
        if (same == house.settings.end())
            house.settings.push_back(said);
        else
            *same = said;
    }
}

void learn_cause(House& house, std::uint32_t cause, bool sure) {
    const auto there = std::find_if(house.causes.begin(), house.causes.end(),
                                    [&](const auto& one) { return one.first == cause; });
    if (there == house.causes.end())
        house.causes.emplace_back(cause, sure);
    else
        there->second = there->second || sure;
}

std::vector<House> houses_of(const ShopBook& book, AreaReview& review) {
    std::vector<House> houses(book.installations.size());
    std::vector<bool> seen(houses.size(), false);
    const std::vector<std::uint32_t> name = setting_names(book);
    for (const std::uint32_t i : book.in_time()) {
        const Visit& visit = book.visits()[i];
        ++review.jobs;
        if (book.areas[visit.area].empty()) {
            ++review.without_area;
            continue;
        }
        if (visit.causes == 0) {
            ++review.without_cause;
            continue;
        }
        House& house = houses[visit.installation];
        house.area = visit.area;
        seen[visit.installation] = true;
        learn_settings(book, name, visit, house);
        for (const auto& [cause, sure] : book.causes_of(visit))
            learn_cause(house, cause, sure);
    }
    std::vector<House> found;
    for (std::size_t i = 0; i < houses.size(); ++i)
        if (seen[i])
            found.push_back(std::move(houses[i]));
    review.houses = found.size();
    return found;
}

/// Houses with one mix of settings in one area.
struct Crowd {
    std::uint32_t area = 0;
    std::uint32_t stratum = 0;
    double houses = 0;
};

/// The houses sorted by some settings; what was never said is a value too.
struct Strata {
    std::vector<std::uint32_t> of;  // [house]
    std::vector<double> houses;     // [stratum]
    std::vector<bool> alone;        // [stratum] whether all its houses are in one area
    std::vector<Crowd> crowds;      // by area, then stratum
};

Strata sorted_by(const ShopBook& book, const std::vector<House>& houses,
                 const std::vector<std::string>& by) {
    std::vector<std::size_t> place;  // setting text -> place in `by`, or behind it
    for (std::uint32_t text = 0; text < book.settings.size(); ++text)
        place.push_back(static_cast<std::size_t>(
            std::find(by.begin(), by.end(), setting_name(book.settings[text])) - by.begin()));
    std::map<std::vector<std::uint32_t>, std::uint32_t> numbers;
    Strata strata;
    strata.of.reserve(houses.size());
    std::map<std::pair<std::uint32_t, std::uint32_t>, double> crowds;
    std::vector<std::uint32_t> mix;
    for (const House& house : houses) {
        mix.assign(by.size(), 0);
        for (const std::uint32_t said : house.settings)
            if (place[said] < by.size())
                mix[place[said]] = said + 1;
        const auto stratum =
            numbers.emplace(mix, static_cast<std::uint32_t>(numbers.size())).first->second;
        strata.of.push_back(stratum);
        strata.houses.resize(numbers.size(), 0);
        ++strata.houses[stratum];
        ++crowds[{house.area, stratum}];
    }
    strata.alone.resize(numbers.size(), false);
    for (const auto& [where, count] : crowds) {
        strata.crowds.push_back({where.first, where.second, count});
        if (count == strata.houses[where.second])
            strata.alone[where.second] = true;
    }
    return strata;
}

/// For every cause the houses that had it, and whether it was ever more than guessed there.
std::vector<std::vector<std::pair<std::uint32_t, bool>>>
houses_by_cause(const std::vector<House>& houses, std::size_t causes) {
    std::vector<std::vector<std::pair<std::uint32_t, bool>>> by(causes);
    for (std::uint32_t i = 0; i < houses.size(); ++i)
        for (const auto& [cause, sure] : houses[i].causes)
            by[cause].emplace_back(i, sure);
    return by;
}

/// Every area's cells of one cause.
void add_cells(const std::vector<House>& houses, const Strata& strata, std::size_t areas,
               std::uint32_t cause, const std::vector<std::pair<std::uint32_t, bool>>& had_it,
               AreaReview& review, std::vector<AreaCell>& cells) {
    std::vector<double> had(strata.houses.size(), 0);
    std::vector<AreaCell> of(areas);
    for (const auto& [house, sure] : had_it) {
        ++had[strata.of[house]];
        AreaCell& cell = of[houses[house].area];
        ++cell.observed;
        cell.guessed += sure ? 0U : 1U;
        cell.alone += strata.alone[strata.of[house]] ? 1U : 0U;
    }
    for (const Crowd& crowd : strata.crowds)
        of[crowd.area].expected += crowd.houses * had[crowd.stratum] / strata.houses[crowd.stratum];
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
    const auto had_it = houses_by_cause(houses, book.causes.size());
    // Causes on which the same settings bear share their strata.
    std::map<std::vector<std::string>, Strata> mixes;
    for (std::uint32_t cause = 0; cause < book.causes.size(); ++cause) {
        const std::vector<std::string> by = names_of(knowledge, book.causes[cause]);
        auto mix = mixes.find(by);
        if (mix == mixes.end())
            mix = mixes.emplace(by, sorted_by(book, houses, by)).first;
        review.allowed_for[cause] = by;
        add_cells(houses, mix->second, book.areas.size(), cause, had_it[cause], review, cells);
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
        cells[i].shrunk_limits = shrunk_limits(review.spread, cells[i].observed, cells[i].expected);
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
