#include "cli/dangers.hpp"

#include "base/words.hpp"
#include "job/course.hpp"
#include "job/identity.hpp"
#include "job/summary.hpp"
#include "job/time_text.hpp"

#include <algorithm>
#include <optional>
#include <set>
#include <utility>
#include <variant>

namespace knockwell {

bool is_closed_as_cured(const Job& job) {
    const Summary summary = summary_of(job);
    return summary.closed && summary.outcome == "cured";
}

bool is_closed_as_cured(const JobLine& line) { return line.closed && line.outcome == "cured"; }

std::vector<StopNow> dangers_of(const Shelf& shelf, const Job& job) {
    const Course course = course_of(shelf.knowledge, job);
    return stops_now(shelf.model(), course.evidence, course.situation);
}

namespace {

/// Another job at the house of one.
struct JobThere {
    JobLine line;
    Job job;
};

/// Newest first. A road that is spelled with other capitals may be the same one.
std::vector<JobThere> jobs_there(const Ledger& ledger, const Summary& at) {
    constexpr std::size_t most_of_a_code = 1000;  // houses of one code, on all roads
    constexpr std::size_t most_of_a_house = 20;
    std::vector<JobThere> there;
    for (JobLine& line : ledger.at_installation(at.installation, most_of_a_code)) {
        if (line.id == at.id || small_letters(line.area) != small_letters(at.area))
            continue;
        FoundJob found = ledger.find(line.id);
        if (auto* job = std::get_if<Job>(&found))
            there.push_back({std::move(line), std::move(*job)});
        if (there.size() == most_of_a_house)
            break;
    }
    return there;
}

/// When the house was left as cured last; nothing where it never was.
std::optional<std::int64_t> cured_at(const std::vector<JobThere>& there) {
    std::optional<std::int64_t> last;
    for (const JobThere& one : there)
        if (is_closed_as_cured(one.line))
            last = std::max(last.value_or(0), summary_of(one.job).closed.value_or(0));
    return last;
}

/// Whether what was wrong in a job was over when the house was left as cured; the cured job itself
/// is not ended by that.
bool is_ended(const JobThere& one, const std::optional<std::int64_t>& cured) {
    if (!one.line.closed || !cured || one.job.events.empty())
        return false;
    const std::int64_t last = one.job.events.back().at;
    return last < *cured || (last == *cured && !is_closed_as_cured(one.line));
}

}  // namespace

std::vector<std::string> dangers_there(const Shelf& shelf, const Ledger& ledger, const Job& job) {
    const Summary at = summary_of(job);  // its codes as they were corrected last
    const std::vector<JobThere> there = jobs_there(ledger, at);
    const std::optional<std::int64_t> cured = cured_at(there);
    std::vector<std::string> told;
    for (const JobThere& one : there) {
        if (is_ended(one, cured))
            continue;
        const bool as_spelled = one.line.area == at.area;
        for (const StopNow& now : dangers_of(shelf, one.job)) {
            const Stop& stop = shelf.knowledge[now.stop];
            told.push_back("Job " + short_id(one.line.id) + " of " + format_day(one.line.opened) +
                           (as_spelled ? " at this house "
                                       : " on road " + one.line.area +
                                             ", if that is the same, at this house ") +
                           (one.line.closed ? "was left" : "stands open") +
                           " with a danger: " + stop.head.title +
                           ". Ask whether it is gone before anybody goes near. " + stop.do_now);
        }
    }
    return told;
}

std::vector<std::string> dangers_gone(const Knowledge& knowledge,
                                      const std::vector<StopNow>& before,
                                      const std::vector<StopNow>& after) {
    std::vector<std::string> told;
    for (const StopNow& one : before)
        if (std::none_of(after.begin(), after.end(),
                         [&](const StopNow& still) { return still.stop == one.stop; }))
            told.push_back("A danger is told no more: " + knowledge[one.stop].head.title +
                           ". If it is there, say so again.");
    return told;
}

std::vector<std::string> dangers_though_cured(const Knowledge& knowledge, const std::string& job,
                                              const std::vector<StopNow>& stops) {
    std::vector<std::string> told;
    for (const StopNow& now : stops) {
        const Stop& stop = knowledge[now.stop];
        told.push_back(
            "A danger stands in this job, and it is closed as cured: " + stop.head.title + ". " +
            stop.do_now + " Go on with it: knockwell jobs reopen " + short_id(job));
    }
    return told;
}

std::vector<std::string> dangers_crossed(const Shelf& shelf, const Ledger& ledger,
                                         const std::vector<Crossed>& crossed) {
    std::vector<std::string> told;
    for (const Crossed& one : crossed) {
        const FoundJob found = ledger.find(one.common.id);
        const auto* now = std::get_if<Job>(&found);
        if (now == nullptr)
            continue;
        std::set<StopId> ended;
        for (const Job* side : {&one.here, &one.there})
            for (const StopNow& stop : dangers_of(shelf, *side))
                if (stop.found)  // what was only likely goes with every finding
                    ended.insert(stop.stop);
        for (const Job* knew : {&one.common, now})
            for (const StopNow& stop : dangers_of(shelf, *knew))
                ended.erase(stop.stop);
        for (const StopId stop : ended)
            told.push_back("Job " + short_id(one.common.id) + ": a danger is told no more (" +
                           shelf.knowledge[stop].head.title +
                           "), since what ends it was written where nobody knew of it. Find out "
                           "whether it is gone: knockwell jobs show " +
                           short_id(one.common.id));
    }
    return told;
}

}  // namespace knockwell
