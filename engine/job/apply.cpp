#include "job/apply.hpp"

#include "advice/cost.hpp"
#include "advice/mass.hpp"
#include "advice/rules.hpp"
#include "base/nearest.hpp"
#include "base/words.hpp"
#include "beliefs/edges.hpp"
#include "beliefs/finding.hpp"
#include "job/leaving.hpp"
#include "job/vocabulary.hpp"

#include <algorithm>
#include <cassert>
#include <functional>
#include <sstream>
#include <utility>

namespace knockwell {
namespace {

// Far less than what brings a stop up: whatever lifted a stop must be shown again after such a
// finding.
constexpr double hint_of_danger = 0.001;

constexpr std::size_t most_near = 3;  // names that may have been meant

std::string in_words(const NotNamed& none) {
    if (none.nearest.empty())
        return none.says;
    return none.says + "; nearest: " + list_of(none.nearest, "or");
}

template <class Thing>
std::string not_called(std::string_view kind, const std::string& typed,
                       const std::vector<Thing>& things,
                       const std::function<const Head&(const Thing&)>& head) {
    std::vector<std::string> ids;
    std::vector<std::vector<std::string>> words;
    for (const Thing& thing : things) {
        ids.push_back(head(thing).id);
        words.push_back(small_words_of(ids.back() + " " + head(thing).title));
    }
    std::vector<std::string> near = nearest(small_letters(typed), ids);
    if (near.empty())  // a piece of a title, most likely
        for (const std::size_t place : by_common_words(small_words_of(typed), words))
            if (near.size() < most_near)
                near.push_back(ids[place]);
    for (std::string& id : near)
        id = escape_controls(id);
    const std::string says = "no " + std::string(kind) + " is called " + in_quotes(typed);
    return near.empty() ? says : says + "; nearest: " + list_of(near, "or");
}

/// What is kept is never taken for the nearest thing; but that is most likely what was meant.
std::string not_so_called(std::string_view kind, const std::string& typed, const Head& meant) {
    return "no " + std::string(kind) + " is called " + in_quotes(typed) +
           "; nearest: " + escape_controls(meant.id + " (" + meant.title + ")");
}

std::string no_test(const Knowledge& knowledge, const std::string& typed) {
    return not_called<Test>("test", typed, knowledge.tests,
                            [](const Test& test) -> const Head& { return test.step.head; });
}

std::string no_repair(const Knowledge& knowledge, const std::string& typed) {
    return not_called<Repair>("repair", typed, knowledge.repairs,
                              [](const Repair& repair) -> const Head& { return repair.step.head; });
}

// ---- where one stands

/// A step that was made: how it must have been, taken only towards the more dangerous.
void was_done(const Knowledge& knowledge, const Step& step, Situation& situation) {
    const bool ran = step.needs.pump == "running" || step.needs.pump == "called";
    if (step.needs.power == Power::on || ran)
        no_longer_off(knowledge, situation);
    if (step.needs.pressure == Pressure::up || ran)
        water_is_back(knowledge, situation);
    for (const AccessId access : way_to(knowledge, step.at)) {
        // That a cover came off for this step does not say that it still is off.
        if (knowledge[access].power_off || knowledge[access].pressure_zero)
            break;
        situation.reached.insert(access);
    }
}

template <class Thing>
void lack(std::set<Thing>& lacking, const Thing& thing, bool lacks) {
    if (lacks)
        lacking.insert(thing);
    else
        lacking.erase(thing);
}

/// "part:bladder-tank" or "tool:clamp meter" is missing, or is there after all.
std::string truck(const Knowledge& knowledge, const Event& event, Situation& situation) {
    const bool lacks = event.what == "lacks";
    const std::size_t colon = event.value.find(':');
    const std::string kind = event.value.substr(0, colon);
    const std::string id = colon == std::string::npos ? "" : event.value.substr(colon + 1);
    for (std::size_t i = 0; kind == "part" && i < knowledge.parts.size(); ++i)
        if (knowledge.parts[i].head.id == id) {
            lack(situation.lacking_parts, PartId(i), lacks);
            return {};
        }
    const std::vector<std::string> tools = all_tools(knowledge);
    if (kind == "tool" && std::find(tools.begin(), tools.end(), id) != tools.end()) {
        lack(situation.lacking_tools, id, lacks);
        return {};
    }
    return "no part or tool is called " + in_quotes(event.value) +
           "; write part: and its identifier, or tool: and its name";
}

std::string state(const Knowledge& knowledge, const Event& event, Situation& situation) {
    if (event.what == "power") {
        situation.power_off = event.value == "off";
        vouch(knowledge, &Sign::stated_by_power_off, situation);
        if (!situation.power_off)
            power_is_back(knowledge, situation);
        return {};
    }
    if (event.what == "pressure") {
        vouch(knowledge, &Sign::stated_by_pressure_zero, situation);
        if (event.value == "zero")
            situation.pressure_zero = situation.water_open = true;
        else
            water_is_back(knowledge, situation);
        return {};
    }
    if (event.what == "tank") {
        situation.tank_drained = event.value == "drained";
        situation.water_open = situation.water_open || situation.tank_drained;
        return {};
    }
    if (event.what == "lacks" || event.what == "carries")
        return truck(knowledge, event, situation);
    const AccessId access = access_named(knowledge, event.value);
    if (!access.valid())
        return not_called<Access>("access", event.value, knowledge.accesses,
                                  [](const Access& one) -> const Head& { return one.head; });
    for (const AccessId on_the_way : way_to(knowledge, access))
        situation.reached.insert(on_the_way);
    return {};
}

/// The one of that word; there is one (job/vocabulary.hpp).
template <class All>
typename All::value_type word_for(const std::string& text, const All& words) {
    for (const auto word : words)
        if (to_text(word) == text)
            return word;
    assert(false && "a word that the vocabulary let pass");
    return words.front();
}

void person(const Event& event, Situation& situation) {
    std::istringstream words(event.value);
    std::string word;
    words >> word;
    forget_what_was_made_safe(situation);
    situation.who = word_for(word, all_skills);
    situation.on_site = situation.who != Skill::owner;
    situation.vouches = situation.who;
    situation.licences.clear();
    while (words >> word)
        situation.licences.push_back(word_for(word, all_licences));
}

void left(Situation& situation) {
    forget_what_was_made_safe(situation);
    situation.on_site = false;
    situation.who = situation.vouches = Skill::owner;
    situation.licences.clear();
    // Who comes back may bring what was missing.
    situation.lacking_tools.clear();
    situation.lacking_parts.clear();
}

// ---- what is known

/// Dangers of before that the findings no longer show: a second look that sees nothing has not
/// ended what was seen.
void carry_dangers(const Knowledge& knowledge, std::set<StopId> before, Course& course) {
    if (before.empty())
        return;
    for (const StopId still : stops_found(knowledge, course.evidence))
        before.erase(still);
    course.situation.stops_from_before.merge(before);
}

std::string set(const Knowledge& knowledge, const Event& event, Course& course) {
    Evidence& evidence = course.evidence;
    const auto read = read_setting(knowledge, event.what, event.value);
    if (const auto* none = std::get_if<NotNamed>(&read))
        return in_words(*none);
    Evidence with = evidence;
    bool is_new = false;
    if (const auto* quantity = std::get_if<KnownQuantity>(&read)) {
        is_new = !evidence.quantities.contains(quantity->name);
        with.quantities[quantity->name] = quantity->value;
    } else {
        const auto& setting = std::get<KnownSetting>(read);
        if (const Head& head = knowledge[setting.setting].head; head.id != event.what)
            return not_so_called("setting", event.what, head);
        is_new = !evidence.settings.contains(setting.setting);
        with.settings[setting.setting] = setting.state;
    }
    if (const std::string why = edges_that_cross(knowledge, with); !why.empty())
        return why + "; read it again, or set the other one first";
    // Who stands there and reads for the first time how much the tank may hold knows what the
    // gauge means; a second number, or one from the phone, ends nothing.
    std::set<StopId> before;
    if (!is_new || !course.situation.on_site)
        before = stops_found(knowledge, evidence);
    evidence = std::move(with);
    carry_dangers(knowledge, std::move(before), course);
    return {};
}

void known_cause(KnownCause known, Evidence& evidence) {
    for (KnownCause& earlier : evidence.causes)
        if (earlier.cause == known.cause && earlier.stage == known.stage) {
            earlier = known;
            return;
        }
    evidence.causes.push_back(known);
}

/// A customer's word is the owner's, whoever writes it down.
Skill vouched_by(const Finding& finding, const Situation& situation) {
    return finding.via == Via::told ? Skill::owner : vouching(situation);
}

void stops_after(const Knowledge& knowledge, const Evidence& evidence, const Finding& finding,
                 Situation& situation) {
    const auto* sign = std::get_if<SignId>(&finding.what);
    if (sign == nullptr)
        return;
    const std::vector<double> mass = masses(knowledge, evidence, finding);
    for (const Stop& stop : knowledge.stops)
        for (const SignAmong& when : stop.when) {
            double danger = 0;
            if (when.sign == *sign)
                for (const std::size_t value : when.values)
                    danger += mass[value];
            if (danger < hint_of_danger)
                continue;
            for (const SignId clears : stop.cleared_by) {
                situation.stops_cleared_by.erase(clears);
                situation.vouched_state.erase(clears);
                // Who sees it build up has not let it out for good, whatever was stated before.
                if (knowledge[clears].stated_by_pressure_zero)
                    no_longer_zero(knowledge, situation);
            }
        }
    if (!lifts_a_stop(knowledge, *sign))
        return;
    if (finding.value != std::size_t{1} || knowledge[*sign].form != SignForm::flag)
        situation.stops_cleared_by.erase(*sign);
    else if (vouched_by(finding, situation) >= skill_to_vouch(knowledge, *sign))
        situation.stops_cleared_by.insert(*sign);
}

void add_keeping_dangers(const Knowledge& knowledge, Finding finding, Course& course) {
    Evidence& evidence = course.evidence;
    if (std::none_of(evidence.findings.begin(), evidence.findings.end(),
                     [&](const Finding& earlier) { return earlier.what == finding.what; }))
        return add(evidence, std::move(finding));
    std::set<StopId> before = stops_found(knowledge, evidence);
    add(evidence, std::move(finding));
    carry_dangers(knowledge, std::move(before), course);
}

std::string finding(const Knowledge& knowledge, const Event& event, Via via, Course& course) {
    Evidence& evidence = course.evidence;
    auto read = read_finding(knowledge, event.what, event.value, via, &evidence);
    if (const auto* none = std::get_if<NotNamed>(&read))
        return in_words(*none);
    const std::size_t stage = evidence.repairs.size();
    if (auto* known = std::get_if<KnownCause>(&read)) {
        if (via == Via::told)
            return "a customer reports signs, not causes";
        if (const Head& head = knowledge[known->cause].head; head.id != event.what)
            return not_so_called("sign", event.what, head);
        known->stage = stage;
        known_cause(*known, evidence);
        return {};
    }
    Finding& found = std::get<Finding>(read);
    const Head& head =
        std::visit([&](auto what) -> const Head& { return knowledge[what].head; }, found.what);
    if (head.id != event.what)
        return not_so_called("sign", event.what, head);
    found.stage = stage;
    if (found.via == Via::test)
        was_done(knowledge, knowledge[found.test].step, course.situation);
    stops_after(knowledge, evidence, found, course.situation);
    add_keeping_dangers(knowledge, std::move(found), course);
    return {};
}

// ---- steps

std::string pass(const Knowledge& knowledge, const Event& event, Situation& situation) {
    const std::size_t colon = event.what.find(':');
    const std::string kind = event.what.substr(0, colon);
    const std::string id = colon == std::string::npos ? "" : event.what.substr(colon + 1);
    const bool exists = (kind == "test" && test_named(knowledge, id).valid()) ||
                        (kind == "question" && sign_named(knowledge, id).valid()) ||
                        (kind == "setting" && setting_named(knowledge, id).valid()) ||
                        (kind == "repair" && repair_named(knowledge, id).valid()) ||
                        (kind == "refer" && refer_named(knowledge, id).valid());
    if (!exists)
        return "no step is called " + in_quotes(event.what) +
               "; write test:, question:, setting:, repair: or refer: and its identifier";
    situation.passed_over.insert(event.what);
    return {};
}

std::string did_test(const Knowledge& knowledge, const Event& event, Situation& situation) {
    const TestId test = test_named(knowledge, event.what);
    if (!test.valid())
        return no_test(knowledge, event.what);
    was_done(knowledge, knowledge[test].step, situation);
    return {};
}

std::string did(const Knowledge& knowledge, const Event& event, Course& course) {
    const RepairId repair = repair_named(knowledge, event.what);
    if (!repair.valid())
        return no_repair(knowledge, event.what);
    mend(knowledge, repair, course.situation.stops_from_before);
    course.evidence.repairs.push_back(repair);
    was_done(knowledge, knowledge[repair].step, course.situation);
    if (knowledge[repair].power_after)
        power_is_back(knowledge, course.situation);
    return {};
}

std::string confirmed(const Knowledge& knowledge, const Event& event) {
    if (!cause_named(knowledge, event.what).valid())
        return not_called<Cause>("cause", event.what, knowledge.causes,
                                 [](const Cause& cause) -> const Head& { return cause.head; });
    return {};
}

std::string about(const Event& event) {
    if (is_about_leaving(event) || event.what == "call-back-of")
        return {};
    return against_code(event.what, event.value);
}

}  // namespace

void forget_what_was_made_safe(Situation& situation) {
    situation.reached.clear();
    situation.power_off = false;
    situation.pressure_zero = false;
    situation.tank_drained = false;
    situation.stops_cleared_by.clear();
    situation.vouched_state.clear();
}

std::string apply(const Knowledge& knowledge, const Event& event, Course& course) {
    if (std::string why = against_words(event); !why.empty())
        return why;
    switch (event.kind) {
    case EventKind::set:
        return set(knowledge, event, course);
    case EventKind::said:
        return finding(knowledge, event, Via::told, course);
    case EventKind::found:
        return finding(knowledge, event, Via::looked, course);
    case EventKind::pass:
        return pass(knowledge, event, course.situation);
    case EventKind::did_test:
        return did_test(knowledge, event, course.situation);
    case EventKind::did:
        return did(knowledge, event, course);
    case EventKind::person:
        person(event, course.situation);
        return {};
    case EventKind::state:
        return state(knowledge, event, course.situation);
    case EventKind::cause:
        return confirmed(knowledge, event);
    case EventKind::note:
        return event.value.empty() ? "the note is empty" : "";
    case EventKind::left:
        left(course.situation);
        return {};
    case EventKind::resumed:
        forget_what_was_made_safe(course.situation);
        course.situation.on_site = true;
        return {};
    case EventKind::closed:
        return {};
    case EventKind::undo:
    case EventKind::instead:
        return event_number(event.what) ? "" : "a correction names the number of an event";
    case EventKind::about:
        return about(event);
    }
    assert(false && "an event kind that nobody applies");
    return {};
}

}  // namespace knockwell
