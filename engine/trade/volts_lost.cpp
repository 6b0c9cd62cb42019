// trade/volts_lost.cpp
//
// Volts lost between two places while the pump runs.
//
// Formula  100*(V1 - V2)/V1
// Source   Ohm's law; guide of 3 % for a branch and 5 % in all: NFPA 70 National Electrical Code,
//          210.19 note
// Range    both read while the pump runs, one right after the other
// Held by  tests/trade/calc_test.cpp
#include "trade/computations.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_volts_lost(const CalcValues& values) {
    const double panel = values.at("panel");
    const double lost = panel - values.at("well");
    CalcAnswer answer;
    answer.cautions = {live_work};
    answer.lines = {{"volts lost", lost, "V"},
                    {"share lost", 100 * lost / panel, "%"},
                    {"guide in all", 5, "%"}};
    if (lost < 0)
        answer.remarks.emplace_back("More at the well than at the panel: the supply moved between "
                                    "the readings, or a meter lies. Read both again.");
    return answer;
}

}  // namespace

WorkedComputation volts_lost_computation() {
    constexpr Taken volts{1, 1500};
    return {{"volts-lost",
             "volts lost between panel and well while the pump runs",
             "What wire, splices and contacts take together.",
             {needed("panel", "V", "volts at the panel, the pump running", volts),
              needed("well", "V", "volts at the well or at the box, the pump running", volts)},
             "--panel 236V --well 221V",
             "100*(V1 - V2)/V1",
             "Ohm's law; guide of 5 %: NFPA 70 National Electrical Code, 210.19 note",
             "both read while the pump runs"},
            work_volts_lost};
}

}  // namespace knockwell
