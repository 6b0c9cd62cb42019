#include "cli/job_commands.hpp"

#include "base/words.hpp"
#include "cli/dangers.hpp"
#include "cli/ledger_file.hpp"
#include "cli/show_json.hpp"
#include "cli/show_text.hpp"
#include "job/call_back.hpp"
#include "job/course.hpp"
#include "job/identity.hpp"
#include "job/summary.hpp"
#include "job/time_text.hpp"

#include <system_error>
#include <utility>

namespace knockwell {

namespace {

/// Road and house, as they were corrected last.
std::string where_words(const Job& job) {
    const Summary now = summary_of(job);
    return now.area + " " + now.installation;
}

/// Every candidate in full, so that it can be copied.
std::string ambiguous_words(const Ledger& ledger, const std::string& id, const Ambiguous& several) {
    std::string text = "knockwell: more than one job begins with " + in_quotes(id) +
                       "; type more of the one that is meant:\n";
    for (const std::string& candidate : several.ids) {
        const FoundJob found = ledger.find(candidate);
        const auto* job = std::get_if<Job>(&found);
        text += "  " + escape_controls(candidate);
        if (job != nullptr)
            text += "  " + escape_controls(where_words(*job)) +
                    (is_closed(*job) ? ", closed" : ", open");
        text += "\n";
    }
    return text + (several.more ? "  and more; see: knockwell jobs\n" : "");
}

Event call_back_of(const Job& earlier, std::int64_t at) {
    Event event;
    event.at = at;
    event.kind = EventKind::about;
    event.what = "call-back-of";
    event.value = earlier.id;
    return event;
}

}  // namespace

Status complain(const Desk& desk, const NoJob& why) {
    desk.complain(why.text);
    return why.status;
}

Status complain(const Desk& desk, const Refused& why) {
    desk.complain(why.text);
    return status_usage;
}

void tell_what_was_taken(const Desk& desk, const Knowledge& knowledge, const Told& told) {
    for (const std::string& line : taken_loosely(knowledge, told))
        desk.complain("knockwell: " + line + "\n");
}

std::string closed_already(const Job& job) {
    const Summary now = summary_of(job);
    if (!now.closed)
        return {};
    return "knockwell: job " + short_id(job.id) + " is closed (" + escape_controls(now.outcome) +
           "); to go on with it: knockwell jobs reopen " + short_id(job.id) + "\n";
}

void tell_that_it_is_closed(const Desk& desk, const Job& job) {
    if (const std::string closed = closed_already(job); !closed.empty())
        desk.complain(closed);
}

std::variant<Ledger, NoJob> open_ledger(const Desk& desk, NoLedger missing) {
    const auto file = ledger_file(*desk.here, desk.common.ledger);
    if (!file)
        return NoJob{"knockwell: where is the ledger? Say --ledger FILE\n", status_usage};
    std::error_code none;
    const bool there = std::filesystem::exists(*file, none);
    if (missing != NoLedger::refuse) {
        if (file->has_parent_path())
            std::filesystem::create_directories(file->parent_path());
    } else if (!there) {
        return NoJob{"knockwell: no job is kept in " + escape_controls(file->string()) +
                         " yet; begin with: knockwell open\n",
                     status_problems};
    }
    Ledger ledger(*file, std::chrono::seconds(5), missing);
    if (!there && ledger.has_its_name())
        tell_that_it_is_new(desk);
    return ledger;
}

std::variant<Ledger, NoJob> open_ledger(const Desk& desk, bool make) {
    return open_ledger(desk, make ? NoLedger::make : NoLedger::refuse);
}

// A path that was mistyped would begin a second one, and the jobs in it would be missed.
void tell_that_it_is_new(const Desk& desk) {
    if (const auto file = ledger_file(*desk.here, desk.common.ledger))
        desk.complain("knockwell: a new ledger begins in " + escape_controls(file->string()) +
                      "\n");
}

std::variant<Job, NoJob> job_meant(const Ledger& ledger, const std::string& id) {
    const std::string see = "; see: knockwell jobs\n";
    if (id.empty()) {
        auto job = ledger.current();
        if (job)
            return *std::move(job);
        return NoJob{"knockwell: no job is open" + see, status_problems};
    }
    FoundJob found = ledger.find(id);
    if (auto* job = std::get_if<Job>(&found))
        return std::move(*job);
    if (const auto* several = std::get_if<Ambiguous>(&found))
        return NoJob{ambiguous_words(ledger, id, *several), status_problems};
    if (std::get<NoneFound>(found) == NoneFound::too_short)
        return NoJob{"knockwell: " + in_quotes(id) + " is too short to name a job; type " +
                         std::to_string(shortest_beginning) + " characters or more" + see,
                     status_problems};
    return NoJob{"knockwell: no job begins with " + in_quotes(id) + see, status_problems};
}

std::variant<Job, Refused> with_events(const Knowledge& knowledge, Job job,
                                       std::vector<Event> events) {
    for (Event& event : events) {
        event.number = job.events.empty() ? 1 : job.events.back().number + 1;
        const std::string why = refusal(knowledge, job, event);
        if (!why.empty()) {
            const std::string what = event.what.empty() ? event.value : event.what;
            // `why` quotes what was typed, escaped already.
            return Refused{"knockwell: " + std::string(to_text(event.kind)) + " " + echo(what) +
                           ": " + why + "\n"};
        }
        job.events.push_back(spelled_out(knowledge, std::move(event)));
    }
    return job;
}

Job question_at(std::int64_t moment) {
    Job job;
    job.opened = moment;
    return job;
}

std::variant<Scene, Status> scene_for(const Desk& desk, const std::string& job_id) {
    auto shelf = desk.shelf();
    if (!shelf)
        return status_usage;
    auto ledger = open_ledger(desk, false);
    if (const auto* none = std::get_if<NoJob>(&ledger))
        return complain(desk, *none);
    auto job = job_meant(std::get<Ledger>(ledger), job_id);
    if (const auto* none = std::get_if<NoJob>(&job))
        return complain(desk, *none);
    return Scene{*std::move(shelf), std::get<Ledger>(std::move(ledger)),
                 std::get<Job>(std::move(job))};
}

namespace {

std::variant<Asked, Status> job_or_question(const Desk& desk, const std::string& job_id,
                                            const Told& told) {
    if (told == Told{} || !job_id.empty()) {
        if (!(told == Told{}))
            return complain(desk,
                            refused("--job " + job_id,
                                    "ask about a job, or about what is told here; not both", {}));
        auto scene = scene_for(desk, job_id);
        if (const auto* status = std::get_if<Status>(&scene))
            return *status;
        Scene& here = std::get<Scene>(scene);
        tell_that_it_is_closed(desk, here.job);
        std::vector<std::string> warnings =
            dangers_there(here.shelf, here.ledger, here.job, desk.now);
        return Asked{std::move(here.shelf), std::move(here.job), std::move(warnings)};
    }
    auto shelf = desk.shelf();
    if (!shelf)
        return status_usage;
    const auto events = events_of(shelf->knowledge, told, desk.now);
    if (const auto* why = std::get_if<Refused>(&events))
        return complain(desk, *why);
    tell_what_was_taken(desk, shelf->knowledge, told);
    auto job = with_events(shelf->knowledge, question_at(desk.now), std::get<0>(events));
    if (const auto* why = std::get_if<Refused>(&job))
        return complain(desk, *why);
    return Asked{*std::move(shelf), std::get<Job>(std::move(job)), {}};
}

/// Says that the findings cannot all be true, or hang together too much.
void say_no_beliefs(const Desk& desk, const Model& model, const Job& job, const Course& course,
                    const Answer& beliefs) {
    AnswerNow answer;
    answer.job = job.id;
    answer.course = course;
    answer.stops = stops_now(model, course.evidence, course.situation);
    put_no_beliefs(answer, model, beliefs);
    Page page(desk.style);
    show_answer(page, model, answer, 1);
    desk.print(desk.common.json ? answer_json(model, answer, {}) : page.all());
}

std::optional<Refused> against_codes(const NewJob& wanted) {
    if (const std::string why = against_code(wanted.area); !why.empty())
        return refused("--area", "it " + why, {});
    if (const std::string why = against_code(wanted.installation); !why.empty())
        return refused("--installation", "it " + why, {});
    return std::nullopt;
}

}  // namespace

std::variant<Believed, Status> believed_now(const Desk& desk, const std::string& job_id,
                                            const Told& told) {
    auto asked = job_or_question(desk, job_id, told);
    if (const auto* status = std::get_if<Status>(&asked))
        return *status;
    Asked& it = std::get<Asked>(asked);
    const Model model = it.shelf.model();
    Course course = course_of(it.shelf.knowledge, it.job);
    Answer beliefs = posterior(model, course.evidence);
    if (auto* now = std::get_if<Posterior>(&beliefs))
        return Believed{std::move(it), std::move(course), std::move(*now), model.plans};
    say_no_beliefs(desk, model, it.job, course, beliefs);
    return status_problems;
}

std::variant<Scene, Status> begin_job(const Desk& desk, const NewJob& wanted, const Told& told) {
    auto shelf = desk.shelf();
    if (!shelf)
        return status_usage;
    if (const auto why = against_codes(wanted))
        return complain(desk, *why);
    if (const std::string why = against_time("the time", desk.now); !why.empty())
        return complain(desk, refused("--now", why + "; set the clock, or say when it is", {}));
    auto read = events_of(shelf->knowledge, told, desk.now);
    if (const auto* why = std::get_if<Refused>(&read))
        return complain(desk, *why);
    tell_what_was_taken(desk, shelf->knowledge, told);
    Job job;
    job.id = new_job_id(desk.here->dice);
    job.area = wanted.area;
    job.installation = wanted.installation;
    job.knowledge = shelf->version();
    job.opened = desk.now;
    std::vector<Event> events = std::get<0>(std::move(read));
    auto whole = with_events(shelf->knowledge, job, events);  // before a ledger is made for nothing
    if (const auto* why = std::get_if<Refused>(&whole))
        return complain(desk, *why);
    // A call-back is of a job that is there: no ledger begins with one.
    auto ledger = open_ledger(desk, wanted.call_back_of.empty());
    if (const auto* none = std::get_if<NoJob>(&ledger))
        return complain(desk, *none);
    if (!wanted.call_back_of.empty()) {
        const auto earlier = job_meant(std::get<Ledger>(ledger), wanted.call_back_of);
        if (const auto* none = std::get_if<NoJob>(&earlier))
            return complain(desk, *none);
        const Job& meant = std::get<Job>(earlier);
        if (const std::string why =
                against_call_back({job.area, job.installation}, job.opened, meant);
            !why.empty())
            return complain(desk, refused("--call-back-of " + wanted.call_back_of, why, {}));
        events.insert(events.begin(), call_back_of(meant, desk.now));
        whole = with_events(shelf->knowledge, std::move(job), events);
        if (const auto* why = std::get_if<Refused>(&whole))
            return complain(desk, *why);
    }
    std::get<Ledger>(ledger).begin(std::get<Job>(whole));
    return Scene{*std::move(shelf), std::get<Ledger>(std::move(ledger)),
                 std::get<Job>(std::move(whole))};
}

std::optional<Refused> keep(Scene& scene, const std::vector<Event>& events, std::int64_t at) {
    std::vector<Event> all_events = events;
    // A job that is gone on with under newer knowledge remembers that too.
    if (const std::string version = scene.shelf.version();
        summary_of(scene.job).knowledge.back() != version) {
        Event knowledge;
        knowledge.at = at;
        knowledge.kind = EventKind::about;
        knowledge.what = "knowledge";
        knowledge.value = version;
        all_events.insert(all_events.begin(), std::move(knowledge));
    }
    const auto checked = with_events(scene.shelf.knowledge, scene.job, all_events);
    if (const auto* why = std::get_if<Refused>(&checked))
        return *why;
    const std::vector<Event>& all = std::get<Job>(checked).events;
    const auto old = static_cast<std::ptrdiff_t>(scene.job.events.size());
    scene.job =
        scene.ledger.append(scene.job.id, {all.begin() + old, all.end()}, scene.job.events.size());
    return std::nullopt;
}

std::string job_line(const Job& job) {
    return "Job " + short_id(job.id) + " (" + where_words(job) + ")";
}

}  // namespace knockwell
