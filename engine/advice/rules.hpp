// advice/rules.hpp
//
// The hard rules: what is never offered, at any worth. Each is one function with its reason;
// docs/advice.md lists them by name.
//
// Care     power off and pressure zero come from the Situation alone: no finding, no gauge and no
//          setting makes them true
// Sources  29 CFR 1910.147(d)(5) stored energy, 1910.333(a)(1) de-energize, 1910.333(b) lock-out
//          of circuits; the rest is common practice, no source
// Held by  tests/advice/rules_test.cpp: for each rule a step that this rule alone forbids
#pragma once
#include "advice/advice.hpp"
#include "advice/candidate.hpp"

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace knockwell {

/// Where one stands, as the rules see it. All must outlive the call.
struct Standing {
    const Knowledge* knowledge = nullptr;
    const Situation* situation = nullptr;
    const Evidence* evidence = nullptr;  // known settings, repairs made; of the findings those of
                                         // a danger, those that say that the pump stays off, and
                                         // what was looked at
    std::span<const StopNow> stops;
    // Said each time: a reset is held back by them. Empty where no cause can be believed in.
    std::span<const double> cause;  // [CauseId] how likely now
    std::span<const double> own;    // [CauseId] as of by_themselves(); with `cause` or empty
    std::span<const std::vector<double>> setting{};  // [SettingId] chance of each state; or empty
};

/// A rule's answer: why the step is held back (lower case, no full stop), or nothing.
using Verdict = std::optional<std::string>;

struct HardRule {
    std::string_view name;
    Verdict (*forbids)(const Standing& standing, const Candidate& step);
};

/// Every hard rule, those about safety first.
[[nodiscard]] std::span<const HardRule> hard_rules();

/// The first rule's word against the step.
[[nodiscard]] Verdict forbids(const Standing& standing, const Candidate& step);

/// Whether the step is as likely as not to have a use here, under settings that nobody knows. Where
/// no chance is given it is.
[[nodiscard]] bool likely_here(const Standing& standing, const Candidate& step);

/// The look that a step waits for (`measured_first`): of the first of its signs that nobody has
/// looked at, the quickest test that may be made here, or the look that this one waits for. Nothing
/// where it waits for none.
[[nodiscard]] std::optional<Candidate> measured_before(const Standing& standing,
                                                       const Candidate& step);

/// The same, where nothing else holds the step back.
[[nodiscard]] std::optional<Candidate> only_waits_for(const Standing& standing,
                                                      const Candidate& step);

/// "helper", "qualified person".
[[nodiscard]] std::string in_words(Skill skill);

/// Whether a stop that stands holds back what meets these hazards.
[[nodiscard]] bool holds_back(const Stop& stop, std::span<const Hazard> hazards);

/// Whether a step runs the pump, or draws water until it is called for.
[[nodiscard]] bool calls_for_pump(const Candidate& step);

/// Whether it is a repair that puts back what tripped.
[[nodiscard]] bool resets(const Knowledge& knowledge, const Candidate& step);

/// Whether it wants power at the pump, or brings it there.
[[nodiscard]] bool brings_power(const Knowledge& knowledge, const Candidate& step);

/// Whether the installation can never have a use for it: its `only_if` fails under the known
/// settings.
[[nodiscard]] bool cannot_apply(const Conditions& only_if, const Evidence& evidence);

/// The least skill that may vouch for a sign that lifts a danger: of the looks that show it, that
/// of the least demanding; of one that no look shows (a laboratory's letter) the owner's. A licence
/// is not asked for: who is qualified passes on what an electrician has proved.
[[nodiscard]] Skill skill_to_vouch(const Knowledge& knowledge, SignId sign);

/// Who is there, as far as the rules go: on the phone it is the owner's hands, whoever asks.
[[nodiscard]] Skill hands(const Situation& situation);

/// Whose word counts of what lifts a danger: of who is there, or was before that was corrected, the
/// less able.
[[nodiscard]] Skill vouching(const Situation& situation);

/// Power or pressure is stated anew: of the signs that it stands for (`stated_by` of Sign) those
/// lift a danger from now on for which who says so may vouch.
void vouch(const Knowledge& knowledge, bool Sign::*stated_by, Situation& situation);

}  // namespace knockwell
