#include "cli/dangers.hpp"

#include "job/course.hpp"
#include "job/identity.hpp"
#include "job/summary.hpp"
#include "job/time_text.hpp"

#include <algorithm>
#include <variant>

namespace knockwell {

bool is_closed_as_cured(const Job& job) {
    const Summary summary = summary_of(job);
    return summary.closed && summary.outcome == "cured";
}

std::vector<StopNow> dangers_of(const Shelf& shelf, const Job& job) {
    const Course course = course_of(shelf.knowledge, job);
    return stops_now(shelf.model(), course.evidence, course.situation);
}

std::vector<std::string> dangers_there(const Shelf& shelf, const Ledger& ledger,
                                       const Job& opened) {
    constexpr std::size_t most_looked_at = 5;
    std::vector<std::string> told;
    for (const JobLine& line : ledger.at_installation(opened.installation, most_looked_at)) {
        if (line.id == opened.id || line.area != opened.area)
            continue;
        const FoundJob found = ledger.find(line.id);
        const auto* job = std::get_if<Job>(&found);
        if (job == nullptr)
            continue;
        for (const StopNow& now : dangers_of(shelf, *job)) {
            const Stop& stop = shelf.knowledge[now.stop];
            told.push_back("Job " + short_id(line.id) + " of " + format_day(line.opened) +
                           " at this house " + (line.closed ? "was left" : "stands open") +
                           " with a danger: " + stop.head.title +
                           ". Ask whether it is gone before anybody goes near. " + stop.do_now);
        }
        if (is_closed_as_cured(*job))
            break;  // what was there before it is ended
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

}  // namespace knockwell
