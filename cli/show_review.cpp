#include "cli/show_review.hpp"

#include "base/words.hpp"
#include "cli/words.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace knockwell {
namespace {

constexpr std::uint64_t small_number = 5;  // houses or jobs

std::string houses_words(std::uint64_t count) {
    return std::to_string(count) + (count == 1 ? " house" : " houses");
}

/// Two figures that mean something: "2.1", "13", "0.42".
std::string figure(double value) {
    if (!(std::abs(value) > 0))
        return "0";
    const double scale = std::pow(10, 1 - std::floor(std::log10(std::abs(value))));
    return number(std::round(value * scale) / scale);
}

std::string cause_words(const ReviewScene& scene, std::uint32_t cause) {
    return cause_title(*scene.knowledge, scene.book->causes[cause]);
}

/// What brings the cause on, as the knowledge has it: what to ask on that road.
std::vector<std::string> worth_asking(const Knowledge& knowledge, const Cause& cause) {
    constexpr double worth_a_word = 1.5;
    std::vector<std::string> lines;
    for (const RaisedBy& raised : cause.raised_by)
        if (raised.times.value >= worth_a_word)
            lines.push_back(conditions_words(knowledge, raised.when) + " makes it " +
                            times_words(raised.times.value) + " as likely");
    return lines;
}

/// Parts of the repairs that fix it.
std::vector<std::string> parts_for(const Knowledge& knowledge, CauseId cause) {
    std::vector<std::string> parts;
    for (const Repair& repair : knowledge.repairs) {
        const bool fixes =
            std::any_of(repair.fixes.begin(), repair.fixes.end(),
                        [&](const CauseStrength& one) { return one.cause == cause; });
        for (const PartUse& use : repair.parts) {
            const std::string& title = knowledge[use.part].head.title;
            if (fixes && std::find(parts.begin(), parts.end(), title) == parts.end())
                parts.push_back(title);
        }
    }
    constexpr std::size_t most = 4;
    if (parts.size() > most)
        parts.resize(most);
    return parts;
}

void show_what_follows(Page& page, const ReviewScene& scene, const std::string& cause) {
    const Knowledge& knowledge = *scene.knowledge;
    const CauseId id = cause_named(knowledge, cause);
    if (!id.valid())
        return;
    const std::vector<std::string> asks = worth_asking(knowledge, knowledge[id]);
    if (!asks.empty())
        page.text("Look there for what brings it on: " + list_of(asks) + ".", 4, 4);
    if (const std::vector<std::string> parts = parts_for(knowledge, id); !parts.empty())
        page.text("Carry there: " + list_of(parts) + ".", 4, 4);
}

void show_cell(Page& page, const ReviewScene& scene, const AreaReview& review,
               const AreaCell& cell) {
    const double ratio = static_cast<double>(cell.observed) / cell.expected;
    page.text(area_title(scene.book->areas[cell.area]) + ": " + cause_words(scene, cell.cause) +
                  ", " + times_words(ratio) + " as often as the installations there explain.",
              4, 2);
    page.text(houses_words(cell.observed) + ", " + figure(cell.expected) +
                  " expected; if that road were like the rest, so many or more would come about " +
                  once_in(cell.p) + ".",
              4, 4);
    if (cell.observed < small_number)
        page.text("That is a small number: one house more or less changes it much.", 4, 4);
    page.text("Between " + figure(cell.limits.low) + " and " + times_words(cell.limits.high) +
                  " as often (95 %); drawn towards the other roads, " + times_words(cell.shrunk) +
                  ". Chance after all that was looked at: " + percent(cell.adjusted) + ".",
              4, 4);
    if (const auto& allowed = review.allowed_for.at(cell.cause); !allowed.empty())
        page.text("Allowed for: " + list_of(allowed) + ", where they were written down.", 4, 4);
    if (cell.guessed > 0)
        page.text("In " + std::to_string(cell.guessed) + " of them it was only guessed.", 4, 4);
    show_what_follows(page, scene, scene.book->causes[cell.cause]);
    page.gap();
}

template <class Finding>
std::vector<Finding> named(const ReviewScene& scene, const std::vector<Finding>& all) {
    std::vector<Finding> found;
    for (const Finding& one : all)
        if (one.adjusted <= scene.false_share)
            found.push_back(one);
    return found;
}

void show_cut(Page& page, std::size_t shown, std::size_t all) {
    if (shown < all)
        page.text("And " + std::to_string(all - shown) + " more; see --most and --json.");
}

std::string month_words(int month) {
    const std::string which = std::to_string(month % 12 + 1);
    return std::to_string(month / 12) + "-" + std::string(2 - which.size(), '0') + which;
}

std::string season_words(int first_month) {
    constexpr std::array quarters = {"January to March", "April to June", "July to September",
                                     "October to December"};
    return quarters.at(static_cast<std::size_t>((first_month - 1) / 3));
}

std::string trend_words(const Trend& trend) {
    const double ratio = static_cast<double>(trend.observed) / trend.expected;
    switch (trend.kind) {
    case TrendKind::rise:
        return "more from year to year; in the last one " + times_words(ratio) +
               " as often as over all years";
    case TrendKind::season:
        return times_words(ratio) + " as often from " + season_words(trend.from) +
               " as over the whole year";
    case TrendKind::outbreak:
        return times_words(ratio) + " as often as usual " +
               (trend.from == trend.to
                    ? "in " + month_words(trend.from)
                    : "from " + month_words(trend.from) + " to " + month_words(trend.to));
    }
    return {};
}

std::string by_year_words(const Trend& trend) {
    std::vector<std::string> years;
    for (std::size_t i = 0; i < trend.by_year.size(); ++i)
        years.push_back(std::to_string(trend.by_year[i]) + " (" +
                        figure(trend.expected_by_year[i]) + ")");
    return list_of(years);
}

void show_trend(Page& page, const ReviewScene& scene, const Trend& trend) {
    page.text(cause_words(scene, trend.cause) + ": " + trend_words(trend) + ".", 4, 2);
    page.text(std::to_string(trend.observed) + (trend.observed == 1 ? " job, " : " jobs, ") +
                  figure(trend.expected) + " expected of " + std::to_string(trend.all) +
                  "; if nothing changed with time, the like would come about " + once_in(trend.p) +
                  ".",
              4, 4);
    if (trend.observed < small_number)
        page.text("That is a small number: one job more or less changes it much.", 4, 4);
    if (trend.by_year.size() > 1)
        page.text("Year by year, the last one last (expected): " + by_year_words(trend) + ".", 4,
                  4);
    page.text("Chance after all that was looked at: " + percent(trend.adjusted) + ".", 4, 4);
    page.gap();
}

std::string promise(const ReviewScene& scene) {
    return "Of those named here, about " + percent(scene.false_share) +
           " at most are expected to be chance.";
}

}  // namespace

std::string area_title(const std::string& code) {
    std::string title;
    bool begins = true;
    for (const char c : code) {
        title += c == '-' ? ' ' : begins && c >= 'a' && c <= 'z' ? static_cast<char>(c - 32) : c;
        begins = c == '-';
    }
    return title.empty() ? "(no area)" : title;
}

std::string once_in(double p) {
    if (!(p > 1e-6))
        return "once in more than a million";
    return p >= 1 ? "every time" : "once in " + figure(1 / p);
}

std::string times_words(double ratio) { return figure(ratio) + " times"; }

void show_areas(Page& page, const ReviewScene& scene, const AreaReview& review) {
    page.text(std::to_string(review.jobs) + " closed jobs, " + houses_words(review.houses) +
              " with a confirmed cause; " + std::to_string(review.tested) +
              " pairs of road and cause were looked at.");
    if (review.without_cause > 0)
        page.text(std::to_string(review.without_cause) +
                  " of the jobs confirmed no cause and say nothing here.");
    page.gap();
    const std::vector<AreaCell> found = named(scene, review.cells);
    if (found.empty()) {
        page.text("No cause recurs on one road more than its installations and chance explain.");
        return;
    }
    page.heading("WHAT RECURS WHERE");
    const std::size_t shown = std::min(scene.most, found.size());
    for (std::size_t i = 0; i < shown; ++i)
        show_cell(page, scene, review, found[i]);
    show_cut(page, shown, found.size());
    page.text(promise(scene) + " It says where something recurs, not why.");
}

void show_causes(Page& page, const ReviewScene& scene, const CauseReview& review) {
    page.text(std::to_string(review.jobs) + " closed jobs in " + figure(review.years) + " years; " +
              std::to_string(review.without_cause) + " confirmed no cause.");
    page.gap();
    const std::size_t shown = std::min(scene.most, review.lines.size());
    for (std::size_t i = 0; i < shown; ++i) {
        const CauseLine& line = review.lines[i];
        page.row(cause_words(scene, line.cause) + " (" + scene.book->causes[line.cause] + ")",
                 std::to_string(line.jobs) + (line.jobs == 1 ? " job" : " jobs"), 2, 0);
        std::string words = houses_words(line.houses) + ", " + figure(line.per_year) +
                            " a year (between " + figure(line.limits.low) + " and " +
                            figure(line.limits.high) + ")";
        if (line.again > 0)
            words += "; " + std::to_string(line.again) + " at a house that had it before";
        if (line.call_backs > 0)
            words += "; " + std::to_string(line.call_backs) +
                     (line.call_backs == 1 ? " was a call-back" : " were call-backs");
        if (line.guessed > 0)
            words += "; " + std::to_string(line.guessed) + " only guessed";
        if (line.minutes > 0)
            words += "; " + minutes_words(line.minutes) + " each";
        page.text(words + ".", 2, 2);
    }
    show_cut(page, shown, review.lines.size());
}

void show_time(Page& page, const ReviewScene& scene, const TimeReview& review) {
    if (review.jobs == 0) {
        page.text("No job is closed yet.");
        return;
    }
    page.text(std::to_string(review.jobs) + " closed jobs from " +
              month_words(month_of(review.first)) + " to " + month_words(month_of(review.last)) +
              "; " + std::to_string(review.tested) + " trends were looked for.");
    page.gap();
    const std::vector<Trend> found = named(scene, review.trends);
    if (found.empty()) {
        page.text("No cause rises, keeps to a season or broke out more than chance explains.");
        return;
    }
    page.heading("WHAT CHANGES WITH TIME");
    const std::size_t shown = std::min(scene.most, found.size());
    for (std::size_t i = 0; i < shown; ++i)
        show_trend(page, scene, found[i]);
    show_cut(page, shown, found.size());
    page.text(promise(scene));
}

}  // namespace knockwell
