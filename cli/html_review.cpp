#include "cli/html_review.hpp"

#include "base/same_road.hpp"
#include "base/words.hpp"
#include "cli/review_words.hpp"
#include "cli/words.hpp"

#include <algorithm>
#include <set>

namespace knockwell {
namespace {

std::string pair_words(const ReviewScene& scene, const AreaCell& cell) {
    return area_title(scene.book->areas[cell.area]) + ": " + cause_words(scene, cell.cause);
}

std::string from_to(const Limits& limits) {
    return figure(limits.low) + " to " + figure(limits.high);
}

/// The first sentence as a heading, the others below it.
void put_sentences(HtmlPage& page, const std::vector<std::string>& lines) {
    page.heading(lines.front());
    for (std::size_t i = 1; i < lines.size(); ++i)
        page.text(lines[i]);
}

void put_cells(HtmlPage& page, const ReviewScene& scene, const AreaReview& review) {
    const std::size_t shown = std::min(scene.most, review.cells.size());
    if (shown == 0)
        return;
    HtmlTable table{
        "The " + counted(shown, "pair") + " of road and cause that chance explains least; of " +
            std::to_string(review.tested) + " looked at",
        {"Road and cause", "Houses", "Expected", "Times as often", "95 %",
         "Drawn towards the others", "95 % when drawn", "Chance after all was looked at", "Named"},
        {}};
    std::vector<PlotRow> rows;
    for (std::size_t i = 0; i < shown; ++i) {
        const AreaCell& cell = review.cells[i];
        const double ratio = static_cast<double>(cell.observed) / cell.expected;
        table.rows.push_back(
            {pair_words(scene, cell), std::to_string(cell.observed), figure(cell.expected),
             figure(ratio), from_to(cell.limits), figure(cell.shrunk), from_to(cell.shrunk_limits),
             chance_words(cell.adjusted), cell.adjusted <= scene.false_share ? "yes" : "no"});
        rows.push_back({pair_words(scene, cell), ratio, cell.limits.low, cell.limits.high});
    }
    page.plot(ratios_plot("areas",
                          "Times as often as the installations there explain, with 95 % "
                          "limits; the stroke marks as often as expected",
                          rows, "times as often"));
    page.table(table);
}

/// Codes of the shop's own list of places that stand in no job: mistyped, or not driven to yet.
std::vector<std::string> places_without_a_job(const ReviewScene& scene) {
    std::set<std::string> driven_to;
    for (std::uint32_t area = 0; area < scene.book->areas.size(); ++area)
        driven_to.insert(same_road(scene.book->areas[area]));
    std::vector<std::string> codes;
    for (const auto& [code, where] : *scene.places)
        if (!driven_to.contains(same_road(code)))
            codes.push_back(code);
    constexpr std::size_t most_told = 20;
    if (codes.size() > most_told) {
        const std::size_t more = codes.size() - most_told;
        codes.resize(most_told);
        codes.push_back(std::to_string(more) + " more");
    }
    return codes;
}

/// Only where the shop says where its roads lie.
void put_map(HtmlPage& page, const ReviewScene& scene, const std::vector<AreaCell>& found) {
    if (scene.places == nullptr)
        return;
    page.heading("Where the roads lie");
    Places by_road;  // a road may be spelled otherwise there
    for (const auto& [code, where] : *scene.places)
        by_road.emplace(same_road(code), where);
    std::vector<PlacedSpot> spots;
    std::vector<std::string> nowhere;
    for (std::uint32_t area = 0; area < scene.book->areas.size(); ++area) {
        const std::string& code = scene.book->areas[area];
        if (code.empty())
            continue;  // these jobs are left out
        const auto place = by_road.find(same_road(code));
        if (place == by_road.end()) {
            nowhere.push_back(area_title(code));
            continue;
        }
        const auto count = static_cast<std::uint64_t>(std::count_if(
            found.begin(), found.end(), [&](const AreaCell& cell) { return cell.area == area; }));
        spots.push_back({area_title(code) + (count > 0 ? ": " + std::to_string(count) : ""),
                         place->second.east, place->second.north, static_cast<double>(count)});
    }
    if (!spots.empty())
        page.plot(
            map_plot("map", "The roads, and how many causes recur there; hollow: none", spots));
    if (!nowhere.empty())
        page.text("No place was given for " + list_of(nowhere) + ".");
    if (const auto codes = places_without_a_job(scene); !codes.empty())
        page.text("Places were given whose code no closed job has as its area: " + list_of(codes) +
                  ".");
}

void put_areas(HtmlPage& page, const ReviewScene& scene, const AreaReview& review) {
    page.section("areas", "What recurs where");
    if (review.jobs == 0)
        return page.text(no_closed_job(scene));
    for (const std::string& line : opening_words(review))
        page.text(line);
    const std::vector<AreaCell> found = named(scene, review.cells);
    if (found.empty())
        page.text("No cause recurs on one road more than its installations and chance explain.");
    else
        page.text(promise(scene) + " It says where something recurs, not why.");
    put_cells(page, scene, review);
    put_map(page, scene, found);
    for (std::size_t i = 0; i < std::min(scene.most, found.size()); ++i)
        put_sentences(page, cell_sentences(scene, review, found[i]));
    for (const std::string& line : alone_words(scene, review))
        page.text(line);
}

/// Of how many jobs, where it is not of all.
std::string timed_words(const CauseLine& line) {
    if (line.timed == 0)
        return {};
    return minutes_words(line.minutes) +
           (line.timed < line.jobs ? " (of " + counted(line.timed, "job") + ")" : "");
}

void put_causes(HtmlPage& page, const ReviewScene& scene, const CauseReview& review) {
    page.section("causes", "Cause by cause");
    page.text(opening_words(scene, review));
    const std::size_t shown = std::min(scene.most, review.lines.size());
    if (shown == 0)
        return;
    const bool yearly = review.by_the_year();
    HtmlTable table{"The " + counted(shown, "cause") + " with the most jobs; of " +
                        std::to_string(review.lines.size()),
                    {"Cause", "Jobs", yearly ? "Jobs a year" : "Jobs in all", "95 %", "Houses",
                     "At a house that had it before", "Call-backs", "Only guessed", "Time each"},
                    {}};
    std::vector<PlotRow> rows;
    for (std::size_t i = 0; i < shown; ++i) {
        const CauseLine& line = review.lines[i];
        table.rows.push_back({cause_words(scene, line.cause), std::to_string(line.jobs),
                              figure(line.rate), from_to(line.limits), std::to_string(line.houses),
                              std::to_string(line.again), std::to_string(line.call_backs),
                              std::to_string(line.guessed), timed_words(line)});
        rows.push_back(
            {cause_words(scene, line.cause), line.rate, line.limits.low, line.limits.high});
    }
    page.plot(bars_plot("causes",
                        yearly ? "Jobs a year of each cause, with 95 % limits"
                               : "Jobs of each cause, with 95 % limits",
                        rows, yearly ? "jobs a year" : "jobs"));
    page.table(table);
    page.text(jobs_behind_a_line(scene, review));
}

void put_trend(HtmlPage& page, const ReviewScene& scene, const TimeReview& review,
               const Trend& trend, std::size_t number) {
    put_sentences(page, trend_sentences(scene, trend));
    const std::size_t years = trend.by_year.size();
    if (years < 2)
        return;
    HtmlTable table{"Jobs year by year: " + cause_words(scene, trend.cause),
                    {"Year that ended in", "Jobs", "Expected"},
                    {}};
    std::vector<std::string> periods;
    const std::vector<double> counts(trend.by_year.begin(), trend.by_year.end());
    for (std::size_t i = 0; i < years; ++i) {
        periods.push_back(
            month_words(month_of(review.last) - 12 * static_cast<int>(years - 1 - i)));
        table.rows.push_back(
            {periods.back(), std::to_string(trend.by_year[i]), figure(trend.expected_by_year[i])});
    }
    // Letters only, one a trend.
    std::string name = "time";
    for (std::size_t rest = number + 1; rest > 0; rest /= 26)
        name += static_cast<char>('a' + rest % 26);
    page.plot(years_plot(
        name, "Jobs in each year that ended in the month below: " + cause_words(scene, trend.cause),
        periods, counts, trend.expected_by_year));
    page.table(table);
}

void put_time(HtmlPage& page, const ReviewScene& scene, const TimeReview& review) {
    page.section("time", "What changes with time");
    if (review.jobs == 0) {
        page.text(no_closed_job(scene));
        return;
    }
    page.text(opening_words(review));
    const std::vector<Trend> found = named(scene, review.trends);
    page.text(found.empty()
                  ? "No cause rises, keeps to a season or broke out more than chance explains."
                  : promise(scene));
    for (std::size_t i = 0; i < std::min(scene.most, found.size()); ++i)
        put_trend(page, scene, review, found[i], i);
}

}  // namespace

HtmlPage review_page(const ReviewScene& scene, const ReviewAnswers& answers) {
    HtmlPage page("What the shop's jobs show");
    page.text(scope_words(scene));
    if (answers.areas)
        put_areas(page, scene, *answers.areas);
    if (answers.causes)
        put_causes(page, scene, *answers.causes);
    if (answers.time)
        put_time(page, scene, *answers.time);
    if (answers.numbers)
        put_numbers(page, scene, *answers.numbers);
    return page;
}

}  // namespace knockwell
