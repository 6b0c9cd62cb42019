#include "cli/dangers.hpp"

#include "base/words.hpp"
#include "job/course.hpp"
#include "job/identity.hpp"
#include "job/summary.hpp"
#include "job/time_text.hpp"

#include <algorithm>
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

std::vector<StopNow> dangers_found(const Shelf& shelf, const Job& job) {
    const Course course = course_of(shelf.knowledge, job);
    return stops_found_now(shelf.knowledge, course.evidence, course.situation);
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
            // What was only likely goes with every finding.
            for (const StopNow& stop : dangers_found(shelf, *side))
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

namespace {

constexpr std::size_t most_weighed = 1000;  // what is only likely takes a millisecond each

std::ptrdiff_t corrections_of(const Job& job) {
    return std::count_if(job.events.begin(), job.events.end(),
                         [](const Event& event) { return is_correction(event.kind); });
}

}  // namespace

void Incoming::tell(std::vector<std::string> sentences) {
    constexpr std::size_t most_told = 50;
    for (std::string& sentence : sentences)
        if (told_.size() < most_told)
            told_.push_back(std::move(sentence));
        else
            ++untold_;
}

void Incoming::look_at(const Job* before, const Job& job) {
    if (shelf_ == nullptr)
        return;
    // Whose clock is a zone ahead is not wrong.
    const std::int64_t last =
        job.events.empty() ? job.opened : std::max(job.opened, job.events.back().at);
    if (last > now_ + day_seconds && ++of_the_future_ == 1)
        first_of_the_future_ = job.id;
    const bool cured = is_closed_as_cured(job);
    const bool weighed = cured && ++cured_ <= most_weighed;
    const std::vector<StopNow> stops =
        weighed ? dangers_of(*shelf_, job) : dangers_found(*shelf_, job);
    if (cured) {
        std::vector<std::string> dangers = dangers_though_cured(shelf_->knowledge, job.id, stops);
        const Summary at = summary_of(job);
        for (std::string& danger : dangers)
            danger.insert(0, at.area + " " + at.installation + ": ");
        tell(std::move(dangers));
    }
    if (before == nullptr || corrections_of(*before) == corrections_of(job))
        return;
    for (const std::string& gone :
         dangers_gone(shelf_->knowledge, dangers_found(*shelf_, *before), stops))
        tell({"Job " + short_id(job.id) + ": " + gone});
}

std::vector<std::string> Incoming::told() const {
    if (shelf_ == nullptr)
        return {"Without the knowledge it is not known whether a danger stands in what came in. "
                "Put it right, then look at each job: knockwell jobs list"};
    std::vector<std::string> all = told_;
    if (untold_ > 0)
        all.push_back("And " + counted(untold_, "danger") +
                      " more. Those that stand: knockwell jobs list --dangers");
    if (cured_ > most_weighed)
        all.push_back("Dangers that are only likely were looked for in the first " +
                      std::to_string(most_weighed) + " of " + std::to_string(cured_) +
                      " jobs that are closed as cured, those that were found in all.");
    if (of_the_future_ > 0)
        all.push_back(counted(of_the_future_, "job") + " " + (of_the_future_ == 1 ? "is" : "are") +
                      " opened or written on a day that has not come yet, the first " +
                      short_id(first_of_the_future_) +
                      ": a clock was wrong there. What they end is not taken as ended.");
    return all;
}

}  // namespace knockwell
