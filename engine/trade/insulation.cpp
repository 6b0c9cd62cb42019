// trade/insulation.cpp
//
// Insulation resistance referred to 40 C, against the least that is allowed.
//
// Formula  R40 = R*0.5^((40-T)/10); older rule kV + 1 megohms
// Source   IEEE Std 43, restated in a NETA World quiz (Summer 2004), an EASA article on minimum
//          megohms and the 1974 abstract: 5 megohms for random-wound under 1 kV, 500 V dc test
//          below 1000 V; halving for each 10 C from memory; the standard covers 1 hp and up, below
//          it is a guide. Field ladder with the cable in the well (2, 0.5, 0.02 megohms; 10 on the
//          bench): common practice, no source
// Range    winding of 0 to 100 C
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

#include <cmath>

namespace knockwell {
namespace {

const char* ladder_words(double megohms_in_the_well) {
    if (megohms_in_the_well < 0.02)
        return "In the well: failed, or about to.";
    if (megohms_in_the_well < 0.5)
        return "In the well: cable or motor is damaged.";
    return megohms_in_the_well < 2 ? "In the well: fair; watch how it goes on."
                                   : "In the well: like new.";
}

Outcome<CalcAnswer> work_insulation(const CalcValues& values) {
    const double read = values.at("reading");
    CalcAnswer answer;
    answer.cautions = {proved_dead};
    answer.lines = {
        {"referred to 40 C", read * std::pow(0.5, (40 - values.at("winding")) / 10), "Mohm"},
        {"referred to a well of 12 C", read * std::pow(0.5, (12 - values.at("winding")) / 10),
         "Mohm"},
        {"least for a random-wound motor", 5, "Mohm"},
        {"least by the older rule", values.at("volts") / 1000 + 1, "Mohm"},
        {"test voltage, dc", 500, "V"},
        {"like new in the well, from", 2, "Mohm"},
        {"damaged in the well, below", 0.5, "Mohm"},
        {"failed in the well, below", 0.02, "Mohm"},
        {"least before a used motor goes back", 10, "Mohm"}};
    answer.remarks = {
        "The least of 5 megohms at 40 C is for a motor on the bench; for one that hangs in the "
        "well, "
        "with its cable, the ladder decides.",
        ladder_words(read * std::pow(0.5, (12 - values.at("winding")) / 10)),
        "The ladder is common practice, no source, and is for a cold well: a hot motor reads "
        "less. How it changes from year to year tells more than one reading."};
    return answer;
}

}  // namespace

WorkedComputation insulation_computation() {
    return {{"insulation",
             "insulation resistance referred to 40 C, against the least allowed",
             "Motor and cable to ground, leads off at the top.",
             {needed("reading", "Mohm", "megohms to ground", {0, 1e6}),
              usually("winding", "\u00b0C", "12C", "temperature of the winding", {0, 100}),
              usually("volts", "V", "230V", "rated volts of the motor", {24, 1000})},
             "--reading 8Mohm --winding 20C",
             "R*0.5^((40-T)/10); kV + 1",
             "IEEE Std 43 as restated by NETA and EASA; halving for each 10 C from memory; field "
             "ladder: common practice, no source",
             "test at 500 V dc, windings below 1000 V"},
            work_insulation};
}

}  // namespace knockwell
