// The keys that hold everywhere: undo, other steps, why, and whatever else is to be told.
#include "advice/looks.hpp"
#include "advice/phone.hpp"
#include "advice/rules.hpp"
#include "base/words.hpp"
#include "cli/dangers.hpp"
#include "cli/effects.hpp"
#include "cli/show_truck.hpp"
#include "cli/show_why.hpp"
#include "cli/visit.hpp"
#include "cli/words.hpp"
#include "knowledge/lookup.hpp"

#include <algorithm>
#include <utility>

namespace knockwell {
namespace {

constexpr std::size_t most_found = 9;  // one figure each
constexpr double cover_of_the_truck = 0.9;

/// Whether every word typed stands somewhere in it; case does not matter.
bool fits(const std::string& typed, const std::string& text) {
    const std::string in = small_letters(text);
    const std::string words = small_letters(typed);
    std::size_t at = 0;
    while (at < words.size()) {
        const std::size_t end = std::min(words.find(' ', at), words.size());
        if (end > at && in.find(words.substr(at, end - at)) == std::string::npos)
            return false;
        at = end + 1;
    }
    return true;
}

/// What can be taken back in a conversation: an answer. Who came and what was switched on is told
/// anew instead.
bool is_an_answer(const Event& event) {
    switch (event.kind) {
    case EventKind::set:
    case EventKind::said:
    case EventKind::found:
    case EventKind::pass:
    case EventKind::did_test:
    case EventKind::did:
    case EventKind::cause:
    case EventKind::note:
        return true;
    case EventKind::state:
        return event.value != "on" && event.value != "up" && event.value != "filled";
    default:
        return false;
    }
}

std::string in_words(const Event& event) {
    std::string words(to_text(event.kind));
    if (!event.what.empty())
        words += " " + event.what;
    if (!event.value.empty())
        words += (event.what.empty() ? " " : " = ") + event.value;
    return words;
}

}  // namespace

// ---- undo

void Conversation::undo() {
    const std::vector<Event> stands = standing(scene_->job);
    const auto last = std::find_if(stands.rbegin(), stands.rend(), is_an_answer);
    if (last == stands.rend()) {
        say("There is no answer to take back.");
        return;
    }
    const Event& answer = *last;
    // What one line told is taken back as one.
    std::vector<Event> corrections;
    const auto together = std::find_if(
        told_together_.begin(), told_together_.end(), [&](const std::vector<std::uint32_t>& all) {
            return std::find(all.begin(), all.end(), answer.number) != all.end();
        });
    for (const Event& one : stands) {
        const bool with =
            together != told_together_.end() &&
            std::find(together->begin(), together->end(), one.number) != together->end();
        if (one.number == answer.number || (with && is_an_answer(one)))
            corrections.push_back(event(EventKind::undo, std::to_string(one.number), ""));
    }
    // A danger is not undone by a slip of a wet finger.
    const auto without = with_events(knowledge(), scene_->job, corrections);
    if (const auto* job = std::get_if<Job>(&without)) {
        const Course then = course_of(knowledge(), *job);
        const auto left = stops_now(model_, then.evidence, then.situation);
        if (!dangers_gone(knowledge(), advice_.stops, left).empty()) {
            Page page(desk_->style);
            page.text("That would take back a danger: " + in_words(answer));
            page.text("1  it was told by mistake", 6, 3);
            page.text("2  it stays", 6, 3);
            if (read(page).number != std::size_t{1})
                return say("It stays.");
        }
    }
    const std::size_t count = corrections.size();
    if (!add(std::move(corrections)))
        return;
    say("Taken back: " + in_words(answer) +
        (count > 1 ? " and " + std::to_string(count - 1) + " told with it." : "."));
    const SignId sign = sign_named(knowledge(), answer.what);
    const auto dangers = danger_signs(knowledge(), course_.evidence);
    if (std::find(dangers.begin(), dangers.end(), sign) != dangers.end())
        dangers_asked_ = false;
    rechecks_.clear();
    pursuit_.reset();
    // What was answered is asked again.
    if (const auto named = value_and_test(answer.value).test;
        answer.kind == EventKind::found && named) {
        const TestId test = test_named(knowledge(), *named);
        if (test.valid())
            begin(StepKind::test, test.index());
    } else if (answer.kind == EventKind::said) {
        if (sign.valid() && knowledge()[sign].symptom && count == 1)
            begin(StepKind::question, sign.index());
    } else if (answer.kind == EventKind::set) {
        const SettingId setting = setting_named(knowledge(), answer.what);
        if (setting.valid() && !knowledge()[setting].table)
            begin(StepKind::setting, setting.index());
    }
}

void Conversation::everybody_leaves() {
    if (!add(EventKind::left, "", ""))
        return;
    Page page(desk_->style);
    page.text("Everybody left. What is off stays off and tagged, what is open is covered; whoever "
              "comes next begins anew.");
    desk_->print(page.all());
    over_ = true;
    stopped_by_hand_ = true;
}

// ---- other steps, and why

void Conversation::others() {
    if (stopped() || advice_.next.empty()) {
        say(stopped() ? "Nothing but the danger, until it is lifted."
                      : "There are no other steps for who is here.");
        return;
    }
    Page page(desk_->style);
    page.heading("OTHER STEPS");
    std::vector<std::string> lines;
    for (const Suggestion& step : advice_.next)
        lines.push_back(std::string(deed(step.kind, step.own_licence)) + ": " + step.title + ", " +
                        minutes_words(step.minutes));
    if (const auto picked = pick(page, lines)) {
        const Suggestion& step = advice_.next[*picked];
        begin(step.kind, index_of(knowledge(), step.kind, step.id));
    }
}

void Conversation::why() {
    const auto* now = std::get_if<Posterior>(&beliefs_);
    if (!pursuit_ || now == nullptr || stopped()) {
        say("There is no step under way.");
        return;
    }
    const Candidate step = under_way();
    Page page(desk_->style);
    if (step.kind == StepKind::repair || step.kind == StepKind::refer)
        show_what_it_mends(page, knowledge(), *now, step);
    else
        show_effects(
            page, knowledge(), step,
            effects_of(model_, course_.evidence, *now, advice_.own, look_of(knowledge(), step)));
    desk_->print(page.all() + "\n");
}

void Conversation::roll() {
    const auto* now = std::get_if<Posterior>(&beliefs_);
    if (now == nullptr)
        return say("Nothing can be said of the truck while the findings cannot all be true.");
    Page page(desk_->style);
    show_phone_stage(page, knowledge(),
                     phone_stage(model_, course_.evidence, *now, course_.situation,
                                 cover_of_the_truck, &scene_->shelf.rates),
                     scene_->shelf.rates);
    desk_->print(page.all() + "\n");
}

// ---- free order

void Conversation::tell() {
    Page page(desk_->style);
    page.heading("TELL SOMETHING ELSE");
    const auto picked =
        pick(page, {"something seen, heard, measured or reported", "a fact of the installation",
                    "a repair that was made", "a part or a tool that is not on the truck",
                    "power, water and covers", "words to keep with the job"});
    if (!picked)
        return;
    switch (*picked) {
    case 0:
        return tell_sign();
    case 1:
        return tell_setting();
    case 2:
        return tell_repair();
    case 3:
        return tell_truck();
    case 4:
        return tell_state();
    default:
        return tell_words();
    }
}

void Conversation::tell_sign() {
    Page page(desk_->style);
    page.text("A word of it; or only Enter for what matters most now.");
    const Reply reply = read(page);
    if (reply.end)
        return;
    const std::string typed = reply.key != 0 ? std::string(1, reply.key) : reply.text;
    std::vector<SignId> found;
    const auto offer = [&](SignId sign) {
        if (found.size() < most_found && std::find(found.begin(), found.end(), sign) == found.end())
            found.push_back(sign);
    };
    if (typed.empty()) {
        if (const auto* now = std::get_if<Posterior>(&beliefs_))
            for (const CauseId cause : by_chance(*now))
                for (const Shows& shows : knowledge()[cause].shows)
                    offer(shows.sign);
    } else {
        for (std::size_t i = 0; i < knowledge().signs.size(); ++i) {
            const Sign& sign = knowledge().signs[i];
            std::string text = sign.head.id + " " + sign.head.title;
            for (const std::string& also : sign.also)
                text += " " + also;
            if (fits(typed, text))
                offer(SignId(i));
        }
        // The question may have the word that the title lacks.
        for (std::size_t i = 0; i < knowledge().signs.size(); ++i)
            if (knowledge().signs[i].symptom && fits(typed, knowledge().signs[i].ask))
                offer(SignId(i));
    }
    if (found.empty()) {
        std::string facts;
        for (const ChoiceOf& choice : choices_said_as(knowledge(), typed))
            facts +=
                " It may be a fact of the installation: " + knowledge()[choice.setting].head.title +
                ", " + knowledge()[choice.setting].states[choice.state] + ".";
        return say("No sign has that in its words." + facts);
    }
    std::vector<std::string> lines;
    for (const SignId sign : found)
        lines.push_back(knowledge()[sign].head.title);
    const auto picked = pick(page, lines);
    if (!picked)
        return;
    const SignId sign = found[*picked];
    if (lifts_a_stop(knowledge(), sign) &&
        hands(course_.situation) < skill_to_vouch(knowledge(), sign))
        return say("That lifts a danger, so only who may make that look can tell it.");
    tell_value(sign);
}

void Conversation::tell_value(SignId sign) {
    Page page(desk_->style);
    page.text(knowledge()[sign].ask.empty() ? knowledge()[sign].head.title
                                            : "\"" + knowledge()[sign].ask + "\"",
              4, 2);
    const Chosen chosen = value_of(page, sign);
    if (chosen.value) {
        const bool reported = how_told() == EventKind::said && knowledge()[sign].symptom;
        add(reported ? EventKind::said : EventKind::found, knowledge()[sign].head.id,
            *chosen.value);
    } else if (!common_key(chosen.other)) {
        not_understood();
    }
}

void Conversation::tell_setting() {
    Page page(desk_->style);
    page.text("A word of it; or only Enter for all that is not known yet.");
    const Reply reply = read(page);
    if (reply.end)
        return;
    std::vector<std::size_t> found;
    for (std::size_t i = 0; i < knowledge().settings.size(); ++i) {
        const Setting& setting = knowledge().settings[i];
        std::string text = setting.head.id + " " + setting.head.title;
        for (const auto& of_state : setting.also)
            for (const std::string& also : of_state)
                text += " " + also;
        const bool wanted = reply.text.empty() ? !course_.evidence.settings.contains(SettingId(i))
                                               : fits(reply.text, text);
        if (!setting.table && wanted)
            found.push_back(i);
    }
    if (found.empty())
        return say("No fact of the installation has that in its words.");
    std::vector<std::string> lines;
    for (const std::size_t i : found)
        lines.push_back(knowledge().settings[i].head.title);
    const auto picked = pick(page, lines);
    if (!picked)
        return;
    const Setting& setting = knowledge().settings[found[*picked]];
    page.text("\"" + setting.ask + "\"", 4, 2);
    const std::vector<Choice> choices = choices_of(setting);
    std::vector<std::string> values;
    for (const Choice& choice : choices)
        values.push_back(choice.says);
    if (const auto value = pick(page, values))
        add(EventKind::set, setting.head.id, choices[*value].value);
}

void Conversation::tell_repair() {
    Page page(desk_->style);
    page.text("A word of the repair that was made.");
    const Reply reply = read(page);
    if (reply.end || reply.text.empty())
        return;
    std::vector<std::size_t> found;
    std::vector<std::string> lines;
    for (std::size_t i = 0; i < knowledge().repairs.size() && found.size() < most_found; ++i) {
        const Head& head = knowledge().repairs[i].step.head;
        if (fits(reply.text, head.id + " " + head.title)) {
            found.push_back(i);
            lines.push_back(head.title);
        }
    }
    if (found.empty())
        return say("No repair has that in its words.");
    const auto picked = pick(page, lines);
    if (!picked)
        return;
    const Repair& repair = knowledge().repairs[found[*picked]];
    if (!add(EventKind::did, repair.step.head.id, ""))
        return;
    pursuit_.reset();
    for (const TestId test : repair.recheck)
        rechecks_.push_back(test);
}

void Conversation::tell_truck() {
    Page page(desk_->style);
    page.text("A word of the part or tool that is missing.");
    const Reply reply = read(page);
    if (reply.end || reply.text.empty())
        return;
    std::vector<std::string> found;
    std::vector<std::string> lines;
    const auto offer = [&](const std::string& id, const std::string& title) {
        if (found.size() < most_found && fits(reply.text, id + " " + title)) {
            found.push_back(id);
            lines.push_back(title);
        }
    };
    for (const Part& part : knowledge().parts)
        offer("part:" + part.head.id, part.head.title);
    for (const std::string& tool : all_tools(knowledge()))
        offer("tool:" + tool, tool);
    if (found.empty())
        return say("No part or tool has that in its words.");
    if (const auto picked = pick(page, lines))
        add(EventKind::state, "lacks", found[*picked]);
}

// Only towards the more dangerous anybody may tell; the other way it is a qualified person's work.
void Conversation::tell_state() {
    struct State {
        std::string says;
        std::string what;
        std::string value;
        Skill least = Skill::owner;
    };
    const std::vector<State> all = {
        {"power is on, or may be", "power", "on", Skill::owner},
        {"water is back, pressure may be up", "pressure", "up", Skill::owner},
        {"power is off, locked, tried, every leg proved dead by me", "power", "off",
         Skill::qualified},
        {"an opened drain has stopped running by itself", "pressure", "zero", Skill::helper},
        {"the tank is drained of its water; its air is still there", "tank", "drained",
         Skill::helper}};
    std::vector<State> open;
    std::vector<std::string> lines;
    for (const State& state : all)
        if (hands(course_.situation) >= state.least) {
            open.push_back(state);
            lines.push_back(state.says);
        }
    Page page(desk_->style);
    if (const auto picked = pick(page, lines))
        add(EventKind::state, open[*picked].what, open[*picked].value);
}

void Conversation::tell_words() {
    Page page(desk_->style);
    page.text("The words, in one line; no names, no addresses.");
    const Reply reply = read(page);
    if (!reply.end && !reply.text.empty())
        add(EventKind::note, "", reply.text);
}

}  // namespace knockwell
