// trade/cycle.hpp
//
// How long a pump rests and runs at a steady draw, and how often it starts.
//
// Formula  off = Vd/D, run = Vd/(Qp-D), starts an hour = 60/(off+run);
//          most at D = Qp/2: 15*Qp/Vd, shortest cycle 4*Vd/Qp
// Source   first principles; the constant 15 also in Water System Design Manual (Washington State
//          Dept. of Health, Dec 2009), eq. 11-1. Ceilings: Performance standard for pressurized
//          water storage tanks, foreword (reproduced extract): 300 starts in 24 h; 15 an hour up to
//          3/4 hp, 7.5 above
// Range    steady draw, pump flow taken as the same over the whole cycle
// Held by  tests/trade/checks_test.cpp: 10 gal, 10 gpm, 3 gpm drawn is a cycle of 4.76 min
#pragma once
#include "trade/outcome.hpp"

namespace knockwell {

struct CycleInputs {
    double drawdown_gal = 0;  // above 0, at most 10000
    double pump_gpm = 0;      // above 0, at most 1000
    double demand_gpm = 0;    // above 0, below the pump's flow
    bool operator==(const CycleInputs&) const = default;
};

struct Cycle {
    double off_min = 0;
    double run_min = 0;
    double cycle_min = 0;
    double starts_per_hour = 0;
    bool operator==(const Cycle&) const = default;
};

[[nodiscard]] Outcome<Cycle> cycle(const CycleInputs& inputs);

/// The cycle at the draw that starts the pump most often, half of its flow.
[[nodiscard]] Outcome<Cycle> shortest_cycle(double drawdown_gal, double pump_gpm);

struct StartsCeiling {
    double per_hour = 0;
    double per_day = 0;
    bool operator==(const StartsCeiling&) const = default;
};

/// Starts that a motor of `hp` (above 0, at most 100) may be given.
[[nodiscard]] Outcome<StartsCeiling> starts_ceiling(double hp);

}  // namespace knockwell
