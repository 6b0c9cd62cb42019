// trade/disinfection.cpp
//
// Chlorine for a well that has been opened.
//
// Formula  bleach = V*C/(10,000*%), in the unit of V; dry hypochlorite g = L*mg/L/(10*%)
// Source   Water Wells That Last, Modules 6 and 7, Agdex 716 A10 (Alberta Agriculture, 8th ed.
//          2013), whose table gives 200 mg/L in twice the casing's content; 50 mg/L when a pump is
//          set or repaired: 178 NAC 12-011 (State of Nebraska), NR 812.35, NR 812.41 (State of
//          Wisconsin); stand 8 to 48 h: Alberta
// Range    water standing in the well (depth less static level), with tank and pipes on top
// Care     published doses differ more than twofold: the strength is said with the dose
// Held by  tests/trade/checks.toml
#include "base/words.hpp"
#include "trade/computations.hpp"
#include "trade/pipe_content.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_disinfection(const CalcValues& values) {
    constexpr double liters_per_gal = 3.785411784;
    const double standing =
        gal_per_ft(values.at("inside")) * values.at("water") * values.at("times");
    const double volume = standing + values.at("more");
    RangeCheck check;
    check.demand(volume > 0, "water: there is no water to treat");
    if (!check.fine())
        return check.wrong();
    const double wanted = values.at("wanted");
    const double bleach = volume * wanted / (10000 * values.at("bleach"));
    CalcAnswer answer;
    answer.cautions = {never_mix};
    answer.lines = {{"water to treat", volume, "gal"},
                    {"liquid bleach", bleach, "gal"},
                    {"or in fluid ounces", 128 * bleach, "fl-oz"},
                    {"or dry hypochlorite instead",
                     volume * liters_per_gal * wanted / (10 * values.at("dry")), "g"},
                    {"let it stand at least", 8, "h"},
                    {"let it stand at most", 48, "h"}};
    answer.remarks = {
        "That is a dose for " + number(wanted) +
            " mg/L; other tables give other strengths, and local rule overrules.",
        "Reckoned with " + number(values.at("bleach")) +
            " % bleach, plain, unscented and fresh: read the jug (6 to 8.25 % is common now; from "
            "memory) and type what it says.",
        "Bypass softener, carbon, membrane and ultraviolet unit; flush outdoors, away from septic "
        "tank, streams and plants.",
        "Not for drinking until a laboratory finds coliform absent."};
    return answer;
}

}  // namespace

WorkedComputation disinfection_computation() {
    return {{"disinfection",
             "chlorine for a well that has been opened",
             "By the water that stands in it, with tank and pipes on top.",
             {needed("inside", "in", "inside diameter of the casing", {1, 120}),
              needed("water", "ft", "standing water: depth less static level", {0, 5000}),
              usually("times", "", "1", "how many times the casing's content", {1, 5}),
              usually("more", "gal", "0gal", "water in tank, heater and pipes", {0, 100000}),
              usually("wanted", "mg/L", "200mg/L", "strength wanted", {1, 1000}),
              usually("bleach", "", "5.25", "available chlorine of the bleach, percent", {1, 15}),
              usually("dry", "", "70", "available chlorine of the dry kind, percent", {20, 80})},
             "--inside 6in --water 100ft --more 60gal",
             "V*mg/L/(10,000*%); L*mg/L/(10*%)",
             "Water Wells That Last, Modules 6 and 7, Agdex 716 A10 (Alberta Agriculture, 8th ed. "
             "2013)",
             "chlorine works poorly above about pH 8 (from memory)"},
            work_disinfection};
}

}  // namespace knockwell
