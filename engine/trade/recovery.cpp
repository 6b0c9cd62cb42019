// trade/recovery.cpp
//
// Inflow of a well, from how fast its level rises with the pump off.
//
// Formula  gpm = gal/ft * rise/time
// Source   first principles
// Range    the first minutes: near the static level the inflow slows
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"
#include "trade/pipe_content.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_recovery(const CalcValues& values) {
    CalcAnswer answer;
    answer.lines = {
        {"inflow", gal_per_ft(values.at("inside")) * values.at("rise") / values.at("time"), "gpm"}};
    answer.remarks = {"The drop pipe takes a little of the casing; a check valve that leaks makes "
                      "the level rise too."};
    return answer;
}

}  // namespace

WorkedComputation recovery_computation() {
    return {{"recovery",
             "inflow of a well from the rise of its level, pump off",
             "Read in the first minutes after a stop.",
             {needed("inside", "in", "inside diameter of the well", {1, 120}),
              needed("rise", "ft", "rise of the level", {0, 1000}),
              needed("time", "min", "time it took", {0.1, 10000})},
             "--inside 6in --rise 12ft --time 10min",
             "0.0408*d^2*rise/time",
             "first principles",
             "first minutes after a stop, far below the static level"},
            work_recovery};
}

}  // namespace knockwell
