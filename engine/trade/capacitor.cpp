// trade/capacitor.cpp
//
// Microfarads of a capacitor, from its amps and volts or from a meter, and their share of its mark.
//
// Formula  uF = 1e6*I/(2*pi*f*V): 2652*I/V at 60 Hz, 3183*I/V at 50 Hz
// Source   trade-training and public calculator pages on capacitance under load (unsigned). Run
//          capacitors are marked within 6 %, some 10 % (from memory)
// Range    a run capacitor at work. A start capacitor is in circuit for a second or so: read it
//          with a meter, discharged
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

#include <cmath>
#include <numbers>

namespace knockwell {
namespace {

constexpr const char* discharged =
    "Power off, locked and proved dead; the capacitor bled through a resistor and proved empty "
    "before it is touched. Never short it with a screwdriver.";

Outcome<CalcAnswer> work_capacitor(const CalcValues& values) {
    constexpr double tolerance = 6;  // percent
    const auto metered = values.find("metered");
    const auto amps = values.find("amps");
    const auto volts = values.find("volts");
    const bool under_load = amps && volts;
    RangeCheck check;
    check.demand(under_load != metered.has_value() && amps.has_value() == volts.has_value(),
                 "metered: give amps and volts under load, or what a meter reads");
    if (!check.fine())
        return check.wrong();
    const double per_amp = 1e6 / (2 * std::numbers::pi * values.at("frequency"));
    const double found = metered ? *metered : per_amp * amps.value_or(0) / volts.value_or(1);
    CalcAnswer answer;
    answer.cautions = {metered ? discharged : live_work};
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
             "microfarads of a capacitor, and their share of its mark",
             "A run capacitor from its amps and volts at work, or any from a meter.",
             {may_be_left_out("amps", "A", "amps in the capacitor's lead", {0, 200}),
              may_be_left_out("volts", "V", "volts across the capacitor", {10, 1000}),
              usually("frequency", "Hz", "60Hz", "frequency of the supply", {10, 120}),
              may_be_left_out("metered", "\u00b5F", "microfarads that a meter reads instead",
                              {0, 5000}),
              may_be_left_out("marked", "\u00b5F", "microfarads that it is marked", {0.1, 2000})},
             "--amps 8.3A --volts 240V --marked 90uF",
             "1e6*I/(2*pi*f*V)",
             "trade-training and public calculator pages on capacitance under load (unsigned)",
             "a run capacitor at work"},
            work_capacitor};
}

}  // namespace knockwell
