// trade/copper.cpp
//
// Resistance of copper at another temperature.
//
// Formula  R2 = R1*(1 + 0.00393*(T2-20))/(1 + 0.00393*(T1-20)); coefficient at T: 0.00393/(1 +
//          0.00393*(T-20))
// Source   as in trade/copper.hpp
// Range    annealed copper, -40 to 200 C
// Held by  tests/trade/checks.toml
#include "trade/copper.hpp"

#include "trade/computations.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_copper(const CalcValues& values) {
    const double to = values.at("to");
    CalcAnswer answer;
    answer.lines = {{"resistance",
                     values.at("resistance") * copper_growth(to) / copper_growth(values.at("from")),
                     "ohm"},
                    {"coefficient there", copper_per_kelvin / copper_growth(to), "1/K"}};
    return answer;
}

}  // namespace

WorkedComputation copper_computation() {
    return {{"copper",
             "resistance of copper at another temperature",
             "So that a reading in a cold well is held against a table of 75 C.",
             {needed("resistance", "ohm", "resistance read", {0, 1e6}),
              usually("from", "\u00b0C", "20C", "temperature when read", {-40, 200}),
              needed("to", "\u00b0C", "temperature wanted", {-40, 200})},
             "--resistance 1.588ohm --from 20C --to 75C",
             "R*(1 + 0.00393*(T2-20))/(1 + 0.00393*(T1-20))",
             "Copper Wire Tables, Circular 31 / Handbook 100 (US National Bureau of Standards, "
             "1914/1966)",
             "annealed copper, -40 to 200 C"},
            work_copper};
}

}  // namespace knockwell
