// trade/supply_volts.cpp
//
// Volts at a motor against what it may be given, and what they do to it.
//
// Formula  90 to 110 % of the rated volts; torque as the square; full-load amps 1.11 at 90 %, 0.93
//          at 110 %, straight between
// Source   Condensed MG 1-2011, 9.9.1 = MG 1-12.44.1 (NEMA); the army's pump table TM
//          5-3820-256-24-6 also allows 10 %; effect on amps: standard table reproduced in an
//          engineering article
// Range    80 to 115 % for torque and amps; read while the motor runs
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_supply_volts(const CalcValues& values) {
    constexpr double tolerance = 10;  // percent
    const double rated = values.at("rated");
    CalcAnswer answer;
    answer.cautions = {live_work};
    answer.lines = {{"lowest", rated * (1 - tolerance / 100), "V"},
                    {"highest", rated * (1 + tolerance / 100), "V"},
                    {"tolerance", tolerance, "%"}};
    if (const auto read = values.find("measured")) {
        const double ratio = *read / rated;
        answer.lines.push_back({"share of the rated volts", 100 * ratio, "%"});
        if (ratio >= 0.8 && ratio <= 1.15) {
            const double amps = ratio < 1 ? 1 + (1 - ratio) * 1.1 : 1 - (ratio - 1) * 0.7;
            answer.lines.push_back({"torque that is left", 100 * ratio * ratio, "%"});
            answer.lines.push_back({"full-load amps", 100 * amps, "%"});
        }
        if (ratio < 0.9 || ratio > 1.1)
            answer.remarks.emplace_back("Out of tolerance: if the panel reads so too, it is for a "
                                        "licensed electrician or the utility.");
    }
    return answer;
}

}  // namespace

WorkedComputation supply_volts_computation() {
    return {
        {"supply-volts",
         "volts at a motor against what it may be given",
         "Read while the motor runs.",
         {usually("rated", "V", "230V", "rated volts of the motor", {24, 1000}),
          may_be_left_out("measured", "V", "volts read, the motor running", {0, 1500})},
         "--rated 230V --measured 207V",
         "0.9 to 1.1 of rated; torque (V/Vr)^2; amps 1.11 at 90 %, 0.93 at 110 %",
         "Condensed MG 1-2011, 9.9.1 = MG 1-12.44.1 (NEMA); TM 5-3820-256-24-6 (US Dept. of the "
         "Army, 1989); standard table of voltage variation",
         "running at rated load"},
        work_supply_volts};
}

}  // namespace knockwell
