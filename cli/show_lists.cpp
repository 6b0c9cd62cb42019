#include "cli/show_lists.hpp"

#include "base/words.hpp"
#include "cli/words.hpp"
#include "job/identity.hpp"
#include "job/leaving.hpp"
#include "job/summary.hpp"
#include "job/time_text.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace knockwell {
namespace {

// Half a percent matters here: a rate is held against a goal.
std::string share_of(std::size_t some, std::size_t all) {
    if (all == 0)
        return "none";
    const double tenths = 1000 * static_cast<double>(some) / static_cast<double>(all);
    return number(std::round(tenths) / 10) + " %";
}

std::string entry_words(const Event& event) {
    std::string words(to_text(event.kind));
    if (!event.what.empty())
        words += " " + event.what;
    if (!event.value.empty())
        words += (event.what.empty() ? " " : " = ") + event.value;
    if (event.minutes > 0)
        words += ", " + minutes_words(event.minutes);
    return words;
}

/// Readings that were taken before and after, and tests that told nothing.
void show_found_and_left(Page& page, const Summary& summary, const std::vector<std::string>& left) {
    std::vector<std::string> lines;
    for (const auto& [sign, reading] : summary.readings)
        if (reading.found && reading.left)
            lines.push_back(sign + ": as found " + *reading.found + ", as left " + *reading.left);
    if (!summary.in_vain.empty())
        lines.push_back("Made in vain: " + list_of(summary.in_vain));
    lines.insert(lines.end(), left.begin(), left.end());
    if (lines.empty())
        return;
    page.gap();
    for (const std::string& line : lines)
        page.text(line, 4, 2);
}

}  // namespace

namespace {

std::string wanted_words(const JobsWanted& wanted) {
    std::string words;
    const auto add = [&](const char* before, const std::string& of) {
        if (!of.empty())
            words += before + in_quotes(of);
    };
    add(" on road ", wanted.area);
    add(" of installation ", wanted.installation);
    add(" naming ", wanted.cause);
    add(" on which was done ", wanted.repair);
    if (wanted.call_backs)
        words += " among the call-backs";
    if (wanted.called_back)
        words += " called back to";
    if (wanted.since)
        words += " from " + format_day(*wanted.since) + " on";
    if (wanted.before)
        words += " up to " + format_day(*wanted.before - 1);
    return words;
}

/// "cured: failed-bladder (fixed-it)"; empty where neither is said.
std::string came_to(const JobLine& job) {
    std::vector<std::string> causes;
    for (const ConfirmedCause& one : job.causes)
        causes.push_back(one.cause + " (" + one.how + ")");
    std::string words =
        job.outcome + (job.outcome.empty() || causes.empty() ? "" : ": ") + list_of(causes);
    if (!job.call_back_of.empty())
        words += (words.empty() ? "" : "; ") + ("call-back of " + short_id(job.call_back_of));
    return words;
}

}  // namespace

void show_jobs(Page& page, const std::vector<ListedJob>& jobs, const JobsWanted& wanted,
               const JobsFound& found, bool in_danger) {
    const std::string such =
        wanted_words(wanted) + (in_danger ? " with a danger that nothing has ended since" : "");
    if (jobs.empty())
        page.text(such.empty() ? "No job is kept yet." : "No job" + such + " is kept.");
    const bool any_known = std::any_of(jobs.begin(), jobs.end(),
                                       [](const ListedJob& it) { return it.dangers.has_value(); });
    for (const ListedJob& listed : jobs) {
        const JobLine& job = listed.line;
        std::string line = short_id(job.id) + "  " + format_day(job.opened) + "  " +
                           (job.closed ? "closed" : "open  ") + "  " + job.area + " " +
                           job.installation;
        page.row(line, job.first_said, 2, 0);
        if (const std::string words = came_to(job); !words.empty())
            page.text(words, 12, 10);
        for (const std::string& danger : listed.dangers.value_or(std::vector<std::string>{}))
            page.signal("DANGER", danger, 10);
        if (any_known && !listed.dangers)
            page.text("not known whether a danger stands: it has entries that this knowledge does "
                      "not understand",
                      12, 10);
    }
    if (jobs.size() < found.jobs)
        page.text("And " + std::to_string(found.jobs - jobs.size()) +
                  " older; --most shows more than these " + std::to_string(jobs.size()) + ".");
    if (!such.empty() && found.jobs > 0)
        page.text(counted(found.jobs, "job") + such + "; " + std::to_string(found.closed) +
                  " closed, at " + counted(found.houses, "house") + ".");
}

void show_job(Page& page, const Job& job) {
    const Summary summary = summary_of(job);
    page.text("Job " + job.id);
    page.text(summary.area + " " + summary.installation + ", opened " + format_time(job.opened) +
              ", " + (summary.closed ? "closed" : "open"));
    page.text("Knowledge " + list_of(summary.knowledge));
    if (summary.call_back_of)
        page.text("Call-back of job " + short_id(*summary.call_back_of));
    for (const std::string& clash : clashes_of(job))
        page.signal("CLASH", clash + "; say which holds: knockwell jobs correct", 0);
    page.gap();
    std::set<std::uint32_t> stands;
    std::map<std::uint32_t, Event> now;
    for (const Event& event : standing(job)) {
        stands.insert(event.number);
        now[event.number] = event;
    }
    for (const Event& event : job.events) {
        const bool correction = is_correction(event.kind);
        const bool gone =
            correction ? is_taken_back(job, event.number) : !stands.contains(event.number);
        std::string corrected;
        if (!gone && !correction && now[event.number] != event)
            corrected = " (now: " + entry_words(now[event.number]) + ")";
        page.text(std::to_string(event.number) + ". " + format_time(event.at) + "  " +
                      entry_words(event) + (gone ? " (taken back)" : corrected),
                  5, 2);
    }
    show_found_and_left(page, summary, left_words(leaving_of(job)));
}

void show_open_lines(Page& page, const std::vector<OpenLine>& open) {
    page.heading("BEFORE YOU LEAVE");
    for (const std::string& caution : leaving_cautions())
        page.signal("WARNING", caution, 2);
    for (const OpenLine& line : open) {
        page.text(line.word + ": " + line.says, 6, 2);
        if (!line.against.empty())
            page.text("But " + line.against + ".", 6, 6);
    }
}

void show_leaving_a_danger(Page& page) {
    page.heading("BEFORE YOU LEAVE");
    std::size_t place = 0;
    for (const std::string& check : leaving_a_danger())
        page.text(std::to_string(++place) + ". " + check, 6, 2);
}

ProblemCount count_of(const std::vector<Problem>& problems) {
    ProblemCount count;
    for (const Problem& problem : problems)
        if (problem.code == "too-many-problems")
            count.more = true;
        else
            ++(problem.severity == Severity::error ? count.errors : count.warnings);
    return count;
}

std::string count_words(const ProblemCount& count) {
    std::vector<std::string> parts;
    if (count.errors > 0)
        parts.push_back((count.more ? "more than " : "") + counted(count.errors, "error"));
    if (count.warnings > 0)
        parts.push_back(counted(count.warnings, "warning"));
    return parts.empty() ? "nothing wrong" : list_of(parts);
}

std::vector<KindCount> kinds_of(const Knowledge& knowledge) {
    const auto tables = static_cast<std::size_t>(
        std::count_if(knowledge.settings.begin(), knowledge.settings.end(),
                      [](const Setting& setting) { return setting.table; }));
    const auto symptoms =
        static_cast<std::size_t>(std::count_if(knowledge.signs.begin(), knowledge.signs.end(),
                                               [](const Sign& sign) { return sign.symptom; }));
    return {{"settings", knowledge.settings.size() - tables},
            {"tables", tables},
            {"causes", knowledge.causes.size()},
            {"symptoms", symptoms},
            {"observations", knowledge.signs.size() - symptoms},
            {"accesses", knowledge.accesses.size()},
            {"cautions", knowledge.cautions.size()},
            {"tests", knowledge.tests.size()},
            {"repairs", knowledge.repairs.size()},
            {"refers", knowledge.refers.size()},
            {"parts", knowledge.parts.size()},
            {"stops", knowledge.stops.size()},
            {"practice", knowledge.practice.size()}};
}

void show_overview(Page& page, const Knowledge& knowledge, const std::string& version) {
    page.text(knowledge.manifest.name + ", " + version);
    for (const KindCount& kind : kinds_of(knowledge)) {
        const std::string count = std::to_string(kind.count);
        page.text(std::string(count.size() < 5 ? 5 - count.size() : 0, ' ') + count + " " +
                  (kind.kind == "practice" ? "practice cases" : kind.kind));
    }
}

void show_card(Page& page, const Card& card) {
    page.row(card.kind + " " + card.id, card.place, 2, 0);
    page.block(card.title, 2);
    for (const std::string& caution : card.cautions) {
        const std::size_t colon = caution.find(": ");
        page.signal(caution.substr(0, colon), caution.substr(colon + 2), 2);
    }
    for (const Fact& fact : card.facts) {
        if (fact.lines.size() == 1) {
            page.text(fact.label + ": " + fact.lines.front(), 4, 2);
            continue;
        }
        page.block(fact.label + ":", 2);
        for (const std::string& line : fact.lines)
            page.text(line, 6, 4);
    }
}

void show_practice(Page& page, const std::vector<PracticeResult>& results,
                   const std::vector<PracticeRates>& rates) {
    std::size_t failed = 0;
    std::size_t as_accepted = 0;
    for (const PracticeResult& result : results) {
        page.row(result.title + " (" + result.id + ")",
                 result.passed     ? "passed"
                 : result.accepted ? "failed, as accepted"
                                   : "FAILED",
                 2, 0);
        for (const std::string& why : result.failures)
            page.text(why, 4, 2);
        if (result.accepted)
            page.text("Accepted: " + *result.accepted, 4, 2);
        failed += !result.passed && !result.accepted ? 1U : 0U;
        as_accepted += result.accepted ? 1U : 0U;
    }
    page.text(std::to_string(results.size() - failed - as_accepted) + " passed, " +
              std::to_string(failed) + " failed" +
              (as_accepted > 0 ? ", " + std::to_string(as_accepted) + " failed as accepted" : ""));
    for (const PracticeRates& rate : rates) {
        if (rate.cases == 0)
            continue;
        page.text(rate.folder + ": the true cause first in " + std::to_string(rate.first) + " of " +
                      std::to_string(rate.cases) + " cases (" + share_of(rate.first, rate.cases) +
                      "), among the first three in " + std::to_string(rate.three) + " (" +
                      share_of(rate.three, rate.cases) +
                      "); from the phone alone among the "
                      "first five in " +
                      std::to_string(rate.five) + " of " + std::to_string(rate.complaints) + " (" +
                      share_of(rate.five, rate.complaints) + ")",
                  4, 2);
    }
}

void show_provenance(Page& page, const Provenance& found) {
    page.gap();
    page.text("Strengths by basis");
    for (const Basis basis : {Basis::published, Basis::practice, Basis::judgement, Basis::ledger}) {
        const std::size_t some = found.strengths[static_cast<std::size_t>(basis)];
        page.row(std::string(to_text(basis)),
                 std::to_string(some) + " (" + share_of(some, found.strengths_in_all) + ")", 2, 0);
    }
    const std::size_t none = found.strengths[static_cast<std::size_t>(Basis::none)];
    page.row("none", std::to_string(none) + " (" + share_of(none, found.strengths_in_all) + ")", 2,
             0);
    for (const Head* head : found.without)
        page.text(head->id + " says none", 4, 2);
    page.text(std::to_string(found.sources) + " definitions name a source for their facts.");
}

void show_computations(Page& page, const std::vector<Computation>& all) {
    for (const Computation& one : all)
        page.text(one.name + ": " + one.title, 4, 0);
    page.text("knockwell calc NAME --help says what each is given.");
}

void show_calculation(Page& page, const Computation& computation, const CalcAnswer& answer) {
    page.text(computation.title);
    for (const std::string& caution : answer.cautions)
        page.signal("WARNING", caution, 2);
    for (const CalcLine& line : answer.lines)
        page.text(line.label + ": " + number(line.value) +
                      (line.unit.empty() ? "" : " " + line.unit),
                  4, 2);
    for (const std::string& remark : answer.remarks)
        page.block(remark, 2);
    page.text("Formula: " + answer.formula, 4, 2);
    page.text("Source: " + answer.source, 4, 2);
    page.text("Holds: " + answer.range, 4, 2);
}

}  // namespace knockwell
