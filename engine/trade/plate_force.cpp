// trade/plate_force.cpp
//
// Force of a pressure on a round end, cap or plug.
//
// Formula  lbf = pi/4*d^2*psi
// Source   first principles
// Range    gauge pressures to 300 psi
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

#include <numbers>

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_plate_force(const CalcValues& values) {
    const double d = values.at("diameter");
    CalcAnswer answer;
    answer.cautions = {"A force like this throws a cap through a wall: pressure to zero, proved by "
                       "a drain that has stopped running, and the air let out before anything is "
                       "loosened."};
    answer.lines = {{"force", std::numbers::pi / 4 * d * d * values.at("pressure"), "lbf"}};
    return answer;
}

}  // namespace

WorkedComputation plate_force_computation() {
    return {{"plate-force",
             "force of a pressure on a round end, cap or plug",
             "Why a tank is emptied of water and of air before it is opened.",
             {needed("diameter", "in", "diameter of the end", {0.1, 120}),
              needed("pressure", "psi", "gauge pressure", {0, 300})},
             "--diameter 12in --pressure 100psi",
             "pi/4*d^2*psi",
             "first principles",
             "gauge pressures of 0 to 300 psi"},
            work_plate_force};
}

}  // namespace knockwell
