// trade/leak_rate.cpp
//
// Leak or drain-back, from how long the pump rests while nobody draws water.
//
// Formula  gpm = Vd / t_off
// Source   first principles
// Range    the true drawdown is known: check the precharge first
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_leak_rate(const CalcValues& values) {
    CalcAnswer answer;
    answer.lines = {{"leak", values.at("drawdown") / values.at("rest"), "gpm"}};
    answer.remarks = {"Shut the valve to the house and time again: a leak that stays is between "
                      "the well and that valve."};
    return answer;
}

}  // namespace

WorkedComputation leak_rate_computation() {
    return {
        {"leak-rate",
         "leak or drain-back from the pump's rest with no water used",
         "A stopwatch test: the tank's drawdown runs away in that time.",
         {needed("drawdown", "gal", "true drawdown of the tank", {0.05, 10000}),
          needed("rest", "min", "time from stop to start with every outlet shut", {0.05, 10000})},
         "--drawdown 11.35gal --rest 30min",
         "Vd/t",
         "first principles",
         "no water used; the drawdown as it is now, not as it was when the tank was new"},
        work_leak_rate};
}

}  // namespace knockwell
