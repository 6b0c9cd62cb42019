#include "cli/visit.hpp"

#include "advice/mass.hpp"
#include "advice/phone.hpp"
#include "advice/rules.hpp"
#include "base/words.hpp"
#include "beliefs/finding.hpp"
#include "cli/arrival.hpp"
#include "cli/commands.hpp"
#include "cli/dangers.hpp"
#include "cli/house_facts.hpp"
#include "cli/ledger_file.hpp"
#include "cli/show_text.hpp"
#include "cli/words.hpp"
#include "job/identity.hpp"

#include <algorithm>
#include <filesystem>
#include <ostream>
#include <system_error>
#include <utility>

namespace knockwell {
namespace {

constexpr std::size_t steps_kept = 9;  // one figure each

}  // namespace

Conversation::Conversation(const Desk& desk, Scene& scene)
    : desk_(&desk), scene_(&scene), model_(scene.shelf.model()), keys_(desk.here->in) {}

std::int64_t Conversation::moment() const {
    return desk_->common.now.empty() ? desk_->here->now() : desk_->now;
}

bool Conversation::stopped() const {
    return std::any_of(advice_.stops.begin(), advice_.stops.end(),
                       [&](const StopNow& now) { return knowledge()[now.stop].blocks_all; });
}

EventKind Conversation::how_told() const {
    return course_.situation.who == Skill::owner ? EventKind::said : EventKind::found;
}

// ---- the loop

Status Conversation::run() {
    greet();
    work_out();
    while (!over_ && !who_is_there()) {
    }
    while (!over_)
        turn();
    farewell();
    return status_done;
}

void Conversation::greet() {
    Page page(desk_->style);
    page.text(job_line(scene_->job));
    const std::vector<Event> stands = standing(scene_->job);
    if (stands.empty())
        page.text("Nothing is written down yet.");
    else
        page.text("Goes on after " + std::to_string(stands.size()) +
                  (stands.size() == 1 ? " entry." : " entries.") +
                  " Power, pressure and covers from before do not count: whatever was off, open "
                  "or drained is taken as on and under pressure until it is stated anew.");
    page.text("Answer by number; ? shows the keys. Every answer is kept at once.");
    desk_->print(page.all() + "\n");
}

void Conversation::farewell() {
    Page page(desk_->style);
    if (is_closed(scene_->job)) {
        page.text(job_line(scene_->job) + " is closed.");
    } else {
        page.text((stopped_by_hand_ ? "" : "Nothing more was typed. ") + job_line(scene_->job) +
                  " is kept; go on with: knockwell visit --job " + short_id(scene_->job.id));
        page.text("If anything was switched off, opened or drained: it counts as on and under "
                  "pressure for whoever comes next.");
    }
    page.text(it_can_be_wrong());
    desk_->print(page.all());
}

bool Conversation::licences_of(std::string& value) {
    const std::vector<std::string> names = {"electrician", "pump-installer", "well-contractor",
                                            "laboratory"};
    Page page(desk_->style);
    page.text("Which licences? Figures together, 23 for the second and third; 0 for none.");
    for (std::size_t i = 0; i < names.size(); ++i)
        page.text(std::to_string(i + 1) + "  " + names[i], 6, 3);
    while (true) {
        const Reply reply = read(page);
        if (reply.end)
            return false;
        if (over_or_helped(reply)) {
            if (over_)
                return false;
            continue;
        }
        const bool good =
            reply.number.has_value() && std::all_of(reply.text.begin(), reply.text.end(),
                                                    [](char c) { return c >= '0' && c <= '4'; });
        if (!good) {
            not_understood();
            continue;
        }
        for (std::size_t i = 0; i < names.size(); ++i)
            if (reply.text.find(static_cast<char>('1' + i)) != std::string::npos)
                value += " " + names[i];
        return true;
    }
}

bool Conversation::who_is_there() {
    Page page(desk_->style);
    page.heading("WHO IS THERE?");
    const std::vector<std::string> lines = {
        "the customer, on the phone", "the owner alone, at the installation",
        "a helper, at the installation", "a qualified person, at the installation"};
    const auto picked = pick(page, lines);
    if (!picked)
        return false;
    std::string value = *picked < 2 ? "owner" : *picked == 2 ? "helper" : "qualified";
    if (*picked == 3 && !licences_of(value))
        return false;
    // A person makes what was made safe be forgotten; so does coming back.
    std::vector<Event> events = {event(EventKind::person, "", value)};
    if (*picked == 1)
        events.push_back(event(EventKind::resumed, "", ""));
    add(std::move(events));
    acknowledged_.clear();
    pursuit_.reset();
    dangers_asked_ = false;
    complaint_asked_ = false;
    arrived_ = *picked < 2;
    begun_ = true;
    return true;
}

void Conversation::work_out() {
    course_ = course_of(knowledge(), scene_->job);
    advice_ = {};
    beliefs_ = posterior(model_, course_.evidence);
    if (const auto* now = std::get_if<Posterior>(&beliefs_))
        advice_ = advise(model_, course_.evidence, *now, course_.situation,
                         {.most = steps_kept, .rates = &scene_->shelf.rates});
    else
        advice_.stops = stops_now(model_, course_.evidence, course_.situation);
    // A danger that is gone is shown again when it comes back.
    std::erase_if(acknowledged_, [&](StopId id) {
        return std::none_of(advice_.stops.begin(), advice_.stops.end(),
                            [&](const StopNow& now) { return now.stop == id; });
    });
}

void Conversation::turn() {
    work_out();
    for (const StopNow& now : advice_.stops)
        if (knowledge()[now.stop].blocks_all || !acknowledged_.contains(now.stop))
            return stop_turn(now);
    const auto dangers = danger_signs(knowledge(), course_.evidence);
    if (!dangers_asked_ && !dangers.empty())
        return danger_turn(dangers);
    if (!arrived_)
        return arrival_turn();
    const auto* now = std::get_if<Posterior>(&beliefs_);
    if (now == nullptr)
        return clash_turn();
    if (!complaint_asked_ && course_.evidence.repairs.empty() &&
        !anything_found(knowledge(), course_.evidence))
        return complaint_turn(*now);
    step_turn();
}

// ---- the turns

void Conversation::clash_turn() {
    Page page(desk_->style);
    AnswerNow answer;
    answer.course = course_;
    put_no_beliefs(answer, model_, beliefs_);
    show_answer(page, model_, answer, 1);
    page.text("u takes back the last answer; t tells something else.");
    const Reply reply = read(page);
    if (!common_key(reply))
        not_understood();
}

void Conversation::stop_turn(const StopNow& now) {
    const Stop& stop = knowledge()[now.stop];
    Page page(desk_->style);
    show_stops(page, knowledge(), {now});
    std::vector<SignId> lifts;
    std::vector<std::string> lines;
    for (const SignId sign : stop.cleared_by)
        if (hands(course_.situation) >= skill_to_vouch(knowledge(), sign)) {
            lifts.push_back(sign);
            lines.push_back("It is lifted, seen to by who is here: " +
                            knowledge()[sign].head.title);
        }
    if (lifts.empty() && !stop.cleared_by.empty())
        page.text("Nobody here can lift it. It waits for a qualified person, who begins with p.");
    if (!stop.blocks_all)
        lines.emplace_back("It is seen to as far as it can be; go on with what it leaves");
    const auto picked = pick(page, lines);
    if (!picked)
        return;
    if (*picked < lifts.size())
        add(EventKind::found, knowledge()[lifts[*picked]].head.id, "yes");
    else
        acknowledged_.insert(now.stop);
}

void Conversation::danger_turn(const std::vector<SignId>& signs) {
    Page page(desk_->style);
    page.heading(on_phone() ? "DANGER FIRST: READ THIS OUT" : "STOP CHECK: LOOK, LISTEN, SMELL");
    page.text("Is any of this there?", 2, 2);
    std::size_t place = 0;
    bool of_drinking = false;
    for (const SignId sign : signs) {
        if (urgency(knowledge(), sign) == Urgency::drinking && !of_drinking) {
            page.text("And of the water, which harms who drinks it:", 2, 2);
            of_drinking = true;
        }
        page.text(std::to_string(++place) + "  " + knowledge()[sign].head.title, 6, 3);
    }
    page.text("0  none of these", 6, 3);
    const Reply reply = read(page);
    if (reply.key == 'n') {
        say("Who is not sure keeps away from it, and asks or looks once more.");
        return;
    }
    if (common_key(reply))
        return;
    if (reply.number == std::size_t{0}) {
        std::vector<Event> events;
        for (const SignId sign : signs)
            events.push_back(
                event(how_told(), knowledge()[sign].head.id, knowledge()[sign].normal));
        dangers_asked_ = add(std::move(events));
        return;
    }
    if (!reply.number || *reply.number > signs.size())
        return not_understood();
    const SignId sign = signs[*reply.number - 1];
    if (knowledge()[sign].form == SignForm::flag) {
        add(how_told(), knowledge()[sign].head.id, "yes");
        return;
    }
    Page which(desk_->style);
    which.text("\"" + knowledge()[sign].ask + "\"", 4, 2);
    const Chosen chosen = value_of(which, sign);
    if (chosen.value)
        add(how_told(), knowledge()[sign].head.id, *chosen.value);
    else
        common_key(chosen.other);
}

void Conversation::complaint_turn(const Posterior& now) {
    const auto signs = complaints(model_, course_.evidence, now, 9);
    Page page(desk_->style);
    page.heading("WHAT IS THE TROUBLE?");
    std::size_t place = 0;
    for (const SignId sign : signs)
        page.text(std::to_string(++place) + "  " + knowledge()[sign].head.title, 6, 3);
    page.text("0  something else: t tells it by a word of it", 6, 3);
    const Reply reply = read(page);
    if (reply.number == std::size_t{0} || reply.key == 'n') {
        complaint_asked_ = true;
        return;
    }
    if (reply.number && *reply.number <= signs.size())
        return tell_value(signs[*reply.number - 1]);
    if (!common_key(reply))
        not_understood();
}

void Conversation::arrival_turn() {
    Page page(desk_->style);
    show_arrival(page);
    const auto picked = pick(page, {"done"});
    if (picked) {
        arrived_ = true;
        add(EventKind::note, "", "arrival: stop check, as-found readings, plates and valves");
    }
}

void Conversation::nothing_turn() {
    Page page(desk_->style);
    const bool others_can = !advice_.held_back.empty() && course_.situation.who != Skill::qualified;
    page.text(others_can ? "Nothing is left that who is here may do. Somebody more able begins "
                           "with p; l closes the job or hands it over."
                         : "Nothing is left that would pay: no look tells more, and no repair is "
                           "likely enough. l closes the job or hands it over; t tells something "
                           "else.");
    const Reply reply = read(page);
    if (!common_key(reply))
        not_understood();
}

void Conversation::step_turn() {
    const auto& now = std::get<Posterior>(beliefs_);
    Page ranking(desk_->style);
    std::vector<CauseId> likeliest = spoken_by_chance(model_, course_.evidence, now);
    likeliest.resize(std::min<std::size_t>(likeliest.size(), 3));
    for (const CauseId cause : likeliest)
        ranking.row(knowledge()[cause].head.title, percent(now.cause[cause.index()]), 4, 2);
    if (ranking.all() != ranking_shown_) {
        ranking_shown_ = ranking.all();
        Page page(desk_->style);
        page.heading("MOST LIKELY");
        desk_->print(page.all() + ranking_shown_ + "\n");
    }
    if (!choose_step())
        return nothing_turn();
    Candidate step = under_way();
    // What is set stays set while the power comes back for this step.
    if (pursuit_->prepared.contains(step.set_dead))
        step.set_dead.clear();
    const Outlay cost = outlay(knowledge(), course_.situation, step);
    std::vector<Preparation> left;
    for (const Preparation& before : cost.first)
        if (!pursuit_->prepared.contains(before.says))
            left.push_back(before);
    if (!left.empty())
        return prepare(step, left.front(), left.size());
    switch (step.kind) {
    case StepKind::test:
    case StepKind::question:
        return look(step);
    case StepKind::setting:
        return ask_setting(step);
    case StepKind::repair:
        return mend(step);
    case StepKind::refer:
        return hand_over(step);
    }
}

// ---- answers

void Conversation::say(std::string_view words) {
    Page page(desk_->style);
    page.text(words);
    desk_->print(page.all());
}

Reply Conversation::read(Page& page) {
    desk_->print(page.all());
    desk_->print("> ");
    desk_->here->out->flush();
    page = Page(desk_->style);
    Reply reply = keys_.next();
    // What was typed into a pipe leaves no line of its own.
    desk_->print(desk_->here->terminal ? "\n" : "\n\n");
    if (reply.end)
        over_ = true;
    return reply;
}

std::optional<std::size_t> Conversation::pick(Page& page, const std::vector<std::string>& lines) {
    for (std::size_t i = 0; i < lines.size(); ++i)
        page.text(std::to_string(i + 1) + "  " + lines[i], 6, 3);
    const Reply reply = read(page);
    if (reply.number && *reply.number >= 1 && *reply.number <= lines.size())
        return *reply.number - 1;
    if (!common_key(reply))
        not_understood();
    return std::nullopt;
}

void Conversation::not_understood() {
    if (!over_)
        say("That is none of the answers here. A number, or a key: ? shows them.");
}

Event Conversation::event(EventKind kind, std::string what, std::string value,
                          double minutes) const {
    Event made;
    made.at = moment();
    made.kind = kind;
    made.what = std::move(what);
    made.value = std::move(value);
    made.minutes = minutes;
    return made;
}

bool Conversation::add(EventKind kind, std::string what, std::string value, double minutes) {
    return add({event(kind, std::move(what), std::move(value), minutes)});
}

bool Conversation::add(std::vector<Event> events) {
    const auto why = keep(*scene_, events, moment());
    if (why) {
        // Escaped already, and in lines of its own.
        desk_->print(lines_within(why->text, desk_->style.width));
        return false;
    }
    std::vector<std::uint32_t> together;
    const std::vector<Event>& all = scene_->job.events;
    for (std::size_t i = all.size() - std::min(all.size(), events.size()); i < all.size(); ++i)
        together.push_back(all[i].number);
    told_together_.push_back(std::move(together));
    return true;
}

bool Conversation::over_or_helped(const Reply& reply) {
    if (reply.key == 'q') {
        over_ = true;
        stopped_by_hand_ = true;
        return true;
    }
    if (reply.key == '?') {
        help();
        return true;
    }
    return false;
}

bool Conversation::common_key(const Reply& reply) {
    if (reply.end || over_or_helped(reply))
        return true;
    // Before anybody said who is there, the one before is still in the entries. And a question in a
    // question in a question is answered first, or a pipe full of one key would have no bottom.
    constexpr std::size_t deepest = 3;
    if (!begun_ || depth_ == deepest)
        return false;
    ++depth_;
    const bool known = key_in_turn(reply.key);
    --depth_;
    return known;
}

bool Conversation::key_in_turn(char key) {
    switch (key) {
    case 'u':
        undo();
        return true;
    case 'p':
        (void)who_is_there();
        return true;
    case 'b':
        everybody_leaves();
        return true;
    case 'd':
        dangers_asked_ = false;
        return true;
    case 't':
        tell();
        return true;
    case 'o':
        others();
        return true;
    case 'w':
        why();
        return true;
    case 'r':
        roll();
        return true;
    case 'l':
        close();
        return true;
    default:
        return false;
    }
}

void Conversation::help() {
    Page page(desk_->style);
    page.heading("KEYS");
    for (const char* line :
         {"1 2 3 ...  the answer of that number", "n  not sure", "c  that cannot be done here",
          "u  undo the last answer", "w  why this step: what each outcome would change",
          "o  other steps", "t  tell something else, in any order",
          "d  a danger: the stop check again", "r  roll the truck? and what it should carry",
          "p  another person is there", "b  break: everybody leaves",
          "l  leave for good: close the job, or hand it over", "q  stop here; the job is kept"})
        page.text(line, 6, 3);
    desk_->print(page.all());
}

// ---- the command

namespace {

/// Whether there is no ledger yet, or no open job in it.
bool no_job_is_open(const Desk& desk) {
    const auto file = ledger_file(*desk.here, desk.common.ledger);
    std::error_code none;
    if (!file || !std::filesystem::exists(*file, none))
        return file.has_value();
    const auto ledger = open_ledger(desk, false);
    const auto* it = std::get_if<Ledger>(&ledger);
    return it != nullptr && !it->current();
}

/// The codes of a new job; nothing is begun where one is missing.
bool asked(const Desk& desk, Keys& keys, NewJob& wanted) {
    const auto ask = [&](std::string_view says, std::string& into) {
        Page page(desk.style);
        page.text(says);
        desk.print(page.all() + "> ");
        desk.here->out->flush();
        const Reply reply = keys.next();
        desk.print(desk.here->terminal ? "\n" : "\n\n");
        into = reply.key != 0 ? std::string(1, reply.key) : reply.text;
        into.resize(std::min(into.size(), longest_what));
        return !reply.end && !into.empty();
    };
    return ask("No job is open; a new one begins. Code of the area, such as heron-bottom; only "
               "Enter begins none.",
               wanted.area) &&
           ask("Code of the house, such as HB-17; no name, no address.", wanted.installation);
}

}  // namespace

Status carry_out(const VisitCommand& visit, const Desk& desk) {
    if (desk.common.json)
        return complain(desk, refused("visit --json",
                                      "a visit is a conversation; the answer as JSON is: "
                                      "knockwell next --json",
                                      {}));
    if (!visit.area.empty() && !visit.job.empty())
        return complain(desk, refused("visit --job " + visit.job,
                                      "go on with a job, or begin one with --area; not both", {}));
    NewJob wanted{visit.area, visit.installation, visit.call_back_of};
    Keys keys(desk.here->in);
    if (wanted.area.empty() && visit.job.empty() && no_job_is_open(desk) &&
        !asked(desk, keys, wanted))
        return complain(desk, NoJob{"knockwell: no job is open; begin one with its codes, no name, "
                                    "no address: knockwell visit --area heron-bottom "
                                    "--installation HB-17\n",
                                    status_problems});
    auto scene = wanted.area.empty() ? scene_for(desk, visit.job) : begin_job(desk, wanted, {});
    if (const auto* status = std::get_if<Status>(&scene))
        return *status;
    Scene& here = std::get<Scene>(scene);
    if (is_closed(here.job))
        return complain(desk, refused("visit --job " + visit.job,
                                      "the job is closed; go on with it after: knockwell jobs "
                                      "reopen " +
                                          short_id(here.job.id),
                                      {}));
    Page there(desk.style);
    for (const std::string& warning : dangers_there(here.shelf, here.ledger, here.job, desk.now))
        there.signal("WARNING", warning, 0);
    if (!wanted.area.empty())
        there.text(known_of_the_house(here.shelf, here.ledger, here.job));
    desk.print(there.all());
    return Conversation(desk, here).run();
}

}  // namespace knockwell
