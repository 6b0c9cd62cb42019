// trade/hole_flow.cpp
//
// Water that a hole lets out.
//
// Formula  gpm = 29.84*Cd*d^2*sqrt(psi), d in inches
// Source   NFPA 291 orifice discharge relation (NFPA), from memory
// Range    sharp-edged hole, Cd about 0.62
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

#include <cmath>

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_hole_flow(const CalcValues& values) {
    const double d = values.at("hole");
    CalcAnswer answer;
    answer.lines = {{"flow",
                     29.84 * values.at("coefficient") * d * d * std::sqrt(values.at("pressure")),
                     "gpm"}};
    return answer;
}

}  // namespace

WorkedComputation hole_flow_computation() {
    return {{"hole-flow",
             "water that a hole lets out",
             "Flow through a sharp-edged hole at a difference of pressure.",
             {needed("hole", "in", "diameter of the hole", {0.005, 12}),
              needed("pressure", "psi", "pressure across it", {0, 300}),
              usually("coefficient", "", "0.62", "discharge coefficient", {0.3, 1})},
             "--hole 0.125in --pressure 100psi",
             "29.84*Cd*d^2*sqrt(psi)",
             "NFPA 291 orifice discharge relation (NFPA), from memory",
             "sharp-edged round hole, water"},
            work_hole_flow};
}

}  // namespace knockwell
