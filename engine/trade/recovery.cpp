// trade/recovery.cpp
//
// Inflow of a well, from how fast its level rises with the pump off.
//
// Formula  gpm = gal/ft * rise/time; shares of the record and of the pump's flow: 100*gpm/that
// Source   first principles
// Range    the first minutes: near the static level the inflow slows
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"
#include "trade/pipe_content.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_recovery(const CalcValues& values) {
    CalcAnswer answer;
    const double inflow = gal_per_ft(values.at("inside")) * values.at("rise") / values.at("time");
    answer.lines = {{"inflow", inflow, "gpm"}};
    if (const auto record = values.find("record"))
        answer.lines.push_back({"share of the record", 100 * inflow / *record, "%"});
    if (const auto pump = values.find("pump"))
        answer.lines.push_back({"share of the pump's flow", 100 * inflow / *pump, "%"});
    answer.remarks = {"The drop pipe takes a little of the casing; a check valve that leaks makes "
                      "the level rise too."};
    return answer;
}

}  // namespace

WorkedComputation recovery_computation() {
    return {
        {"recovery",
         "inflow of a well from the rise of its level, pump off",
         "Read in the first minutes after a stop.",
         {needed("inside", "in", "inside diameter of the well", {1, 120}),
          needed("rise", "ft", "rise of the level", {0, 1000}),
          needed("time", "min", "time it took", {0.1, 10000}),
          may_be_left_out("record", "gpm", "inflow on record, from as deep a level", {0.01, 10000}),
          may_be_left_out("pump", "gpm", "flow that the pump takes", {0.01, 10000})},
         "--inside 6in --rise 12ft --time 10min --record 4gpm --pump 8gpm",
         "0.0408*d^2*rise/time; 100 times that over record or pump",
         "first principles",
         "first minutes after a stop, far below the static level"},
        work_recovery};
}

}  // namespace knockwell
