// trade/water_hammer.cpp
//
// Rise of pressure when a flow is stopped at once.
//
// Formula  psi = a*dV/(2.31*g), a the wave's speed in the pipe, g = 32.174 ft/s2
// Source   first principles; worked figures: Causes of water hammer, part one (pump trade
//          magazine); Water hammer: causes, mathematics, prevention (web engineering guide)
// Range    a valve that shuts faster than 2L/a. Speeds from memory: steel and copper 3900 to 4600
//          ft/s, PVC 1150 to 1500, polyethylene 650 to 1000
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"
#include "trade/head.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_water_hammer(const CalcValues& values) {
    constexpr double gravity_ft = 32.174;
    CalcAnswer answer;
    answer.lines = {
        {"rise", values.at("wave") * values.at("stopped") / (ft_per_psi * gravity_ft), "psi"}};
    answer.remarks = {"It comes on top of the pressure that stands in the pipe."};
    return answer;
}

}  // namespace

WorkedComputation water_hammer_computation() {
    return {{"water-hammer",
             "rise of pressure when a flow is stopped at once",
             "What a snapping valve or a slamming check valve does.",
             {needed("stopped", "ft/s", "speed of the water that is stopped", {0, 50}),
              usually("wave", "ft/s", "4300ft/s",
                      "speed of the wave: steel and copper about 4300, PVC 1300, polyethylene 800",
                      {300, 5000})},
             "--stopped 5ft/s --wave 4860ft/s",
             "a*dV/(2.31*g)",
             "first principles; figures: Causes of water hammer, part one (pump trade magazine)",
             "stopped faster than the wave runs there and back"},
            work_water_hammer};
}

}  // namespace knockwell
