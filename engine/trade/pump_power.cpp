// trade/pump_power.cpp
//
// Power that a pump puts into the water, and that its shaft takes.
//
// Formula  water hp = gpm*ft/3960; shaft hp = water hp/efficiency
// Source   irrigation course page (3960); Merkley and Allen, Sprinkle and Trickle Irrigation
//          Lectures, lecture 11 (Utah State University), derives 3956
// Range    cold fresh water. Small submersible stages run at 45 to 60 %, jets at 20 to 40 % (common
//          practice, no source)
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_pump_power(const CalcValues& values) {
    const double water = values.at("flow") * values.at("head") / 3960;
    CalcAnswer answer;
    answer.lines = {{"power in the water", water, "hp"},
                    {"power of the shaft", water / (values.at("efficiency") / 100), "hp"}};
    return answer;
}

}  // namespace

WorkedComputation pump_power_computation() {
    return {{"pump-power",
             "power in the water and at the pump's shaft",
             "From flow, total head and efficiency.",
             {needed("flow", "gpm", "flow", {0, 10000}),
              needed("head", "ft", "total dynamic head", {0, 3000}),
              usually("efficiency", "%", "55%",
                      "of the pump: submersible stages 45 to 60, jets 20 to 40", {5, 95})},
             "--flow 10gpm --head 326.6ft",
             "gpm*ft/3960; divided by the efficiency",
             "irrigation course page (3960); Merkley and Allen, Sprinkle and Trickle Irrigation "
             "Lectures, lecture 11 (Utah State University; 3956)",
             "cold fresh water"},
            work_pump_power};
}

}  // namespace knockwell
