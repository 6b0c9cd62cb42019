// advice/candidate.hpp
//
// Everything that could be done next, seen alike: tests, questions, settings to ask, repairs,
// refers. What the hard rules and the cost look at, and nothing else.
#pragma once
#include "knowledge/model.hpp"

#include <cstddef>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace knockwell {

enum class StepKind { test, question, setting, repair, refer };

/// Minutes to ask a customer one thing (judgement).
constexpr double minutes_to_ask = 1;

/// Minutes of a refer that says none: the call, the wait and the hand-over (judgement).
constexpr double minutes_to_refer = 60;

struct Candidate {
    StepKind kind = StepKind::test;
    std::size_t index = 0;  // in Knowledge: tests, signs, settings, repairs, refers
    std::string id;
    std::string title;
    std::string how;       // what to do, or the question
    double minutes = 0;    // once there
    AccessId at;           // invalid: nowhere in particular
    std::string set_dead;  // what is set while all is dead, before the power that it needs
    Needs needs;           // a question and a refer need an owner, nothing else
    std::vector<std::string> tools;
    std::vector<PartUse> parts;
    std::vector<Hazard> hazards;      // of the step and of every access on the way
    std::vector<CautionId> cautions;  // in the order in which they are met
    Conditions only_if;
    std::vector<SignId> measured_first;
    std::vector<CauseId> takes;  // of a refer, for who is there (handover.hpp)
    bool own_licence = false;    // a refer to a licence that who is there holds
    bool operator==(const Candidate&) const = default;
};

[[nodiscard]] Candidate candidate(const Knowledge& knowledge, TestId test);
[[nodiscard]] Candidate candidate(const Knowledge& knowledge, SignId symptom);
[[nodiscard]] Candidate candidate(const Knowledge& knowledge, SettingId setting);
[[nodiscard]] Candidate candidate(const Knowledge& knowledge, RepairId repair);
[[nodiscard]] Candidate candidate(const Knowledge& knowledge, ReferId refer);

/// "test:knock-on-tank", as Situation::passed_over names a step.
[[nodiscard]] std::string key_of(const Candidate& step);

[[nodiscard]] std::string_view to_text(StepKind kind);

[[nodiscard]] bool meets(const Candidate& step, Hazard hazard);

/// Whether power is on while it is done: to measure, or to watch the pump run or be called.
[[nodiscard]] bool energized(const Candidate& step);

/// Whether the power is on when it is done, though it begins without: a reset, and a repair that
/// says so (`power_after`).
[[nodiscard]] bool ends_live(const Knowledge& knowledge, const Candidate& step);

/// Whether pressure must be zero for it, or to get there.
[[nodiscard]] bool wants_zero(const Knowledge& knowledge, const Candidate& step);

/// Whether power must be off for it: it meets live parts and can be done dead, it asks for power
/// off, or the pump must not refill what is drained. Getting there is cost.hpp's matter.
[[nodiscard]] bool wants_dead(const Knowledge& knowledge, const Candidate& step);

/// Accesses still to be reached or opened, outermost first.
[[nodiscard]] std::vector<AccessId> way_left(const Knowledge& knowledge, AccessId at,
                                             const std::set<AccessId>& reached);

/// Whether somebody must lock out and prove dead, on the way or for the step: as it would be with
/// nothing switched off yet and `reached` open.
[[nodiscard]] bool wants_lockout(const Knowledge& knowledge, const Candidate& step,
                                 const std::set<AccessId>& reached);

}  // namespace knockwell
