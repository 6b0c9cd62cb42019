// trade/dose_strength.cpp
//
// Strength that a dose of bleach gives.
//
// Formula  mg/L = fl oz/128/gal*10,000*%
// Source   first principles; the county table Shock chlorination of wells and water systems, Tables
//          I-II (Mesa County Health Dept. Regional Laboratory, Colorado) gives 112 fl oz to 100
//          gal, which is 459 mg/L
// Range    liquid bleach of 1 to 15 %, no more of it than of the water
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_dose_strength(const CalcValues& values) {
    constexpr double ounces = 128;  // in a gallon
    constexpr double county_dose = 112;
    const double dose = values.at("dose");
    const double volume = values.at("water");
    RangeCheck check;
    check.demand(dose <= volume, "dose: more bleach than water; check both");
    if (!check.fine())
        return check.wrong();
    CalcAnswer answer;
    answer.cautions = {never_mix};
    answer.lines = {{"strength", dose / volume * 10000 * values.at("bleach"), "mg/L"},
                    {"dose of a county's table", county_dose / ounces * volume / 100, "gal"}};
    answer.remarks = {"Published doses differ more than twofold: always say the strength with the "
                      "dose."};
    return answer;
}

}  // namespace

WorkedComputation dose_strength_computation() {
    return {{"dose-strength",
             "strength that a dose of bleach gives",
             "To compare tables that print ounces.",
             {needed("dose", "gal", "bleach poured in", {0, 1000}),
              needed("water", "gal", "water treated", {0.1, 1e6}),
              usually("bleach", "", "5.25", "available chlorine of the bleach, percent", {1, 15})},
             "--dose 0.875gal --water 100gal",
             "dose/water*10,000*%",
             "first principles; Shock chlorination of wells and water systems, Tables I-II (Mesa "
             "County Health Dept. Regional Laboratory, Colorado)",
             "liquid bleach of 1 to 15 %"},
            work_dose_strength};
}

}  // namespace knockwell
