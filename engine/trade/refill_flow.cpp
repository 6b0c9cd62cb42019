// trade/refill_flow.cpp
//
// Flow of the pump, from how long it takes to refill the tank while nobody draws water.
//
// Formula  gpm = Vd / t_fill, plus the leak if there is one
// Source   first principles
// Range    the true drawdown is known: check the precharge first
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_refill_flow(const CalcValues& values) {
    const double flow = values.at("drawdown") / values.at("fill") + values.at("leak");
    CalcAnswer answer;
    answer.lines = {{"flow of the pump", flow, "gpm"}};
    if (const auto record = values.find("record"))
        answer.lines.push_back({"share of the record", 100 * flow / *record, "%"});
    answer.remarks = {"It is the flow between cut-in and cut-out, less than the flow at an open "
                      "pipe."};
    return answer;
}

}  // namespace

WorkedComputation refill_flow_computation() {
    return {
        {"refill-flow",
         "flow of the pump from the time it takes to refill the tank",
         "A stopwatch test with every outlet shut.",
         {needed("drawdown", "gal", "true drawdown of the tank", {0.05, 10000}),
          needed("fill", "min", "time from start to stop with every outlet shut", {0.01, 10000}),
          usually("leak", "gpm", "0gpm", "leak, if there is one", {0, 1000}),
          may_be_left_out("record", "gpm", "flow on record at that pressure", {0.05, 1000})},
         "--drawdown 11.35gal --fill 75s --record 11gpm",
         "Vd/t + leak",
         "first principles",
         "no water used; the drawdown as it is now"},
        work_refill_flow};
}

}  // namespace knockwell
