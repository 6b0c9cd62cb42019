// The step under way: its preparations, what was found, what was mended.
#include "advice/rules.hpp"
#include "base/quantity.hpp"
#include "base/words.hpp"
#include "beliefs/worked.hpp"
#include "cli/visit.hpp"
#include "cli/words.hpp"

#include <algorithm>
#include <utility>

namespace knockwell {
namespace {

/// Without them the question has no answer, with them the sign is told by its level.
constexpr char by_level = 'r';
constexpr char by_measure = 'm';

std::vector<Event> events_after(const Preparation& before, Event base) {
    std::vector<Event> all;
    const auto state = [&](std::string what, std::string value) {
        base.kind = EventKind::state;
        base.what = std::move(what);
        base.value = std::move(value);
        all.push_back(base);
    };
    switch (before.what) {
    case Prepares::lock_out:
        state("power", "off");
        break;
    case Prepares::relieve:
        state("pressure", "zero");
        break;
    case Prepares::drain:
        state("tank", "drained");
        state("pressure", "zero");
        break;
    case Prepares::restore:
        state("power", "on");
        break;
    case Prepares::pressure_up:
        state("pressure", "up");
        break;
    case Prepares::reach:
    case Prepares::put_back:
    case Prepares::set_dead:
    case Prepares::switch_off:
    case Prepares::find_customer:
        break;
    }
    return all;
}

std::string done_words(Prepares what) {
    switch (what) {
    case Prepares::lock_out:
        return "done: off, locked, tried, every leg proved dead by me";
    case Prepares::relieve:
        return "done: the opened drain has stopped running by itself";
    case Prepares::drain:
        return "done: the opened drain has stopped running, the tank is empty of water";
    case Prepares::put_back:
        return "done: it is put back";
    case Prepares::set_dead:
        return "done: it is set, hands and tools are out";
    case Prepares::restore:
        return "done: everybody clear, power is on, hands off";
    case Prepares::pressure_up:
        return "done: pressure is up";
    case Prepares::switch_off:
        return "done: the breaker is off";
    case Prepares::reach:
        return "done: I am there";
    case Prepares::find_customer:
        return "done";
    }
    return "done";
}

}  // namespace

void Conversation::begin(StepKind kind, std::size_t index, bool after_repair) {
    pursuit_ = Pursuit{kind, index, {}, {}, after_repair};
}

std::optional<Findable> Conversation::still_to_find(const Test& test, TestId id) const {
    const Evidence& evidence = course_.evidence;
    for (const Findable& what : test.reveals) {
        const auto* sign = std::get_if<SignId>(&what);
        if (sign != nullptr && pursuit_ && pursuit_->skipped.contains(*sign))
            continue;
        const bool found =
            std::any_of(evidence.findings.begin(), evidence.findings.end(), [&](const Finding& it) {
                return it.what == what && it.stage + 1 == evidence.stages() &&
                       it.via == Via::test && it.test == id;
            });
        if (!found)
            return what;
    }
    return std::nullopt;
}

// The step that was begun goes on as long as it may be made here; then what shows that a repair
// holds; then what the advice puts first.
bool Conversation::choose_step() {
    while (true) {
        if (!pursuit_) {
            if (!rechecks_.empty()) {
                begin(StepKind::test, rechecks_.front().index(), true);
                rechecks_.pop_front();
            } else if (!advice_.next.empty()) {
                const Suggestion& first = advice_.next.front();
                begin(first.kind, index_of(knowledge(), first.kind, first.id));
            } else {
                return false;
            }
        }
        const Candidate step = under_way();
        const auto* now = std::get_if<Posterior>(&beliefs_);
        Standing standing{&knowledge(), &course_.situation, &course_.evidence, advice_.stops,
                          {},           advice_.own};
        if (now != nullptr) {
            standing.cause = now->cause;
            standing.setting = now->setting;
        }
        if (const Verdict why = forbids(standing, step)) {
            say("Held back: " + step.title + ": " + *why + ".");
            // What the advice puts first is never forbidden, so this comes to an end.
            pursuit_.reset();
            continue;
        }
        const bool found_all = step.kind == StepKind::test &&
                               !still_to_find(knowledge().tests[step.index], TestId(step.index));
        if (!found_all)
            return true;
        const bool unsure = !pursuit_->skipped.empty();
        pursuit_.reset();
        if (unsure && add(EventKind::pass, key_of(step), "not-sure"))
            work_out();
    }
}

Candidate Conversation::under_way() const {
    return step_at(knowledge(), course_.evidence, course_.situation, pursuit_->kind,
                   pursuit_->index);
}

void Conversation::show_step_head(Page& page, const Candidate& step, double minutes) const {
    const std::string again = pursuit_->after_repair ? "Shows that the repair holds: " : "";
    page.row(again + std::string(deed(step.kind, step.own_licence)) + ": " + step.title,
             minutes_words(minutes), 2, 0);
    for (const CautionId id : step.cautions)
        page.signal(signal_word(knowledge()[id]), knowledge()[id].text, 2);
}

void Conversation::prepare(const Candidate& step, const Preparation& before, std::size_t left) {
    const Outlay cost = outlay(knowledge(), course_.situation, step);
    Page page(desk_->style);
    show_step_head(page, step, cost.minutes);
    for (const CautionId id : before.cautions)
        if (std::find(step.cautions.begin(), step.cautions.end(), id) == step.cautions.end())
            page.signal(signal_word(knowledge()[id]), knowledge()[id].text, 2);
    page.text((before.what == Prepares::reach ? "Reach: " : "First: ") + before.says, 4, 2);
    if (left > 1)
        page.text("(" + std::to_string(left - 1) + " more before the step itself)", 2, 2);
    page.text("1  " + done_words(before.what), 6, 3);
    const Reply reply = read(page);
    if (reply.number == std::size_t{1})
        return prepared(step, before);
    if (reply.key == 'c')
        return pass(step, "cannot");
    if (reply.key == 'n') {
        say("Not sure is not done. Do it once more, or c: it cannot be done here.");
        return;
    }
    if (!common_key(reply))
        not_understood();
}

void Conversation::prepared(const Candidate& step, const Preparation& before) {
    std::vector<Event> events = events_after(before, event(EventKind::state, "", ""));
    if (before.what == Prepares::reach)
        events.push_back(event(EventKind::state, "access", knowledge()[before.at].head.id));
    if (before.what == Prepares::restore || before.what == Prepares::pressure_up) {
        // With power back every cover that comes off dead is taken as on again; those of this step
        // stay off, since it watches what is behind them. What holds pressure was closed.
        for (const AccessId on_the_way : way_to(knowledge(), step.at))
            if (course_.situation.reached.contains(on_the_way) &&
                !knowledge()[on_the_way].pressure_zero)
                events.push_back(
                    event(EventKind::state, "access", knowledge()[on_the_way].head.id));
    }
    if (events.empty())
        pursuit_->prepared.insert(before.says);
    else
        add(std::move(events));
}

void Conversation::pass(const Candidate& step, const std::string& how) {
    if (add(EventKind::pass, key_of(step), how))
        pursuit_.reset();
}

void Conversation::not_sure(const Candidate& step, std::optional<SignId> sign) {
    const bool several =
        step.kind == StepKind::test && knowledge().tests[step.index].reveals.size() > 1;
    if (sign && several)
        pursuit_->skipped.insert(*sign);
    else
        pass(step, "not-sure");
}

void Conversation::look(const Candidate& step) {
    const bool test = step.kind == StepKind::test;
    const Findable what = test ? *still_to_find(knowledge().tests[step.index], TestId(step.index))
                               : Findable(SignId(step.index));
    const auto* sign = std::get_if<SignId>(&what);
    Page page(desk_->style);
    show_step_head(page, step, step.minutes);
    page.text(test ? "Do: " + step.how : "\"" + step.how + "\"", 4, 2);
    if (test) {
        const std::string& asks =
            sign != nullptr && !knowledge()[*sign].ask.empty() ? knowledge()[*sign].ask
            : sign != nullptr                                  ? knowledge()[*sign].head.title
                              : knowledge()[std::get<SettingId>(what)].head.title;
        page.text("What was found: " + asks, 4, 2);
    }
    const Chosen chosen = value_of(page, what);
    if (chosen.value) {
        const std::string& id = sign != nullptr ? knowledge()[*sign].head.id
                                                : knowledge()[std::get<SettingId>(what)].head.id;
        const bool kept = test ? add(EventKind::found, id, *chosen.value + "@" + step.id)
                               : add(EventKind::said, id, *chosen.value);
        if (kept && !test)
            pursuit_.reset();
        return;
    }
    if (chosen.other.key == 'c')
        return pass(step, "cannot");
    if (chosen.other.key == 'n')
        return not_sure(step, sign != nullptr ? std::optional(*sign) : std::nullopt);
    if (!common_key(chosen.other))
        not_understood();
}

void Conversation::ask_setting(const Candidate& step) {
    const Setting& setting = knowledge().settings[step.index];
    const std::vector<Choice> choices = choices_of(setting);
    Page page(desk_->style);
    show_step_head(page, step, step.minutes);
    page.text("\"" + step.how + "\"", 4, 2);
    std::size_t place = 0;
    for (const Choice& choice : choices)
        page.text(std::to_string(++place) + "  " + choice.says, 6, 3);
    const Reply reply = read(page);
    if (reply.number && *reply.number >= 1 && *reply.number <= choices.size()) {
        if (add(EventKind::set, step.id, choices[*reply.number - 1].value))
            pursuit_.reset();
        return;
    }
    if (reply.key == 'c' || reply.key == 'n')
        return pass(step, reply.key == 'c' ? "cannot" : "not-sure");
    if (!common_key(reply))
        not_understood();
}

void Conversation::mend(const Candidate& step) {
    Page page(desk_->style);
    show_step_head(page, step, step.minutes);
    page.text("Do: " + step.how, 4, 2);
    std::vector<std::string> parts;
    for (const PartUse& use : step.parts)
        parts.push_back((use.pieces == 1 ? "" : number(use.pieces) + " x ") +
                        knowledge()[use.part].head.title);
    if (!parts.empty())
        page.text("Parts: " + list_of(parts), 4, 2);
    if (!step.tools.empty())
        page.text("Tools: " + list_of(step.tools), 4, 2);
    page.text("1  done", 6, 3);
    const Reply reply = read(page);
    if (reply.key == 'c' || reply.key == 'n')
        return pass(step, reply.key == 'c' ? "cannot" : "not-sure");
    if (reply.number != std::size_t{1}) {
        if (!common_key(reply))
            not_understood();
        return;
    }
    if (!add(EventKind::did, step.id, ""))
        return;
    const std::uint32_t entry = scene_->job.events.back().number;
    pursuit_.reset();
    for (const TestId test : knowledge().repairs[step.index].recheck)
        rechecks_.push_back(test);
    Page took(desk_->style);
    took.text("Kept. How many minutes did it take? A number, or only Enter.");
    const Reply minutes = read(took);
    if (minutes.number && *minutes.number > 0)
        add(EventKind::instead, std::to_string(entry), "", static_cast<double>(*minutes.number));
    else if (!minutes.text.empty() || minutes.key != 0)
        say("No minutes are kept.");
}

void Conversation::hand_over(const Candidate& step) {
    Page page(desk_->style);
    show_step_head(page, step, step.minutes);
    page.text(step.how, 4, 2);
    page.text(step.own_licence ? "1  it is done, or becomes a job of its own: close this one"
                               : "1  hand it over now: close the job so",
              6, 3);
    page.text("c  that cannot be done here; go on with other steps", 6, 3);
    const Reply reply = read(page);
    if (reply.number == std::size_t{1})
        return close();
    if (reply.key == 'c' || reply.key == 'n')
        return pass(step, reply.key == 'c' ? "cannot" : "not-sure");
    if (!common_key(reply))
        not_understood();
}

// ---- values

Conversation::Chosen Conversation::worked_value(const Reading& reading) {
    const WorkedOut& worked = *reading.worked;
    Page page(desk_->style);
    page.text("Type what was measured: " + inputs_to_type(worked));
    const Reply reply = read(page);
    if (!reply.text.empty() && !reply.number)
        return {reply.text, {}};
    return {{}, reply};
}

Conversation::Chosen Conversation::value_of(Page& page, const Findable& what) {
    const auto* sign = std::get_if<SignId>(&what);
    const auto choices = choices_of(knowledge(), what);
    const auto list = [&](Page& on) {
        std::size_t place = 0;
        for (const Choice& choice : choices)
            on.text(std::to_string(++place) + "  " + choice.says, 6, 3);
    };
    const auto chosen = [&](const Reply& reply) -> Chosen {
        if (reply.number && *reply.number >= 1 && *reply.number <= choices.size())
            return {choices[*reply.number - 1].value, {}};
        return {{}, reply};
    };
    if (sign == nullptr || !knowledge()[*sign].reading) {
        list(page);
        return chosen(read(page));
    }
    const Reading& reading = *knowledge()[*sign].reading;
    page.text("Type the number" + (reading.unit.empty() ? "" : ", in " + reading.unit) +
                  "; r: by its level" + (reading.worked ? "; m: by what was measured for it" : "") +
                  ".",
              4, 2);
    const Reply reply = read(page);
    if (reply.key == by_level) {
        Page levels(desk_->style);
        list(levels);
        return chosen(read(levels));
    }
    if (reply.key == by_measure && reading.worked)
        return worked_value(reading);
    if (reply.text.empty())
        return {{}, reply};
    const auto quantity = parse_quantity(reply.text);
    if (const auto* wrong = std::get_if<std::string>(&quantity)) {
        say(in_quotes(reply.text) + ": " + *wrong + ".");
        return {{}, {}};
    }
    return {reply.text, {}};
}

}  // namespace knockwell
