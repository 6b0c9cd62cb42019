// A small installation written as values: what the hard rules and the cost need, and nothing of
// inference.
//
//   outside - panel (owner, live)            cover-off (qualified, live, opened dead) via tank
//           - tank (owner)                   piping-open (qualified, pressure, power off, pressure
//           zero) via tank
//           - crawl-space (qualified, below grade)
#pragma once
#include "advice/candidate.hpp"
#include "advice/situation.hpp"
#include "knowledge/model.hpp"

namespace knockwell::scene {

constexpr AccessId tank{std::size_t{0}};
constexpr AccessId cover_off{std::size_t{1}};
constexpr AccessId piping_open{std::size_t{2}};
constexpr AccessId crawl_space{std::size_t{3}};

constexpr CautionId mind_the_tank{std::size_t{0}};
constexpr CautionId line_voltage{std::size_t{1}};
constexpr CautionId prove_zero{std::size_t{2}};

inline Head head(const std::string& id) {
    Head made;
    made.id = id;
    made.title = "The " + id;
    return made;
}

inline Access access(const std::string& id, double minutes, AccessId via, Skill skill) {
    Access made;
    made.head = head(id);
    made.minutes = minutes;
    made.via = via;
    made.skill = skill;
    return made;
}

inline Caution caution(const std::string& id, std::vector<Hazard> covers) {
    Caution made;
    made.head = head(id);
    made.text = id;
    made.covers = std::move(covers);
    return made;
}

inline Knowledge knowledge() {
    Knowledge made;
    made.cautions = {caution("mind-the-tank", {}), caution("line-voltage", {Hazard::live}),
                     caution("prove-zero", {Hazard::pressure})};
    made.accesses = {access("tank", 2, {}, Skill::owner),
                     access("cover-off", 3, tank, Skill::qualified),
                     access("piping-open", 5, tank, Skill::qualified),
                     access("crawl-space", 10, {}, Skill::qualified)};
    made.accesses[0].cautions = {mind_the_tank};
    made.accesses[1].power_off = true;
    made.accesses[1].hazards = {Hazard::live};
    made.accesses[1].cautions = {line_voltage};
    made.accesses[2].power_off = true;
    made.accesses[2].pressure_zero = true;
    made.accesses[2].hazards = {Hazard::pressure};
    made.accesses[2].cautions = {prove_zero};
    made.accesses[3].hazards = {Hazard::below_grade};
    Part union_fitting;
    union_fitting.head = head("union");
    made.parts = {union_fitting};
    Setting pump;
    pump.head = head("pump");
    pump.states = {"submersible", "jet"};
    made.settings = {pump};
    return made;
}

/// A test of one minute there.
inline Step step(const std::string& id, AccessId at, Skill skill) {
    Step made;
    made.head = head(id);
    made.minutes = 1;
    made.at = at;
    made.needs.skill = skill;
    return made;
}

inline Candidate test(Knowledge& knowledge, const Step& step) {
    Test made;
    made.step = step;
    knowledge.tests.push_back(made);
    return candidate(knowledge, TestId(knowledge.tests.size() - 1));
}

inline Candidate repair(Knowledge& knowledge, const Step& step, std::vector<PartUse> parts = {}) {
    Repair made;
    made.step = step;
    made.parts = std::move(parts);
    knowledge.repairs.push_back(made);
    return candidate(knowledge, RepairId(knowledge.repairs.size() - 1));
}

inline Situation on_site(Skill who) {
    Situation made;
    made.who = who;
    made.on_site = true;
    return made;
}

}  // namespace knockwell::scene
