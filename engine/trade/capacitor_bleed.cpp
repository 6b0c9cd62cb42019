// trade/capacitor_bleed.cpp
//
// What a capacitor still holds, and how long a resistor takes to empty it.
//
// Formula  E = C*V^2/2; t = R*C*ln(V/50)
// Source   first principles; 50 V or less within a minute, to 600 V: NFPA 70 National Electrical
//          Code, 460.6
// Range    to 1000 V
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

#include <cmath>

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_capacitor_bleed(const CalcValues& values) {
    constexpr double harmless = 50;  // V
    const double farads = values.at("capacitor") * 1e-6;
    const double volts = values.at("volts");
    const double seconds =
        volts > harmless ? values.at("resistor") * farads * std::log(volts / harmless) : 0;
    CalcAnswer answer;
    answer.cautions = {"Treat a capacitor as live while it empties: bleed it through a resistor, "
                       "then prove it with a meter under 50 V and falling. Never short it with a "
                       "screwdriver."};
    answer.lines = {{"energy", farads * volts * volts / 2, "J"},
                    {"time to 50 V", seconds, "s"},
                    {"volts allowed after a minute", harmless, "V"}};
    return answer;
}

}  // namespace

WorkedComputation capacitor_bleed_computation() {
    return {{"capacitor-bleed",
             "what a capacitor still holds, and how long a resistor takes to empty it",
             "Before anything in a control box is touched.",
             {needed("capacitor", "\u00b5F", "microfarads", {0.1, 2000}),
              needed("volts", "V", "volts across it", {0, 1000}),
              usually("resistor", "ohm", "15000ohm", "resistor that empties it", {10, 1e7})},
             "--capacitor 88uF --volts 325V",
             "C*V^2/2; R*C*ln(V/50)",
             "first principles; NFPA 70 National Electrical Code, 460.6",
             "to 1000 V"},
            work_capacitor_bleed};
}

}  // namespace knockwell
