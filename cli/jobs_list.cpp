#include "base/nearest.hpp"
#include "base/same_road.hpp"
#include "base/words.hpp"
#include "cli/commands.hpp"
#include "cli/dangers.hpp"
#include "cli/job_commands.hpp"
#include "cli/progress.hpp"
#include "cli/show_json.hpp"
#include "cli/show_lists.hpp"
#include "cli/since.hpp"
#include "job/course.hpp"

#include <algorithm>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <utility>

namespace knockwell {
namespace {

/// What the job was left with, or stands open with; none where it was closed as cured. Nothing
/// where it has entries that the knowledge does not understand, and no danger is in the others.
std::optional<std::vector<std::string>> titles_of_dangers(const Shelf& shelf, const Ledger& ledger,
                                                          const JobLine& line) {
    std::vector<std::string> titles;
    if (is_closed_as_cured(line))
        return titles;
    const FoundJob found = ledger.find(line.id);
    const auto* job = std::get_if<Job>(&found);
    if (job == nullptr)
        return titles;
    const Course course = course_of(shelf.knowledge, *job);
    for (const StopNow& now : stops_now(shelf.model(), course.evidence, course.situation))
        titles.push_back(shelf.knowledge[now.stop].head.title);
    if (titles.empty() && !course.lost.empty())
        return std::nullopt;
    return titles;
}

/// Without the knowledge their dangers are not known.
std::vector<ListedJob> with_dangers(const std::optional<Shelf>& shelf, const Ledger& ledger,
                                    std::vector<JobLine> lines) {
    std::vector<ListedJob> jobs;
    for (JobLine& line : lines) {
        ListedJob listed{std::move(line), std::nullopt};
        if (shelf)
            listed.dangers = titles_of_dangers(*shelf, ledger, listed.line);
        jobs.push_back(std::move(listed));
    }
    return jobs;
}

const std::string& name_of(const Knowledge& knowledge, CauseId id) { return knowledge[id].head.id; }
const std::string& name_of(const Knowledge& knowledge, RepairId id) {
    return knowledge[id].step.head.id;
}

/// Spells out a cause or a repair that is wanted; why not, where neither the knowledge nor a job
/// has it.
template <class Id>
std::optional<Refused> spell_out(const Knowledge& knowledge, const std::variant<Id, Refused>& found,
                                 std::string JobsWanted::*what, JobsWanted& wanted,
                                 const Ledger& ledger) {
    if (const auto* known = std::get_if<Id>(&found)) {
        wanted.*what = name_of(knowledge, *known);
        return std::nullopt;
    }
    // An older knowledge may have had it.
    JobsWanted such;
    such.*what = wanted.*what;
    if (ledger.list(such, 1).jobs > 0)
        return std::nullopt;
    return std::get<Refused>(found);
}

constexpr const char* dangers_not_known =
    "Without the knowledge it is not known whether a danger stands in it.";

/// A sentence on each danger that stands in the job.
std::vector<std::string> dangers_in(const Shelf& shelf, const Job& job) {
    const std::vector<StopNow> stops = dangers_of(shelf, job);
    if (is_closed_as_cured(job))
        return dangers_though_cured(shelf.knowledge, job.id, stops);
    std::vector<std::string> told;
    for (const StopNow& now : stops)
        told.push_back("A danger stands in this job: " + shelf.knowledge[now.stop].head.title +
                       ". " + shelf.knowledge[now.stop].do_now);
    return told;
}

/// What goes on the list.
struct JobsToShow {
    JobsFound found;
    std::vector<ListedJob> jobs;
    std::size_t not_known = 0;  // where only those with a danger are wanted
};

/// Whether a danger may stand in it that another job at the house has not ended: one that was only
/// likely is over where the job itself was closed as cured.
bool may_be_in_danger(const Shelf& shelf, const Job& job) {
    return !is_closed_as_cured(job) || !dangers_found(shelf, job).empty();
}

/// The titles of the dangers in which jobs of one house stand, one after the other.
class DangersOfHouses {
public:
    DangersOfHouses(const Shelf& shelf, const Ledger& ledger, std::int64_t now)
        : shelf_(shelf), ledger_(ledger), now_(now) {}

    /// [line] of each of `lines`, which are all of one house, that is `wanted`.
    std::vector<std::vector<std::string>> of_house(const std::vector<const JobLine*>& lines,
                                                   const std::set<std::string>& wanted) {
        std::vector<JobThere> house;
        for (const JobLine* line : lines) {
            FoundJob found = ledger_.find(line->id);
            auto* job = std::get_if<Job>(&found);
            house.push_back({*line, job == nullptr ? Job() : std::move(*job)});
        }
        std::vector<std::vector<std::string>> titles(lines.size());
        for (std::size_t i = 0; i < lines.size(); ++i) {
            if (!wanted.contains(lines[i]->id))
                continue;
            if (may_be_in_danger(shelf_, house[i].job))
                for (const StopId stop : dangers_left(shelf_, house, i, now_))
                    titles[i].push_back(shelf_.knowledge[stop].head.title);
            if (titles[i].empty() && !course_of(shelf_.knowledge, house[i].job).lost.empty())
                ++not_known_;
        }
        return titles;
    }

    /// Wanted ones without a danger that nobody can tell of.
    [[nodiscard]] std::size_t not_known() const { return not_known_; }

private:
    const Shelf& shelf_;
    const Ledger& ledger_;
    std::int64_t now_;
    std::size_t not_known_ = 0;
};

/// Of the wanted jobs those in which a danger stands. Houses are gone through one by one: what ends
/// a danger stands in the jobs there.
JobsToShow in_danger(const Shelf& shelf, const Ledger& ledger, const JobsWanted& wanted,
                     std::size_t most, const Desk& desk) {
    const std::vector<JobLine> all = ledger.list(ledger.count());
    std::set<std::string> asked;
    for (const JobLine& line : ledger.list(wanted, all.size()).newest)
        asked.insert(line.id);
    std::map<std::pair<std::string, std::string>, std::vector<const JobLine*>> houses;
    for (const JobLine& line : all)
        houses[{same_road(line.area), small_letters(line.installation)}].push_back(&line);
    ProgressBar bar(desk, "looking");
    const Progress progress = bar.progress();
    DangersOfHouses dangers(shelf, ledger, desk.now);
    std::map<std::string, std::vector<std::string>> titles;  // [job]
    JobsToShow show;
    std::size_t done = 0;
    for (const auto& [house, lines] : houses) {
        if (progress)
            progress(done, all.size());
        done += lines.size();
        if (std::none_of(lines.begin(), lines.end(),
                         [&](const JobLine* line) { return asked.contains(line->id); }))
            continue;
        auto of_each = dangers.of_house(lines, asked);
        bool left_closed = false;
        for (std::size_t i = 0; i < lines.size(); ++i) {
            if (of_each[i].empty())
                continue;
            left_closed = left_closed || lines[i]->closed;
            titles.emplace(lines[i]->id, std::move(of_each[i]));
        }
        show.found.houses += left_closed ? 1U : 0U;
    }
    for (const JobLine& line : all)
        if (const auto it = titles.find(line.id); it != titles.end()) {
            ++show.found.jobs;
            show.found.closed += line.closed ? 1U : 0U;
            if (show.jobs.size() < most)
                show.jobs.push_back({line, std::move(it->second)});
        }
    show.not_known = dangers.not_known();
    return show;
}

/// The codes nearest to a road or a house of which no job is; none where there is such a job.
std::vector<std::string> nearest_codes(const Ledger& ledger, const JobsWanted& wanted) {
    std::map<std::string, std::string> roads;  // [same_road] one of its spellings
    std::set<std::string> houses;              // on the road that is asked for
    bool is_there = false;
    const std::string wanted_road = same_road(wanted.area);
    ledger.each_in_short([&](const Summary& job, const auto&) {
        const std::string road = same_road(job.area);
        const bool on_road = wanted.area.empty() || road == wanted_road;
        roads.emplace(road, job.area);
        if (!on_road)
            return;
        houses.insert(job.installation);
        is_there =
            is_there || wanted.installation.empty() || job.installation == wanted.installation;
    });
    if (is_there)
        return {};
    if (!houses.empty())
        return nearest(wanted.installation, {houses.begin(), houses.end()});
    std::vector<std::string> known;
    for (const auto& [road, spelled] : roads)
        if (!road.empty())
            known.push_back(spelled);
    std::vector<std::string> near = nearest(wanted.area, known);
    for (std::string& road : near)
        if (std::string usual = ledger.usual_spelling(road); !usual.empty())
            road = std::move(usual);
    return near;
}

JobsFound found_in(const Ledger& ledger, const JobsWanted& wanted, std::size_t most) {
    JobsFound found;
    if (!wanted.all())
        return ledger.list(wanted, most);
    found.newest = ledger.list(most);
    found.jobs = ledger.count();
    return found;
}

JobsToShow newest(const std::optional<Shelf>& shelf, const Ledger& ledger, const JobsWanted& wanted,
                  std::size_t most) {
    JobsToShow show;
    show.found = found_in(ledger, wanted, most);
    show.jobs = with_dangers(shelf, ledger, std::move(show.found.newest));
    return show;
}

}  // namespace

Status carry_out(const JobsListCommand& list, const Desk& desk) {
    const auto since = since_told(desk, "knockwell jobs list", list.since);
    if (const auto* status = std::get_if<Status>(&since))
        return *status;
    const auto until = until_told(desk, "knockwell jobs list", list.until);
    if (const auto* status = std::get_if<Status>(&until))
        return *status;
    const auto ledger = open_ledger(desk, false);
    if (const auto* none = std::get_if<NoJob>(&ledger))
        return complain(desk, *none);
    // A knowledge with a mistake in it, which is told, hides no job.
    const std::optional<Shelf> shelf = desk.shelf();
    const auto& file = std::get<Ledger>(ledger);
    JobsWanted wanted{list.area,       list.installation, list.cause,         list.repair,
                      list.call_backs, list.called_back,  std::get<0>(since), std::get<0>(until)};
    if (shelf && !wanted.cause.empty())
        if (const auto why = spell_out(shelf->knowledge, find_cause(shelf->knowledge, wanted.cause),
                                       &JobsWanted::cause, wanted, file))
            return complain(desk, *why);
    if (shelf && !wanted.repair.empty())
        if (const auto why =
                spell_out(shelf->knowledge, find_repair(shelf->knowledge, wanted.repair),
                          &JobsWanted::repair, wanted, file))
            return complain(desk, *why);
    if (list.dangers && !shelf)
        return status_usage;  // what is wrong with the knowledge is told
    const JobsToShow show = list.dangers ? in_danger(*shelf, file, wanted, list.most, desk)
                                         : newest(shelf, file, wanted, list.most);
    const bool a_place = !wanted.area.empty() || !wanted.installation.empty();
    const std::vector<std::string> near =
        show.found.jobs == 0 && a_place ? nearest_codes(file, wanted) : std::vector<std::string>();
    Page page(desk.style);
    show_jobs(page, show.jobs, wanted, show.found, list.dangers);
    if (!near.empty())
        page.text("Nearest: " + list_of(near, "or"));
    if (show.not_known > 0)
        page.text("Of " + counted(show.not_known, "job") +
                  " more it is not known whether a danger stands: entries there are not understood "
                  "by this knowledge.");
    if (!shelf)
        page.text("Without the knowledge it is not known whether a danger stands in one of them.");
    const auto not_known = list.dangers ? std::optional(show.not_known) : std::nullopt;
    desk.print(desk.common.json ? jobs_json(show.jobs, wanted, show.found, near, not_known)
                                : page.all());
    return shelf ? status_done : status_usage;
}

Status carry_out(const JobsShowCommand& wanted, const Desk& desk) {
    const auto ledger = open_ledger(desk, false);
    if (const auto* none = std::get_if<NoJob>(&ledger))
        return complain(desk, *none);
    const auto job = job_meant(std::get<Ledger>(ledger), wanted.job);
    if (const auto* none = std::get_if<NoJob>(&job))
        return complain(desk, *none);
    const Job& it = std::get<Job>(job);
    const std::optional<Shelf> shelf = desk.shelf();
    const std::vector<std::string> dangers =
        shelf ? dangers_in(*shelf, it) : std::vector<std::string>{dangers_not_known};
    if (desk.common.json) {
        desk.print(job_json(it, dangers));
    } else {
        Page page(desk.style);
        for (const std::string& danger : dangers)
            page.signal("WARNING", danger, 0);
        show_job(page, it);
        desk.print(page.all());
    }
    return shelf ? status_done : status_usage;
}

}  // namespace knockwell
