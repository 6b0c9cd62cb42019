// trade/speed_change.cpp
//
// What a drive's slower or faster turning does to a pump.
//
// Formula  flow as N, head as N^2, power as N^3
// Source   affinity laws, from memory
// Range    centrifugal pump, speeds from a quarter of the speed before to one and a half of it
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_speed_change(const CalcValues& values) {
    const double ratio = values.at("now") / values.at("before");
    RangeCheck check;
    check.between("now", ratio, 0.25, 1.5, "times the speed before");
    if (!check.fine())
        return check.wrong();
    CalcAnswer answer;
    answer.lines = {{"flow", 100 * ratio, "%"},
                    {"head", 100 * ratio * ratio, "%"},
                    {"power", 100 * ratio * ratio * ratio, "%"}};
    answer.remarks = {"Below the speed at which its head no longer lifts the water, a pump gives "
                      "nothing at all."};
    return answer;
}

}  // namespace

WorkedComputation speed_change_computation() {
    return {{"speed-change",
             "flow, head and power of a pump at another speed",
             "The affinity laws.",
             {needed("before", "Hz", "frequency before", {10, 120}),
              needed("now", "Hz", "frequency now", {10, 120})},
             "--before 60Hz --now 50Hz",
             "N2/N1, (N2/N1)^2, (N2/N1)^3",
             "affinity laws, from memory",
             "centrifugal pumps near their own speed"},
            work_speed_change};
}

}  // namespace knockwell
