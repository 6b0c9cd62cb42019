// trade/winding_heat.cpp
//
// How hot a motor's winding is, from its ohms cold and hot.
//
// Formula  T2 = (R2/R1)*(234.5 + T1) - 234.5
// Source   from memory
// Range    copper windings, -20 to 250 C
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_winding_heat(const CalcValues& values) {
    constexpr double zero = 234.5;
    CalcAnswer answer;
    answer.cautions = {proved_dead};
    answer.lines = {{"temperature of the winding",
                     values.at("hot") / values.at("cold") * (zero + values.at("at")) - zero,
                     "\u00b0C"}};
    return answer;
}

}  // namespace

WorkedComputation winding_heat_computation() {
    return {{"winding-heat",
             "how hot a winding is, from its ohms cold and hot",
             "Read at once after the stop, dead and locked.",
             {needed("cold", "ohm", "ohms when cold", {0.001, 10000}),
              usually("at", "\u00b0C", "15C", "temperature when cold", {-20, 60}),
              needed("hot", "ohm", "ohms when hot", {0.001, 10000})},
             "--cold 2ohm --at 15C --hot 2.6ohm",
             "(R2/R1)*(234.5 + T1) - 234.5",
             "from memory",
             "copper windings"},
            work_winding_heat};
}

}  // namespace knockwell
