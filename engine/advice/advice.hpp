// advice/advice.hpp
//
// The next step: stops first and alone, then what tells most for its minutes, with every caution
// that stands before it.
//
// Hard rules (advice/rules.hpp) are never prices: a step that breaks one is not offered at any
// worth.
#pragma once
#include "advice/candidate.hpp"
#include "advice/money.hpp"
#include "advice/situation.hpp"
#include "beliefs/beliefs.hpp"

#include <limits>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace knockwell {

/// A dangerous state that comes before any ranking.
struct StopNow {
    StopId stop;
    std::optional<double> p = 1;  // 1 where a finding says so; else P(when | e), and nothing where
                                  // that cannot be worked out: such a stop stands
    bool found = true;
    std::vector<Finding> shown_by{};  // the findings that say so, or that make it likely; empty
                                      // where it was found before what is kept
    double enough = 1;  // where found: the share of one finding that must lie in the danger; else
                        // the chance from which on it stops
    std::vector<SignId> told_in_vain{};  // of `cleared_by`, found `yes` and not counted: not by who
                                         // may vouch for it, or not since the danger was found
};

struct OutcomeWords {
    std::vector<std::string> found;  // "empty", "yes": of each thing that is looked at
    double p = 0;
    std::string then_first;  // identifier of the cause that would rank first
    double then_p = 0;
};

/// What a preparation changes, once it is done.
enum class Prepares {
    reach,          // Preparation::at is reached or open
    lock_out,       // power is off, locked and proved dead
    switch_off,     // a breaker by hand: nothing that is remembered
    relieve,        // pressure is zero
    drain,          // the tank is drained, and pressure zero
    put_back,       // what was opened at Preparation::at is closed again
    set_dead,       // what the step sets on dead parts is set
    restore,        // power is on
    pressure_up,    // the pump has built pressure
    find_customer,  // nothing
};

/// A preparation that the step needs first, in the order in which it is done.
struct Preparation {
    std::string says;  // "Switch off, lock, and prove every leg dead"
    double minutes = 0;
    std::vector<CautionId> cautions;
    Prepares what = Prepares::find_customer;
    AccessId at{};  // of `reach` and `put_back`
};

struct Suggestion {
    StepKind kind = StepKind::test;
    std::string id;
    std::string title;
    std::string how;
    std::vector<CautionId> cautions;  // of the way and the step; shown before `how`
    std::vector<Preparation> first;   // reach the access, switch off, relieve the pressure, ...
    double minutes = 0;               // of the step with its preparations
    double bits = 0;
    double minutes_saved = 0;  // expected, against mending at once in the best order
    double bits_per_minute = 0;
    double helps = 0;                    // repairs and refers: chance that it ends the trouble
    std::vector<std::string> needs;      // in words: "qualified person", "power on", "clamp meter"
    std::vector<OutcomeWords> outcomes;  // tests, questions, settings, as far as they are told
    std::vector<std::string> parts;      // repairs
    bool own_licence = false;            // refers: work of a licence that who is there holds
    std::string awaited_by;              // tests: title of a step that waits for it; or empty
};

/// A step that was held back by a hard rule, and why, in words.
struct HeldBack {
    StepKind kind = StepKind::test;
    std::string id;
    std::string title;
    std::string why;
    double helps = 0;  // chance that it ends the trouble, where it would come first; else 0
};

struct Advice {
    std::vector<StopNow> stops;
    bool stopped = false;          // a stop blocks everything: `next` is empty
    std::vector<Suggestion> next;  // best first
    std::vector<HeldBack> held_back;
    std::vector<double> own;  // [CauseId] of what a reset puts back: P(nothing that brings it on is
                              // there | it is); 1 of all others
};

struct AdviceOptions {
    std::size_t most = 5;
    std::size_t two_steps = 4;     // so many of the best looks and repairs are followed two steps
                                   // ahead, the others one
    const Rates* rates = nullptr;  // where parts and time have a price
    // Of so many steps, from the first on, the outcomes are told: each look takes a run of its own.
    std::size_t told = std::numeric_limits<std::size_t>::max();
};

/// `now` must be the posterior of the same evidence.
[[nodiscard]] Advice advise(const Model& model, const Evidence& evidence, const Posterior& now,
                            const Situation& situation, const AdviceOptions& options = {});

/// How soon a stop harms: first what holds back everything, then the others, last what harms who
/// drinks the water.
enum class Urgency { everything, there, drinking };

[[nodiscard]] Urgency urgency(const Stop& stop);

/// Stops that hold, most probable first, of equal ones by urgency, then in the order of the text;
/// behind them in the same order those that harm who drinks. One that was found holds from stage to
/// stage until a sign of its `cleared_by` is found or a repair of its `mended_by` is made.
[[nodiscard]] std::vector<StopNow> stops_now(const Model& model, const Evidence& evidence,
                                             const Situation& situation);

/// Those of them that were found, in that order; no belief is asked, so it is quick.
[[nodiscard]] std::vector<StopNow>
stops_found_now(const Knowledge& knowledge, const Evidence& evidence, const Situation& situation);

/// Whether some stop is lifted by it.
[[nodiscard]] bool lifts_a_stop(const Knowledge& knowledge, SignId sign);

/// Of stops that are carried on without their findings: what the repair mends ends.
void mend(const Knowledge& knowledge, RepairId repair, std::set<StopId>& carried);

/// Stops that the findings show and no repair has mended, lifted or not.
[[nodiscard]] std::set<StopId> stops_found(const Knowledge& knowledge, const Evidence& evidence);

}  // namespace knockwell
