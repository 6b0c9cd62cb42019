// trade/three_wire.cpp
//
// The sum rule of a three-wire single-phase motor.
//
// Formula  R(start-run) = R(common-run) + R(common-start)
// Source   Heating and Cooling Essentials, sec. 25.8 (Goodheart-Willcox, 2022): the pair that reads
//          highest leaves out common, common-run is the lowest
// Range    single phase, cable taken off or the same for all three
// Care     where the sum holds with the wrong colors, leads are swapped
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_three_wire(const CalcValues& values) {
    const double run = values.at("common-run");
    const double start = values.at("common-start");
    CalcAnswer answer;
    answer.cautions = {proved_dead};
    answer.lines = {{"start to run should read", run + start, "ohm"}};
    if (run > start)
        answer.remarks.emplace_back("Common to run reads more than common to start: leads are "
                                    "swapped, or the start winding has shorted turns.");
    if (const auto read = values.find("start-run")) {
        const double share = 100 * *read / (run + start);
        answer.lines.push_back({"share of that", share, "%"});
        if (share < 85 || share > 115)
            answer.remarks.emplace_back("The sum does not hold: a lead is swapped, a splice is "
                                        "bad, or a winding is open or shorted.");
    }
    return answer;
}

}  // namespace

WorkedComputation three_wire_computation() {
    return {{"three-wire",
             "whether the ohms of a three-wire motor add up",
             "Start to run is the sum of the other two.",
             {needed("common-run", "ohm", "common to run", {0, 10000}),
              needed("common-start", "ohm", "common to start", {0.001, 10000}),
              may_be_left_out("start-run", "ohm", "start to run", {0, 20000})},
             "--common-run 3.2ohm --common-start 9.1ohm --start-run 12.2ohm",
             "Rcr + Rcs",
             "Heating and Cooling Essentials, sec. 25.8 (Goodheart-Willcox, 2022)",
             "single phase, the cable alike in all three"},
            work_three_wire};
}

}  // namespace knockwell
