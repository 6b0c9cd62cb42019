// trade/capacitor.cpp
//
// Microfarads of a run capacitor from its amps and volts.
//
// Formula  uF = 1e6*I/(2*pi*f*V): 2652*I/V at 60 Hz, 3183*I/V at 50 Hz
// Source   trade-training and public calculator pages on capacitance under load (unsigned). Run
//          capacitors are marked within 6 %, some 10 % (from memory)
// Range    a run capacitor at work. A start capacitor is in circuit for a second or so: read it
// with a
//          meter, discharged
#include "trade/computations.hpp"

#include <cmath>
#include <numbers>

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_capacitor(const CalcValues& values) {
    constexpr double tolerance = 6;  // percent
    const double per_amp = 1e6 / (2 * std::numbers::pi * values.at("frequency"));
    const double found = per_amp * values.at("amps") / values.at("volts");
    CalcAnswer answer;
    answer.cautions = {live_work};
    answer.lines = {{"capacitor", found, "\u00b5F"},
                    {"microfarads for an amp and a volt", per_amp, ""}};
    if (const auto mark = values.find("marked")) {
        const double share = 100 * found / *mark;
        answer.lines.push_back({"share of its mark", share, "%"});
        answer.remarks.emplace_back(
            std::abs(share - 100) > tolerance
                ? "Outside of 6 % of its mark: renew it; some are marked within 10 % (from memory)."
                : "Within 6 % of its mark (from memory).");
    }
    return answer;
}

}  // namespace

WorkedComputation capacitor_computation() {
    return {{"capacitor",
             "microfarads of a run capacitor from its amps and volts",
             "Under load, without taking it out.",
             {needed("amps", "A", "amps in the capacitor's lead", {0, 200}),
              needed("volts", "V", "volts across the capacitor", {10, 1000}),
              usually("frequency", "Hz", "60Hz", "frequency of the supply", {10, 120}),
              may_be_left_out("marked", "\u00b5F", "microfarads that it is marked", {0.1, 2000})},
             "--amps 8.3A --volts 240V --marked 90uF",
             "1e6*I/(2*pi*f*V)",
             "trade-training and public calculator pages on capacitance under load (unsigned)",
             "a run capacitor at work"},
            work_capacitor};
}

}  // namespace knockwell
