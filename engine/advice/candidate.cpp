#include "advice/candidate.hpp"

#include <algorithm>

namespace knockwell {
namespace {

Candidate of_step(const Knowledge& knowledge, StepKind kind, std::size_t index, const Step& step) {
    Candidate it;
    it.kind = kind;
    it.index = index;
    it.id = step.head.id;
    it.title = step.head.title;
    it.how = step.how;
    it.minutes = step.minutes;
    it.at = step.at;
    it.set_dead = step.set_dead;
    it.needs = step.needs;
    it.tools = step.tools;
    it.hazards = hazards_of(knowledge, step);
    it.cautions = cautions_of(knowledge, step);
    it.only_if = step.only_if;
    it.measured_first = step.measured_first;
    return it;
}

}  // namespace

Candidate candidate(const Knowledge& knowledge, TestId test) {
    return of_step(knowledge, StepKind::test, test.index(), knowledge[test].step);
}

Candidate candidate(const Knowledge& knowledge, SignId symptom) {
    const Sign& sign = knowledge[symptom];
    Step step;
    step.head = sign.head;
    step.how = sign.ask;
    step.minutes = minutes_to_ask;
    step.needs.skill = Skill::owner;
    return of_step(knowledge, StepKind::question, symptom.index(), step);
}

Candidate candidate(const Knowledge& knowledge, SettingId setting) {
    const Setting& it = knowledge[setting];
    Step step;
    step.head = it.head;
    step.how = it.ask;
    step.minutes = it.minutes;
    step.at = it.at;
    step.needs.skill = it.skill;
    step.cautions = it.cautions;
    return of_step(knowledge, StepKind::setting, setting.index(), step);
}

Candidate candidate(const Knowledge& knowledge, RepairId repair) {
    const Repair& it = knowledge[repair];
    Candidate step = of_step(knowledge, StepKind::repair, repair.index(), it.step);
    step.parts = it.parts;
    return step;
}

Candidate candidate(const Knowledge& knowledge, ReferId refer) {
    const Refer& it = knowledge[refer];
    Step step;
    step.head = it.head;
    step.how = it.why;
    step.minutes = it.minutes > 0 ? it.minutes : minutes_to_refer;
    step.only_if = it.only_if;
    step.measured_first = it.measured_first;
    step.needs.skill = Skill::owner;
    return of_step(knowledge, StepKind::refer, refer.index(), step);
}

std::string key_of(const Candidate& step) {
    return std::string(to_text(step.kind)) + ":" + step.id;
}

std::string_view to_text(StepKind kind) {
    switch (kind) {
    case StepKind::test:
        return "test";
    case StepKind::question:
        return "question";
    case StepKind::setting:
        return "setting";
    case StepKind::repair:
        return "repair";
    case StepKind::refer:
        return "refer";
    }
    return "";
}

bool meets(const Candidate& step, Hazard hazard) {
    return std::find(step.hazards.begin(), step.hazards.end(), hazard) != step.hazards.end();
}

bool energized(const Candidate& step) {
    return step.needs.power == Power::on || step.needs.pump == "running" ||
           step.needs.pump == "called";
}

bool ends_live(const Knowledge& knowledge, const Candidate& step) {
    return step.kind == StepKind::repair &&
           (knowledge[RepairId(step.index)].power_after || knowledge[RepairId(step.index)].resets);
}

bool wants_zero(const Knowledge& knowledge, const Candidate& step) {
    if (step.needs.pressure == Pressure::zero || step.needs.tank_drained)
        return true;
    const std::vector<AccessId> way = way_to(knowledge, step.at);
    return std::any_of(way.begin(), way.end(),
                       [&](AccessId access) { return knowledge[access].pressure_zero; });
}

bool wants_dead(const Knowledge& knowledge, const Candidate& step) {
    if (energized(step))
        return false;
    return step.needs.power == Power::off || meets(step, Hazard::live) ||
           wants_zero(knowledge, step);
}

std::vector<AccessId> way_left(const Knowledge& knowledge, AccessId at,
                               const std::set<AccessId>& reached) {
    std::vector<AccessId> way = way_to(knowledge, at);
    // Who stands at an inner access has passed the outer ones.
    const auto last = std::find_if(way.rbegin(), way.rend(),
                                   [&](AccessId access) { return reached.contains(access); });
    way.erase(way.begin(), last.base());
    return way;
}

bool wants_lockout(const Knowledge& knowledge, const Candidate& step,
                   const std::set<AccessId>& reached) {
    const std::vector<AccessId> way = way_left(knowledge, step.at, reached);
    const bool opened_dead = std::any_of(
        way.begin(), way.end(), [&](AccessId access) { return knowledge[access].power_off; });
    if (opened_dead)
        return true;
    if (!wants_dead(knowledge, step))
        return false;
    // An owner switches a breaker off to listen; that is no lock-out, and nothing may lean on it.
    return step.needs.skill != Skill::owner || meets(step, Hazard::live) ||
           wants_zero(knowledge, step);
}

}  // namespace knockwell
