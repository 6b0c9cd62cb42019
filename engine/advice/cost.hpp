// advice/cost.hpp
//
// Minutes of a step from where one stands, and what is done first, in a safe order.
//
// Idea     each access not yet reached costs its minutes once; power is off, locked and proved dead
//          before anything live is met or opened dead; pressure is zero before what holds it is
//          opened; power comes back last, with everybody clear. What is done already costs nothing
// Care     a drain stops running only with the pump off, so that relieving the pressure begins
//          with a lock-out
// Source   the minutes are common practice, no source
// Held by  tests/advice/cost_test.cpp
#pragma once
#include "advice/advice.hpp"
#include "advice/candidate.hpp"

#include <vector>

namespace knockwell {

// Minutes; common practice, no source.
constexpr double minutes_to_lock_out = 4;    // off, locked, tried, every leg proved dead
constexpr double minutes_to_switch_off = 1;  // a breaker, nothing leans on it
constexpr double minutes_to_restore = 1;
constexpr double minutes_to_relieve = 5;
constexpr double minutes_to_drain_tank = 8;
constexpr double minutes_to_build_pressure = 5;
constexpr double minutes_to_find_the_customer = 2;  // on site, for a question (judgement)

struct Outlay {
    std::vector<Preparation> first;  // in the order in which they are done
    double minutes = 0;              // preparations and step
    Situation then;                  // where one stands afterwards
};

/// The step must be one that no hard rule forbids; what it says of others is of no use.
[[nodiscard]] Outlay outlay(const Knowledge& knowledge, const Situation& situation,
                            const Candidate& step);

/// Where one stands once the repair is made: as for the repair itself, but with the power back
/// where it ends so.
[[nodiscard]] Situation left_by(const Knowledge& knowledge, const Situation& situation,
                                const Candidate& repair);

/// The pressure can no longer be taken as zero; what let it out may stand open.
void no_longer_zero(const Knowledge& knowledge, Situation& situation);

/// Pressure that was let out is up again, and what was opened at zero is closed.
void water_is_back(const Knowledge& knowledge, Situation& situation);

/// The power was on: no lock-out stands any more, and no danger is over because the pump was off.
void no_longer_off(const Knowledge& knowledge, Situation& situation);

/// With power back the pump may run, and covers that come off dead are taken as back on.
void power_is_back(const Knowledge& knowledge, Situation& situation);

}  // namespace knockwell
