// trade/winding_heat.cpp
//
// How hot a motor's winding is, from its ohms cold and hot.
//
// Formula  T2 = (R2/R1)*(234.5 + T1) - 234.5
// Source   from memory
// Range    copper windings, -20 to 250 C
// Held by  tests/trade/checks.toml
#include "base/words.hpp"
#include "trade/computations.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_winding_heat(const CalcValues& values) {
    constexpr double zero = 234.5;
    const double hot = values.at("hot");
    const double cold = values.at("cold");
    const double heat = hot / cold * (zero + values.at("at")) - zero;
    const std::string would_be = "hot: the winding would be at " + number(heat) + " \u00b0C, and ";
    RangeCheck check;
    check.demand(heat <= 250, would_be + "none outlasts 250 \u00b0C; read both again");
    check.demand(heat >= -20, would_be + "a well is not colder than -20 \u00b0C; read both again");
    if (!check.fine())
        return check.wrong();
    CalcAnswer answer;
    answer.cautions = {proved_dead};
    answer.lines = {{"temperature of the winding", heat, "\u00b0C"}};
    if (hot < cold)
        answer.remarks.emplace_back("Colder than it was: the two readings are exchanged, or a "
                                    "meter lies. Read both again.");
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
