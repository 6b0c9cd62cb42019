// trade/pump_down.cpp
//
// How long a pump takes to draw a well down to its intake.
//
// Formula  minutes = gal/ft*water over the intake / (Qp - yield)
// Source   first principles
// Range    steady yield; the pump gives more than the well
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"
#include "trade/pipe_content.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_pump_down(const CalcValues& values) {
    const double net = values.at("pump-flow") - values.at("yield");
    RangeCheck check;
    check.demand(net > 0, "yield: a well that gives as much as the pump takes is not drawn down");
    if (!check.fine())
        return check.wrong();
    CalcAnswer answer;
    answer.lines = {
        {"time to the intake", gal_per_ft(values.at("inside")) * values.at("water") / net, "min"}};
    return answer;
}

}  // namespace

WorkedComputation pump_down_computation() {
    return {{"pump-down",
             "how long until a pump has drawn the well down to its intake",
             "Water that fails after so many minutes points here.",
             {needed("inside", "in", "inside diameter of the well", {1, 120}),
              needed("water", "ft", "water over the intake", {0, 5000}),
              needed("pump-flow", "gpm", "flow of the pump", {0.05, 10000}),
              usually("yield", "gpm", "0gpm", "inflow of the well", {0, 10000})},
             "--inside 6in --water 60ft --pump-flow 8gpm --yield 2gpm",
             "0.0408*d^2*water/(Qp - yield)",
             "first principles",
             "steady inflow"},
            work_pump_down};
}

}  // namespace knockwell
