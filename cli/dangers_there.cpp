// Dangers that other jobs at the house of one were left with, or stand open with.
#include "base/same_road.hpp"
#include "base/words.hpp"
#include "cli/dangers.hpp"
#include "job/course.hpp"
#include "job/identity.hpp"
#include "job/summary.hpp"
#include "job/time_text.hpp"

#include <algorithm>
#include <cstdint>
#include <iterator>
#include <optional>
#include <utility>
#include <variant>

namespace knockwell {
namespace {

/// Jobs at the house of the one that is asked for, newest first, and that one. What differs in
/// capitals, blanks or hyphens may be the same road or house.
std::vector<JobThere> jobs_there(const Ledger& ledger, const Job& job, const Summary& at) {
    constexpr std::size_t most_of_a_code = 100000;  // houses of one code, on all roads
    std::vector<JobThere> there;
    const std::string road = plain_code(at.area);
    for (const std::string& code : ledger.codes_like(at.installation))
        for (JobLine& line : ledger.at_installation(code, most_of_a_code)) {
            if (line.id == at.id || plain_code(line.area) != road)
                continue;
            FoundJob found = ledger.find(line.id);
            if (auto* one = std::get_if<Job>(&found))
                there.push_back({std::move(line), std::move(*one)});
        }
    std::stable_sort(there.begin(), there.end(), [](const JobThere& a, const JobThere& b) {
        return b.line.opened < a.line.opened;
    });
    JobThere& asks = there.emplace_back(JobThere{{}, job});
    asks.line.area = at.area;
    asks.line.installation = at.installation;
    return there;
}

/// When the last sign was told or found in a job.
std::int64_t last_look(const Job& job) {
    std::int64_t last = job.opened;
    for (const Event& event : standing(job))
        if (event.kind == EventKind::said || event.kind == EventKind::found)
            last = std::max(last, event.at);
    return last;
}

/// When a job was closed as cured; nothing where it was not.
std::optional<std::int64_t> cured_at(const JobThere& one) {
    if (!is_closed_as_cured(one.line))
        return std::nullopt;
    return summary_of(one.job).closed;
}

/// Whether the entry, the last one of a beginning of a job, shows the danger to be over: by who may
/// say so.
bool shows_it_over(const Knowledge& knowledge, const Job& job, const Event& event, StopId id) {
    const Stop& stop = knowledge[id];
    if (event.kind == EventKind::did)
        return std::any_of(stop.mended_by.begin(), stop.mended_by.end(), [&](RepairId repair) {
            return knowledge[repair].step.head.id == event.what;
        });
    const auto lifts = [&](SignId sign) { return knowledge[sign].head.id == event.what; };
    const auto sign = std::find_if(stop.cleared_by.begin(), stop.cleared_by.end(), lifts);
    if (event.kind != EventKind::found || sign == stop.cleared_by.end())
        return false;
    Job until = job;
    std::erase_if(until.events, [&](const Event& one) { return one.number > event.number; });
    return course_of(knowledge, until).situation.stops_cleared_by.contains(*sign);
}

/// Dangers of a house, over all its jobs.
class DangersThere {
public:
    /// `there` must outlive it.
    DangersThere(const Shelf& shelf, const std::vector<JobThere>& there, std::int64_t now)
        : shelf_(shelf), there_(there),
          // What is dated after that was written by a clock that was wrong, and ends nothing.
          latest_(now + day_seconds) {}

    /// Of all but the last, which asks.
    [[nodiscard]] std::vector<std::string> told() const {
        constexpr std::size_t most_to_weigh = 20;  // for what was only likely: each takes its time
        std::vector<std::string> all;
        for (std::size_t i = 0; i + 1 < there_.size(); ++i)
            for (const StopId stop : standing_in(there_[i], i < most_to_weigh))
                all.push_back(sentence(there_[i], shelf_.knowledge[stop]));
        return all;
    }

    /// Those with which a job there stands open or was left; `weigh`: those too that are only
    /// likely.
    [[nodiscard]] std::vector<StopId> standing_in(const JobThere& one, bool weigh) const {
        std::vector<StopId> stops;
        for (const StopNow& now : weigh && !was_cured_since(one) ? dangers_of(shelf_, one.job)
                                                                 : dangers_found(shelf_, one.job))
            if (!one.line.closed || !is_over(one, now))
                stops.push_back(now.stop);
        return stops;
    }

private:
    /// Whether two are of one house for certain: a danger is told where it may be the same, and
    /// ended only where it is.
    [[nodiscard]] static bool same_house(const JobThere& a, const JobThere& b) {
        return same_road(a.line.area) == same_road(b.line.area) &&
               small_letters(a.line.installation) == small_letters(b.line.installation);
    }

    /// Whether the house was left as cured since; a cured job is not ended by its own cure.
    [[nodiscard]] bool was_cured_since(const JobThere& one) const {
        const std::int64_t last =
            one.job.events.empty() ? one.job.opened : one.job.events.back().at;
        return std::any_of(there_.begin(), there_.end(), [&](const JobThere& other) {
            const auto cured = same_house(one, other) ? cured_at(other) : std::nullopt;
            return cured && *cured <= latest_ &&
                   (last < *cured || (last == *cured && !is_closed_as_cured(one.line)));
        });
    }

    /// A system that was put to work and left as cured has no danger any more that goes with power
    /// off or pressure zero. Any other one that was found is over where somebody wrote so.
    [[nodiscard]] bool is_over(const JobThere& one, const StopNow& now) const {
        const Stop& stop = shelf_.knowledge[now.stop];
        const bool of_the_work =
            std::any_of(stop.cleared_by.begin(), stop.cleared_by.end(), [&](SignId id) {
                const Sign& sign = shelf_.knowledge[id];
                return sign.stated_by_power_off || sign.stated_by_pressure_zero;
            });
        if ((of_the_work || !now.found) && was_cured_since(one))
            return true;
        const std::int64_t since = last_look(one.job);
        return std::any_of(there_.begin(), there_.end(), [&](const JobThere& other) {
            return &other != &one && same_house(one, other) && ends_it(other, now.stop, since);
        });
    }

    [[nodiscard]] bool ends_it(const JobThere& other, StopId stop, std::int64_t since) const {
        const std::vector<Event> stands = standing(other.job);
        return std::any_of(stands.begin(), stands.end(), [&](const Event& event) {
            return event.at >= since && event.at <= latest_ &&
                   shows_it_over(shelf_.knowledge, other.job, event, stop);
        });
    }

    [[nodiscard]] std::string how_it_ends(const Stop& stop) const {
        std::vector<std::string> ways;
        for (const SignId sign : stop.cleared_by)
            ways.push_back("found " + shelf_.knowledge[sign].head.id);
        if (ways.empty())
            for (const RepairId repair : stop.mended_by)
                ways.push_back("did " + shelf_.knowledge[repair].step.head.id);
        return ways.empty() ? ""
                            : " Told until somebody sees that it is over, and writes: knockwell " +
                                  list_of(ways, "or");
    }

    [[nodiscard]] std::string sentence(const JobThere& one, const Stop& stop) const {
        const JobLine& asks = there_.back().line;
        const bool as_spelled =
            one.line.area == asks.area && one.line.installation == asks.installation;
        return "Job " + short_id(one.line.id) + " of " + format_day(one.line.opened) +
               (as_spelled ? " at this house "
                           : " at " + one.line.area + " " + one.line.installation +
                                 ", if that is the same, ") +
               (one.line.closed ? "was left" : "stands open") +
               " with a danger: " + stop.head.title +
               ". Ask whether it is gone before anybody goes near. " + stop.do_now +
               how_it_ends(stop);
    }

    const Shelf& shelf_;
    const std::vector<JobThere>& there_;
    std::int64_t latest_;
};

}  // namespace

std::vector<std::string> dangers_there(const Shelf& shelf, const Ledger& ledger, const Job& job,
                                       std::int64_t now) {
    // Its codes as they were corrected last.
    const std::vector<JobThere> there = jobs_there(ledger, job, summary_of(job));
    return DangersThere(shelf, there, now).told();
}

std::vector<StopId> dangers_left(const Shelf& shelf, const std::vector<JobThere>& house,
                                 std::size_t which, std::int64_t now) {
    return DangersThere(shelf, house, now).standing_in(house[which], true);
}

}  // namespace knockwell
