#include "advice/looks.hpp"
#include "advice/rules.hpp"
#include "base/words.hpp"
#include "cli/arrival.hpp"
#include "cli/choices.hpp"
#include "cli/commands.hpp"
#include "cli/dangers.hpp"
#include "cli/effects.hpp"
#include "cli/house_facts.hpp"
#include "cli/job_commands.hpp"
#include "cli/paper.hpp"
#include "cli/show_json.hpp"
#include "cli/show_lists.hpp"
#include "cli/show_paper.hpp"
#include "cli/show_text.hpp"
#include "cli/show_why.hpp"
#include "cli/words.hpp"
#include "job/identity.hpp"
#include "job/summary.hpp"
#include "job/time_text.hpp"

#include <algorithm>
#include <span>
#include <utility>

namespace knockwell {
namespace {

/// Tests that show that the repair holds.
std::vector<TestId> recheck_after(const Knowledge& knowledge, const std::string& repair) {
    const RepairId id = repair_named(knowledge, repair);
    return id.valid() ? knowledge[id].recheck : std::vector<TestId>{};
}

/// Whether one of the stops holds the step back, its way there too.
bool is_held(const Knowledge& knowledge, const std::vector<StopNow>& stops, const Step& step) {
    const std::vector<Hazard> hazards = hazards_of(knowledge, step);
    return std::any_of(stops.begin(), stops.end(), [&](const StopNow& now) {
        return holds_back(knowledge[now.stop], hazards);
    });
}

struct Showing {
    std::string headline;                 // what was written down
    std::size_t most = 5;                 // causes and steps
    std::vector<TestId> recheck;          // shown before the answer
    bool arriving = false;                // somebody is there and has not looked at anything yet
    std::vector<std::string> warnings{};  // before everything else
    std::string house = {};               // what is known of it from an earlier job
};

Status show(const Desk& desk, const Shelf& shelf, AnswerNow answer, Showing how) {
    const Status status = answer.clashes() ? status_problems : status_done;
    // What a danger holds back is no check of a repair either.
    const bool waits =
        std::erase_if(how.recheck, [&](TestId test) {
            return is_held(shelf.knowledge, answer.stops, shelf.knowledge[test].step);
        }) > 0;
    const auto* known = std::get_if<Known>(&answer.says);
    const std::span<const std::vector<double>> setting =
        known == nullptr ? std::span<const std::vector<double>>() : known->now.setting;
    const auto rechecks =
        rechecks_now(shelf.knowledge, answer.course, setting, answer.stops, how.recheck);
    if (desk.common.json) {
        const std::string headline = how.headline + (how.house.empty() ? "" : " " + how.house);
        desk.print(answer_json(shelf.model(), answer, rechecks, headline,
                               how.arriving && answer.stops.empty(), how.warnings));
        return status;
    }
    Page page(desk.style);
    for (const std::string& warning : how.warnings)
        page.signal("WARNING", warning, 0);
    if (!how.headline.empty())
        page.text(how.headline);
    if (!how.house.empty())
        page.text(how.house);
    page.gap();
    if (waits || !how.recheck.empty()) {
        // A danger comes before everything, the tests after a repair too.
        show_stops(page, shelf.knowledge, answer.stops);
        answer.stops.clear();
        page.heading("CHECK THAT IT HOLDS");
        if (waits)
            page.block("Not while the danger stands: what shows that the repair holds waits until "
                       "it is lifted.",
                       2);
        for (const Recheck& recheck : rechecks)
            show_recheck(page, shelf.knowledge, recheck);
        page.gap();
    }
    if (how.arriving && answer.stops.empty()) {
        show_arrival(page);
        page.gap();
    }
    show_answer(page, shelf.model(), answer, how.most);
    desk.print(page.all());
    return status;
}

/// Whether somebody came and nothing was looked at, done or opened since.
bool is_arriving(const Job& job) {
    bool arriving = false;
    for (const Event& event : standing(job)) {
        const bool comes = event.kind == EventKind::resumed ||
                           (event.kind == EventKind::person && event.value != "owner");
        const bool looks = event.kind == EventKind::found || event.kind == EventKind::did_test ||
                           event.kind == EventKind::did || event.kind == EventKind::left ||
                           event.kind == EventKind::state || event.kind == EventKind::pass;
        arriving = comes || (arriving && !looks);
    }
    return arriving;
}

AnswerNow answer_for(const Shelf& shelf, const Job& job, std::size_t most, bool every_number) {
    AnswerNow answer =
        answer_now(shelf.model(), course_of(shelf.knowledge, job),
                   {.most = most, .rates = shelf.rates, .every_number = every_number});
    answer.job = job.id;
    return answer;
}

constexpr std::size_t looked_at_of_a_house = 1000;  // jobs; none has as many

/// A word on the last job at the same house, where it is not long ago and this one is not said to
/// be its call-back.
std::string lately_there(const Ledger& ledger, const Job& opened) {
    constexpr std::int64_t lately = call_back_days * day_seconds;
    if (summary_of(opened).call_back_of)
        return {};
    for (const JobLine& line :
         ledger.at_installation(opened.installation, looked_at_of_a_house, opened.area)) {
        const std::int64_t ago = opened.opened - line.opened;
        if (line.id == opened.id || line.area != opened.area || ago < 0 || ago > lately)
            continue;
        const std::string days =
            ago < 2 * day_seconds ? "lately" : std::to_string(ago / day_seconds) + " days ago";
        return " Job " + short_id(line.id) + " was opened there " + days +
               "; if its trouble is back: knockwell jobs correct " + short_id(opened.id) +
               " --call-back-of " + short_id(line.id);
    }
    return {};
}

/// A word on a house whose jobs were all corrected to other codes.
std::string moved_on(const Ledger& ledger, const Job& opened) {
    std::vector<JobLine> lines =
        ledger.ever_at(opened.installation, looked_at_of_a_house, opened.area);
    std::erase_if(lines, [&](const JobLine& line) { return line.id == opened.id; });
    if (std::any_of(lines.begin(), lines.end(), [&](const JobLine& line) {
            return line.area == opened.area && line.installation == opened.installation;
        }))
        return {};
    for (const JobLine& line : lines) {
        const auto found = ledger.find(line.id);
        const auto* job = std::get_if<Job>(&found);
        if (job == nullptr || job->area != opened.area || job->installation != opened.installation)
            continue;
        const bool other_road = line.area != opened.area;
        return " Jobs of this house were corrected to " + (other_road ? line.area + " " : "") +
               line.installation + "; if it is that house: knockwell jobs correct " +
               short_id(opened.id) + (other_road ? " --area " + as_argument(line.area) : "") +
               " --installation " + as_argument(line.installation);
    }
    return {};
}

/// A word on a road that the ledger has already, spelled otherwise.
std::string other_spelling(const Ledger& ledger, const Job& opened) {
    const std::string usual = ledger.usual_spelling(opened.area);
    if (usual.empty() || usual == opened.area)
        return {};
    return " There is a road " + usual + "; if it is the same: knockwell jobs correct " +
           short_id(opened.id) + " --area " + as_argument(usual);
}

/// A word on a house of that road whose code differs in capitals, blanks or hyphens only.
std::string other_house_code(const Ledger& ledger, const Job& opened) {
    constexpr std::size_t looked_at = 100000;  // houses of one code, on all roads
    for (const std::string& code : ledger.codes_like(opened.installation)) {
        if (code == opened.installation)
            continue;
        for (const JobLine& line : ledger.at_installation(code, looked_at))
            if (plain_code(line.area) == plain_code(opened.area))
                return " There is a house " + code +
                       " on that road; if it is the same: knockwell jobs correct " +
                       short_id(opened.id) + " --installation " + as_argument(code);
    }
    return {};
}

/// The danger first, then what would end it: nobody closes past it by habit.
Status stays_open(const Desk& desk, const Knowledge& knowledge, const Job& job,
                  const std::vector<StopNow>& stops) {
    std::vector<std::string> lines;
    for (const StopNow& now : stops) {
        const Stop& stop = knowledge[now.stop];
        const std::string lifted = lifted_words(knowledge, stop);
        const std::string told = in_vain_words(knowledge, now);
        lines.push_back("'" + stop.head.id + "' stands" +
                        (lifted.empty() ? "" : "; it is lifted by " + lifted) + "." +
                        (told.empty() ? "" : " " + told));
    }
    const std::string instead =
        "To leave it as it is, say who knows of the danger and what is off: knockwell close "
        "--handed-over --despite WHY (or --not-cured --despite WHY).";
    if (desk.common.json) {
        desk.print(not_closed_json(knowledge, job, stops, lines, {}));
        return status_problems;
    }
    Page page(desk.style);
    show_stops(page, knowledge, stops);
    page.text(job_line(job) + " stays open:");
    for (const std::string& line : lines)
        page.text(line, 4, 2);
    page.text(instead);
    desk.print(page.all());
    return status_problems;
}

/// Without an outcome the longest list is shown.
bool would_be_cured(const CloseCommand& close) {
    return close.outcome.empty() || close.outcome == "cured";
}

/// What nobody has said to be so yet, and how it is said.
Status lines_stay_open(const Desk& desk, const Knowledge& knowledge, const Job& job,
                       const std::vector<OpenLine>& open, const CloseCommand& close) {
    const std::string done =
        close.outcome.empty() ? "--cured, --not-cured or --handed-over" : "--" + close.outcome;
    std::vector<std::string> why;
    std::vector<std::string> words;
    for (const OpenLine& line : open)
        words.push_back(line.word);
    if (open.empty())
        why.push_back("Every line of the list is seen to; close it with: knockwell close " + done);
    else
        why.push_back("Not said yet: " + list_of(words) + ".");
    if (desk.common.json) {
        desk.print(not_closed_json(knowledge, job, {}, why, open));
        return status_problems;
    }
    Page page(desk.style);
    if (!open.empty())
        show_open_lines(page, open);
    page.gap();
    page.text(job_line(job) + " stays open. " + why.front());
    if (!open.empty()) {
        page.text("Say of each how it is: --checked WORD, --as-left READING=VALUE where it is a "
                  "reading, --not-here WORD where it does not apply, or --without WORD=WHY where "
                  "it is left so; that is kept. Several words go with commas.",
                  4, 2);
        page.text("What was said by now is kept; then once more: knockwell close " + done, 4, 2);
    }
    desk.print(page.all());
    return status_problems;
}

}  // namespace

namespace {

/// What each outcome of a look would change, on this job.
Status show_effects_of(const Desk& desk, const Scene& here, const AnswerNow& answer,
                       const Candidate& look) {
    const Knowledge& knowledge = here.shelf.knowledge;
    const Known& known = std::get<Known>(answer.says);
    const auto effects = effects_of(here.shelf.model(), answer.course.evidence, known.now,
                                    known.advice.own, look_of(knowledge, look));
    if (desk.common.json) {
        desk.print(effects_json(knowledge, here.job.id, answer.stops, look, effects));
        return status_done;
    }
    Page page(desk.style);
    page.text(job_line(here.job));
    page.gap();
    show_stops(page, knowledge, answer.stops);
    for (const CautionId id : look.cautions)
        page.signal(signal_word(knowledge[id]), knowledge[id].text, 2);
    show_effects(page, knowledge, look, effects);
    page.gap();
    page.text(it_can_be_wrong());
    desk.print(page.all());
    return status_done;
}

}  // namespace

Status carry_out(const AskCommand& ask, const Desk& desk) {
    const auto shelf = desk.shelf();
    if (!shelf)
        return status_usage;
    const auto events = events_of(shelf->knowledge, ask.told, desk.now);
    if (const auto* why = std::get_if<Refused>(&events))
        return complain(desk, *why);
    tell_what_was_taken(desk, shelf->knowledge, ask.told);
    const auto job = with_events(shelf->knowledge, question_at(desk.now), std::get<0>(events));
    if (const auto* why = std::get_if<Refused>(&job))
        return complain(desk, *why);
    return show(desk, *shelf, answer_for(*shelf, std::get<Job>(job), ask.most, desk.common.json),
                {"", ask.most, {}});
}

Status carry_out(const OpenCommand& open, const Desk& desk) {
    const auto scene =
        begin_job(desk, {open.area, open.installation, open.call_back_of}, open.told);
    if (const auto* status = std::get_if<Status>(&scene))
        return *status;
    const Scene& here = std::get<Scene>(scene);
    return show(desk, here.shelf, answer_for(here.shelf, here.job, open.most, desk.common.json),
                {job_line(here.job) + " is open." + lately_there(here.ledger, here.job) +
                     moved_on(here.ledger, here.job) + other_spelling(here.ledger, here.job) +
                     other_house_code(here.ledger, here.job),
                 open.most,
                 {},
                 is_arriving(here.job),
                 dangers_there(here.shelf, here.ledger, here.job, desk.now),
                 known_of_the_house(here.shelf, here.ledger, here.job)});
}

Status carry_out(const FoundCommand& found, const Desk& desk) {
    auto scene = scene_for(desk, found.job);
    if (const auto* status = std::get_if<Status>(&scene))
        return *status;
    Scene& here = std::get<Scene>(scene);
    const auto events = events_of(here.shelf.knowledge, found.told, desk.now);
    if (const auto* why = std::get_if<Refused>(&events))
        return complain(desk, *why);
    tell_what_was_taken(desk, here.shelf.knowledge, found.told);
    const auto& new_events = std::get<0>(events);
    if (new_events.empty()) {
        return complain(desk, refused("found", "say what was found: SIGN=VALUE", {}));
    }
    if (const auto why = keep(here, new_events, desk.now))
        return complain(desk, *why);
    return show(desk, here.shelf, answer_for(here.shelf, here.job, found.most, desk.common.json),
                {job_line(here.job) + ": kept.", found.most, {}, is_arriving(here.job)});
}

Status carry_out(const NextCommand& next, const Desk& desk) {
    const auto scene = scene_for(desk, next.job);
    if (const auto* status = std::get_if<Status>(&scene))
        return *status;
    const Scene& here = std::get<Scene>(scene);
    tell_that_it_is_closed(desk, here.job);
    return show(desk, here.shelf, answer_for(here.shelf, here.job, next.most, desk.common.json),
                {job_line(here.job), next.most, {}, is_arriving(here.job)});
}

Status carry_out(const ReasonsCommand& reasons, const Desk& desk) {
    constexpr std::size_t without_a_name = 3;
    const auto scene = scene_for(desk, reasons.job);
    if (const auto* status = std::get_if<Status>(&scene))
        return *status;
    const Scene& here = std::get<Scene>(scene);
    tell_that_it_is_closed(desk, here.job);
    const AnswerNow answer = answer_for(here.shelf, here.job, 1, true);
    if (answer.clashes())
        return show(desk, here.shelf, answer, {job_line(here.job), 1, {}});
    std::vector<CauseId> causes = spoken_by_chance(here.shelf.model(), answer.course.evidence,
                                                   std::get<Known>(answer.says).now);
    causes.resize(std::min(causes.size(), without_a_name));
    if (!reasons.cause.empty()) {
        const auto what = find_cause_or_look(here.shelf.knowledge, reasons.cause);
        if (const auto* why = std::get_if<Refused>(&what))
            return complain(desk, *why);
        if (const auto* look = std::get_if<Candidate>(&what))
            return show_effects_of(desk, here, answer, *look);
        causes = {std::get<CauseId>(what)};
    }
    const auto all = reasons_of(here.shelf.model(), answer, causes);
    if (desk.common.json) {
        desk.print(reasons_json(here.shelf.model(), answer, all));
        return status_done;
    }
    Page page(desk.style);
    page.text(job_line(here.job));
    page.gap();
    show_stops(page, here.shelf.knowledge, answer.stops);
    show_reasons(page, here.shelf.model(), answer, all);
    desk.print(page.all());
    return status_done;
}

Status carry_out(const DidCommand& did, const Desk& desk) {
    auto scene = scene_for(desk, did.job);
    if (const auto* status = std::get_if<Status>(&scene))
        return *status;
    Scene& here = std::get<Scene>(scene);
    const auto events = events_of(here.shelf.knowledge, did, desk.now);
    if (const auto* why = std::get_if<Refused>(&events))
        return complain(desk, *why);
    const auto& new_events = std::get<0>(events);
    if (const auto why = keep(here, new_events, desk.now))
        return complain(desk, *why);
    const std::string& what = new_events.back().what;
    return show(desk, here.shelf, answer_for(here.shelf, here.job, did.most, desk.common.json),
                {job_line(here.job) + ": " + what + " is written down.", did.most,
                 recheck_after(here.shelf.knowledge, what)});
}

Status carry_out(const UndoCommand& undo, const Desk& desk) {
    auto scene = scene_for(desk, undo.job);
    if (const auto* status = std::get_if<Status>(&scene))
        return *status;
    Scene& here = std::get<Scene>(scene);
    const std::vector<Event> stands = standing(here.job);
    if (stands.empty())
        return complain(desk, refused("undo", "nothing is written down", {}));
    const std::uint32_t number = undo.number == 0 ? stands.back().number : undo.number;
    Event event;
    event.at = desk.now;
    event.kind = EventKind::undo;
    event.what = std::to_string(number);
    const std::vector<StopNow> before = dangers_of(here.shelf, here.job);
    if (const auto why = keep(here, {event}, desk.now))
        return complain(desk, *why);
    AnswerNow answer = answer_for(here.shelf, here.job, undo.most, desk.common.json);
    std::vector<std::string> gone = dangers_gone(here.shelf.knowledge, before, answer.stops);
    return show(desk, here.shelf, std::move(answer),
                {job_line(here.job) + ": entry " + std::to_string(number) + " is taken back.",
                 undo.most,
                 {},
                 false,
                 std::move(gone)});
}

namespace {

/// What `close` was told, and how the place is then left.
struct Leaving {
    std::vector<Event> said;     // readings and lines of the list: they hold in any case
    std::vector<Event> closing;  // causes, notes and the end
    Job job;                     // with what was said
    Course course;
    std::vector<StopNow> stops;  // what is read last may be a danger itself
};

std::variant<Leaving, Refused> leaving_told(const Scene& here, const CloseCommand& close,
                                            std::int64_t now) {
    const Knowledge& knowledge = here.shelf.knowledge;
    auto said = events_of_leaving(knowledge, close, now);
    if (auto* why = std::get_if<Refused>(&said))
        return std::move(*why);
    auto closing = events_of(knowledge, here.job, close, now);
    if (auto* why = std::get_if<Refused>(&closing))
        return std::move(*why);
    auto job = with_events(knowledge, here.job, std::get<0>(said));
    if (auto* why = std::get_if<Refused>(&job))
        return std::move(*why);
    Leaving told{std::get<0>(std::move(said)),
                 std::get<0>(std::move(closing)),
                 std::get<Job>(std::move(job)),
                 {},
                 {}};
    told.course = course_of(knowledge, told.job);
    told.stops = stops_now(here.shelf.model(), told.course.evidence, told.course.situation);
    return told;
}

/// What is wrong with the words themselves, whatever stands.
std::optional<Refused> against_closing(const CloseCommand& close, const Leaving& told) {
    if (close.despite.empty())
        return std::nullopt;
    if (trimmed(close.despite).empty())
        return refused("--despite", "say what is off and who knows of the danger", {});
    if (told.stops.empty())
        return refused("--despite", "no stop stands; leave it out", {});
    if (const std::string why = misread(leaving_of(told.job)); !why.empty())
        return refused("--as-left", why, {});
    if (close.outcome.empty())
        return refused("close", "say one of --cured, --not-cured, --handed-over", {});
    return std::nullopt;
}

/// Where the job cannot be closed what was said is kept all the same, and what is missing is
/// shown. Nothing where it can.
std::optional<Status> not_closed_yet(const Desk& desk, Scene& here, const CloseCommand& close,
                                     const Leaving& told) {
    const Knowledge& knowledge = here.shelf.knowledge;
    if (!told.stops.empty() && !close.despite.empty())
        return std::nullopt;
    std::vector<OpenLine> open;
    if (told.stops.empty())
        open = still_open(knowledge, told.job, would_be_cured(close));
    if (told.stops.empty() && open.empty() && !close.outcome.empty())
        return std::nullopt;
    if (!told.said.empty())
        if (const auto why = keep(here, told.said, desk.now))
            return complain(desk, *why);
    if (!told.stops.empty())
        return stays_open(desk, knowledge, here.job, told.stops);
    return lines_stay_open(desk, knowledge, here.job, open, close);
}

/// The tests that show that the job's repairs hold, each once.
std::vector<TestId> rechecks_of(const Knowledge& knowledge, const Job& job) {
    std::vector<TestId> all;
    for (const Event& event : standing(job)) {
        if (event.kind != EventKind::did)
            continue;
        for (const TestId test : recheck_after(knowledge, event.what))
            if (std::find(all.begin(), all.end(), test) == all.end())
                all.push_back(test);
    }
    return all;
}

Status show_closed(const Desk& desk, const Scene& here, const CloseCommand& close,
                   const Leaving& told) {
    const Knowledge& knowledge = here.shelf.knowledge;
    const LeavingPaper paper =
        paper_of(knowledge, here.job, desk.now, told.stops, here.shelf.rates);
    if (desk.common.json) {
        const auto rechecks =
            rechecks_now(knowledge, told.course, {}, told.stops, rechecks_of(knowledge, here.job));
        desk.print(
            closing_json(knowledge, here.job, told.stops, rechecks, paper, told.course.lost));
        return status_done;
    }
    Page page(desk.style);
    show_stops(page, knowledge, told.stops);
    if (!told.stops.empty())
        show_leaving_a_danger(page);
    for (const std::string& lost : told.course.lost)
        page.signal("WARNING", "Not used, and a danger may be in it: " + lost, 0);
    show_paper(page, paper);
    page.gap();
    page.text(job_line(here.job) + " is closed: " + close.outcome + ".");
    if (close.causes.empty())
        page.text("No cause was confirmed, so the ledger learns little from it.");
    desk.print(page.all());
    return status_done;
}

}  // namespace

Status carry_out(const CloseCommand& close, const Desk& desk) {
    auto scene = scene_for(desk, close.job);
    if (const auto* status = std::get_if<Status>(&scene))
        return *status;
    Scene& here = std::get<Scene>(scene);
    if (std::string closed = closed_already(here.job); !closed.empty())
        return complain(desk, NoJob{std::move(closed)});
    const auto leaving = leaving_told(here, close, desk.now);
    if (const auto* why = std::get_if<Refused>(&leaving))
        return complain(desk, *why);
    const Leaving& told = std::get<Leaving>(leaving);
    if (const auto why = against_closing(close, told))
        return complain(desk, *why);
    if (const auto status = not_closed_yet(desk, here, close, told))
        return *status;
    std::vector<Event> all = told.said;
    all.insert(all.end(), told.closing.begin(), told.closing.end());
    if (const auto why = keep(here, all, desk.now))
        return complain(desk, *why);
    return show_closed(desk, here, close, told);
}

}  // namespace knockwell
