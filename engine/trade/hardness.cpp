// trade/hardness.cpp
//
// Hardness from calcium and magnesium, in milligrams and grains.
//
// Formula  2.497*Ca + 4.118*Mg as CaCO3; grains a gallon = mg/L / 17.1
// Source   public water-quality pages; classes (60, 120, 180 mg/L): Water hardness FAQ (US
//          Geological Survey)
// Range    fresh water
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

namespace knockwell {
namespace {

const char* class_of(double hardness) {
    if (hardness <= 60)
        return "Soft.";
    if (hardness <= 120)
        return "Moderately hard.";
    return hardness <= 180 ? "Hard." : "Very hard.";
}

Outcome<CalcAnswer> work_hardness(const CalcValues& values) {
    const double hardness = 2.497 * values.at("calcium") + 4.118 * values.at("magnesium");
    CalcAnswer answer;
    answer.lines = {{"hardness as CaCO3", hardness, "mg/L"},
                    {"hardness in grains", hardness / 17.1, "gpg"},
                    {"soft up to", 60, "mg/L"},
                    {"moderately hard up to", 120, "mg/L"},
                    {"hard up to", 180, "mg/L"}};
    answer.remarks = {class_of(hardness)};
    return answer;
}

}  // namespace

WorkedComputation hardness_computation() {
    return {{"hardness",
             "hardness from calcium and magnesium",
             "As CaCO3, and in grains a gallon.",
             {needed("calcium", "mg/L", "calcium, as the metal", {0, 5000}),
              usually("magnesium", "mg/L", "0mg/L", "magnesium, as the metal", {0, 5000})},
             "--calcium 60mg/L --magnesium 20mg/L",
             "2.497*Ca + 4.118*Mg; mg/L / 17.1",
             "public water-quality pages; classes: Water hardness FAQ (US Geological Survey)",
             "fresh water"},
            work_hardness};
}

}  // namespace knockwell
