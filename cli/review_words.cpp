#include "cli/review_words.hpp"

#include "base/words.hpp"
#include "cli/words.hpp"
#include "job/time_text.hpp"
#include "knowledge/alike.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace knockwell {
namespace {

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

/// How likely `repair` cures `cause`; nothing where it does not, or fits nowhere where that can be.
double cures(const Knowledge& knowledge, const Repair& repair, CauseId cause) {
    if (exclude_each_other(knowledge[cause].only_if, repair.step.only_if))
        return 0;
    double best = 0;
    for (const CauseStrength& one : repair.fixes)
        if (one.cause == cause)
            best = std::max(best, one.strength.count.mean());
    return best;
}

/// Repairs that cure it, the surest first.
std::vector<const Repair*> cures_of(const Knowledge& knowledge, CauseId cause) {
    std::vector<std::pair<double, const Repair*>> ranked;
    for (const Repair& repair : knowledge.repairs)
        if (const double sure = cures(knowledge, repair, cause); sure > 0)
            ranked.emplace_back(sure, &repair);
    std::stable_sort(ranked.begin(), ranked.end(),
                     [](const auto& a, const auto& b) { return a.first > b.first; });
    std::vector<const Repair*> repairs;
    for (const auto& [sure, repair] : ranked)
        repairs.push_back(repair);
    return repairs;
}

/// All that one repair needs; a title with a comma in it stands in quotes, to be told as one.
std::string parts_words(const Knowledge& knowledge, const Repair& repair) {
    std::vector<std::string> titles;
    for (const PartUse& use : repair.parts) {
        const std::string& title = knowledge[use.part].head.title;
        titles.push_back(title.find(',') == std::string::npos ? title : "'" + title + "'");
    }
    return list_of(titles);
}

/// What the surest repair needs, and the next one that needs other parts: whoever has not all of a
/// set carries it in vain. Empty where nothing is needed.
std::string carry_words(const Knowledge& knowledge, CauseId cause) {
    std::vector<std::string> sets;
    std::size_t more = 0;
    for (const Repair* repair : cures_of(knowledge, cause)) {
        const std::string parts = parts_words(knowledge, *repair);
        // With nothing to carry it says something only where it is the surest.
        if (parts.empty() && !sets.empty())
            continue;
        const std::string of = "'" + repair->step.head.title + "'";
        std::string set = parts.empty()  ? "nothing for " + of
                          : sets.empty() ? parts
                                         : "or for " + of + ": " + parts;
        constexpr std::size_t most = 2;
        if (sets.size() < most)
            sets.push_back(std::move(set));
        else
            ++more;
    }
    if (sets.empty() || (sets.size() == 1 && sets.front().starts_with("nothing for ")))
        return {};
    std::string words = sets.front();
    if (sets.size() > 1)
        words += "; " + sets.back();
    return more == 0 ? words : words + "; and " + counted(more, "more repair") + " with parts";
}

/// Without width where the roads differ no more than chance lets them.
std::string drawn_limits(const Limits& limits) {
    return limits.low < limits.high ? figure(limits.low) + " to " + figure(limits.high)
                                    : "all roads alike";
}

/// Of the two ratios of a road. The one that is drawn takes every road to be one of a kind, which a
/// road with a trouble of its own is not.
std::string which_to_believe(const AreaCell& cell) {
    return cell.shrunk_limits.high < cell.limits.low
               ? "so unlike the others is this road that the first is nearer to the truth"
               : "plan by the second, for this road was picked out of many";
}

std::vector<std::string> setting_titles(const Knowledge& knowledge,
                                        const std::vector<std::string>& names) {
    std::vector<std::string> titles;
    for (const std::string& name : names) {
        const SettingId id = setting_named(knowledge, name);
        titles.push_back(id.valid() ? knowledge[id].head.title : name);
    }
    return titles;
}

std::string season_words(int first_month) {
    constexpr std::array quarters = {"January to March", "April to June", "July to September",
                                     "October to December"};
    return quarters.at(static_cast<std::size_t>((first_month - 1) / 3));
}

/// When to look and what to carry then.
std::string when_words(const Trend& trend) {
    switch (trend.kind) {
    case TrendKind::rise:
        return "now";
    case TrendKind::season:
        return "in that season";
    case TrendKind::outbreak:
        return "at such a time";
    }
    return {};
}

std::string closed_jobs(std::uint64_t count) { return counted(count, "closed job"); }

std::string by_year_words(const Trend& trend) {
    std::vector<std::string> years;
    for (std::size_t i = 0; i < trend.by_year.size(); ++i)
        years.push_back(std::to_string(trend.by_year[i]) + " (" +
                        figure(trend.expected_by_year[i]) + ")");
    return list_of(years);
}

}  // namespace

std::string figure(double value) {
    if (!(std::abs(value) > 0))
        return "0";
    const double scale = std::pow(10, 1 - std::floor(std::log10(std::abs(value))));
    return number(std::round(value * scale) / scale);
}

std::string houses_words(std::uint64_t count) { return counted(count, "house"); }

std::string each_minutes_words(const CauseLine& line) {
    std::string each = minutes_words(line.minutes) + " each";
    if (line.timed == line.jobs)
        return each;
    return each + (line.timed == 1 ? " in the one job that says"
                                   : " in the " + std::to_string(line.timed) + " jobs that say");
}

std::string cause_words(const ReviewScene& scene, std::uint32_t cause) {
    const std::string& id = scene.book->causes[cause];
    return cause_named(*scene.knowledge, id).valid() ? cause_title(*scene.knowledge, id)
                                                     : "Not in this knowledge: " + id;
}

std::string month_words(int month) {
    const std::string which = std::to_string(month % 12 + 1);
    return std::to_string(month / 12) + "-" + std::string(2 - which.size(), '0') + which;
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

std::vector<std::string> what_follows(const Knowledge& knowledge, const std::string& cause,
                                      const std::string& where) {
    std::vector<std::string> lines;
    const CauseId id = cause_named(knowledge, cause);
    if (!id.valid())
        return lines;
    const std::vector<std::string> asks = worth_asking(knowledge, knowledge[id]);
    lines.push_back(asks.empty()
                        ? "The knowledge names nothing that brings it on: ask what those houses "
                          "have in common, such as who put it in, and when."
                        : "Look " + where + " for what brings it on: " + list_of(asks) + ".");
    if (const std::string parts = carry_words(knowledge, id); !parts.empty())
        lines.push_back("Carry " + where + ": " + parts + ".");
    return lines;
}

std::string promise(const ReviewScene& scene) {
    return "Of those named here, about " + percent(scene.false_share) +
           " at most are expected to be chance.";
}

std::string area_title(const std::string& code) {
    std::string title;
    bool begins = true;
    for (const char c : code) {
        title += c == '-' ? ' ' : begins && c >= 'a' && c <= 'z' ? static_cast<char>(c - 32) : c;
        begins = c == '-';
    }
    return title.empty() ? "(no area)" : title;
}

std::string chance_words(double p) { return percent(std::max(p, 1e-9)); }

std::string once_in(double p) {
    if (!(p > 1e-6))
        return "once in more than a million";
    return p >= 1 ? "every time" : "once in " + figure(1 / p);
}

std::string times_words(double ratio) { return figure(ratio) + " times"; }

std::string scope_words(const ReviewScene& scene) {
    const ReviewScope& scope = scene.scope;
    const std::string words = "Drawn up on " + format_day(scope.drawn_up) + " with the knowledge " +
                              scope.version + ", of ";
    if (scope.jobs == 0)
        return words + "no closed job" +
               (scene.since.empty() ? "." : " opened on " + scene.since + " or later.");
    const std::string first = format_day(scope.first);
    const std::string last = format_day(scope.last);
    return words + closed_jobs(scope.jobs) +
           (first == last ? " opened on " + first : " opened from " + first + " to " + last) +
           (scene.since.empty() ? "." : "; those before " + scene.since + " are left out.");
}

namespace {

constexpr const char* behind_a_line = "The jobs behind a line, as of the first one: ";

/// `which`: " --cause worn-pump".
std::string listed_by(const ReviewScene& scene, const std::string& which) {
    return "knockwell jobs list" + which + (scene.since.empty() ? "" : " --since " + scene.since);
}

}  // namespace

std::string its_jobs(const ReviewScene& scene, const std::string& cause, const std::string& area) {
    return listed_by(scene, (area.empty() ? "" : " --area " + as_argument(area)) + " --cause " +
                                as_argument(cause));
}

std::string jobs_behind_a_line(const ReviewScene& scene, const CauseReview& review) {
    return behind_a_line + its_jobs(scene, scene.book->causes[review.lines.front().cause], "");
}

std::string jobs_behind_a_line(const ReviewScene& scene, const RepairLine& first) {
    return behind_a_line + listed_by(scene, " --repair " + as_argument(first.repair)) +
           ". Those called back to: " +
           listed_by(scene, " --repair " + as_argument(first.repair) + " --called-back");
}

std::vector<std::string> cell_sentences(const ReviewScene& scene, const AreaReview& review,
                                        const AreaCell& cell) {
    std::vector<std::string> lines;
    const double ratio = static_cast<double>(cell.observed) / cell.expected;
    lines.push_back(area_title(scene.book->areas[cell.area]) + ": " +
                    cause_words(scene, cell.cause) + ", " + times_words(ratio) +
                    " as often as the installations there explain.");
    lines.push_back(
        houses_words(cell.observed) + ", " + figure(cell.expected) +
        " expected; if that road were like the rest, so many or more would come about " +
        once_in(cell.p) + ".");
    if (cell.observed < small_number)
        lines.emplace_back("That is a small number: one house more or less changes it much.");
    lines.push_back("By its own houses alone " + figure(cell.limits.low) + " to " +
                    times_words(cell.limits.high) +
                    " as often (95 %); drawn towards the other roads, " + times_words(cell.shrunk) +
                    " (" + drawn_limits(cell.shrunk_limits) + "): " + which_to_believe(cell) +
                    ". Chance after all that was looked at: " + chance_words(cell.adjusted) + ".");
    if (const auto& allowed = review.allowed_for.at(cell.cause); !allowed.empty())
        lines.push_back("Allowed for, where it was written down: " +
                        list_of(setting_titles(*scene.knowledge, allowed)) + ".");
    if (cell.guessed > 0)
        lines.push_back("In " + std::to_string(cell.guessed) + " of them it was only guessed.");
    for (const std::string& line :
         what_follows(*scene.knowledge, scene.book->causes[cell.cause], "there"))
        lines.push_back(line);
    lines.push_back("The jobs behind it: " +
                    its_jobs(scene, scene.book->causes[cell.cause], scene.book->areas[cell.area]));
    return lines;
}

std::vector<std::string> alone_words(const ReviewScene& scene, const AreaReview& review) {
    constexpr std::uint64_t worth_a_word = 3;  // houses
    constexpr std::size_t most_told = 5;
    std::vector<AreaCell> alone = review.cells;
    std::erase_if(alone, [](const AreaCell& cell) { return cell.alone < worth_a_word; });
    std::stable_sort(alone.begin(), alone.end(),
                     [](const AreaCell& a, const AreaCell& b) { return a.alone > b.alone; });
    alone.resize(std::min(alone.size(), most_told));
    std::vector<std::string> lines;
    std::size_t roads = 0;
    for (std::uint32_t area = 0; area < scene.book->areas.size(); ++area)
        roads += scene.book->areas[area].empty() ? 0U : 1U;
    if (!alone.empty() && roads < 2)
        return {"All houses are on one road, so there is no other road to compare it with."};
    for (const AreaCell& cell : alone)
        lines.push_back(
            area_title(scene.book->areas[cell.area]) + ", " + cause_words(scene, cell.cause) +
            ": of the " + houses_words(cell.observed) + " " + std::to_string(cell.alone) +
            (cell.alone == 1 ? " has" : " have") +
            " nobody to be compared with, no house on another road of which the same is written "
            "down. Were it not so, it might stand out. Write down at every house: " +
            list_of(setting_titles(*scene.knowledge, review.allowed_for.at(cell.cause))) + ".");
    return lines;
}

namespace {

std::string first_day_of(int month) { return month_words(month) + "-01"; }

/// Those of an outbreak are those of its months.
std::string jobs_of_trend(const ReviewScene& scene, const Trend& trend) {
    const std::string& cause = scene.book->causes[trend.cause];
    if (trend.kind != TrendKind::outbreak)
        return its_jobs(scene, cause, "");
    const auto next = parse_time(first_day_of(trend.to + 1) + "T00:00:00Z");
    return "knockwell jobs list --cause " + as_argument(cause) + " --since " +
           first_day_of(trend.from) + " --until " + format_day(next.value_or(0) - day_seconds) +
           "; somebody who came back is counted once";
}

}  // namespace

std::vector<std::string> trend_sentences(const ReviewScene& scene, const Trend& trend) {
    std::vector<std::string> lines;
    lines.push_back(cause_words(scene, trend.cause) + ": " + trend_words(trend) + ".");
    lines.push_back(std::to_string(trend.observed) + (trend.observed == 1 ? " job, " : " jobs, ") +
                    figure(trend.expected) + " expected of " + std::to_string(trend.all) +
                    "; if nothing changed with time, the like would come about " +
                    once_in(trend.p) + ".");
    if (trend.observed < small_number)
        lines.emplace_back("That is a small number: one job more or less changes it much.");
    if (trend.by_year.size() > 1)
        lines.push_back("Year by year, the last one last (expected): " + by_year_words(trend) +
                        ".");
    lines.push_back("Chance after all that was looked at: " + chance_words(trend.adjusted) + ".");
    for (const std::string& line :
         what_follows(*scene.knowledge, scene.book->causes[trend.cause], when_words(trend)))
        lines.push_back(line);
    lines.push_back("The jobs behind it: " + jobs_of_trend(scene, trend));
    return lines;
}

std::vector<std::string> opening_words(const AreaReview& review) {
    std::vector<std::string> lines = {
        closed_jobs(review.jobs) + ", " + houses_words(review.houses) + " with a named cause; " +
        counted(review.tested, "pair of road and cause was", "pairs of road and cause were") +
        " looked at."};
    if (review.without_area > 0)
        lines.push_back(counted(review.without_area, "job has no area and is left out here.",
                                "jobs have no area and are left out here."));
    if (review.without_cause > 0)
        lines.push_back(std::to_string(review.without_cause) +
                        (review.without_cause == 1 ? " of the jobs names no cause and says"
                                                   : " of the jobs name no cause and say") +
                        " nothing here.");
    return lines;
}

std::string no_closed_job(const ReviewScene& scene) {
    return scene.since.empty()
               ? "No job is closed yet."
               : "No job that was opened on " + scene.since + " or later is closed.";
}

namespace {

std::string time_words(const CauseReview& review) {
    if (!review.by_the_year()) {
        constexpr double days_a_year = static_cast<double>(year_seconds) / day_seconds;
        return counted(1 + static_cast<std::size_t>(review.years * days_a_year), "day");
    }
    const std::string years = figure(review.years);  // "1" of 1.02 too
    return years + (years == "1" ? " year" : " years");
}

}  // namespace

std::string opening_words(const ReviewScene& scene, const CauseReview& review) {
    if (review.jobs == 0)
        return no_closed_job(scene);
    return closed_jobs(review.jobs) + " in " + time_words(review) + "; " +
           (review.jobs == 1 ? (review.without_cause == 0 ? "it names a cause." : "it names none.")
            : review.without_cause == 0
                ? "each of them names a cause."
                : counted(review.without_cause, "names no cause.", "name no cause."));
}

std::string opening_words(const TimeReview& review) {
    const std::string first = month_words(month_of(review.first));
    const std::string last = month_words(month_of(review.last));
    std::string words = closed_jobs(review.jobs) +
                        (first == last ? " in " + first : " from " + first + " to " + last) + "; " +
                        counted(review.tested, "trend was", "trends were") + " looked for.";
    if (review.years_from)
        words += " Years are whole ones, counted back from the last job: what is before " +
                 format_day(*review.years_from) + " is in no year, but in seasons and outbreaks.";
    return words;
}

}  // namespace knockwell
