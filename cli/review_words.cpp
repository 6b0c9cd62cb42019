#include "cli/review_words.hpp"

#include "base/words.hpp"
#include "cli/words.hpp"
#include "job/time_text.hpp"

#include <algorithm>
#include <array>
#include <cmath>

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

std::string cause_words(const ReviewScene& scene, std::uint32_t cause) {
    return cause_title(*scene.knowledge, scene.book->causes[cause]);
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
    if (const std::vector<std::string> parts = parts_for(knowledge, id); !parts.empty())
        lines.push_back("Carry " + where + ": " + list_of(parts, "or") + ".");
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

std::string its_jobs(const ReviewScene& scene, const std::string& cause, const std::string& area) {
    return "knockwell jobs list" + (area.empty() ? "" : " --area " + as_argument(area)) +
           " --cause " + as_argument(cause) +
           (scene.since.empty() ? "" : " --since " + scene.since);
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
    lines.push_back("Between " + figure(cell.limits.low) + " and " + times_words(cell.limits.high) +
                    " as often (95 %); drawn towards the other roads, " + times_words(cell.shrunk) +
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
    lines.push_back("The jobs behind it: " + its_jobs(scene, scene.book->causes[trend.cause], ""));
    return lines;
}

std::vector<std::string> opening_words(const AreaReview& review) {
    std::vector<std::string> lines = {
        closed_jobs(review.jobs) + ", " + houses_words(review.houses) + " with a named cause; " +
        counted(review.tested, "pair of road and cause was", "pairs of road and cause were") +
        " looked at."};
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
