// trade/saturation.cpp
//
// Whether water lays down scale or takes it away.
//
// Formula  pHs = (9.3 + A + B) - (C + D), A = (log10(TDS)-1)/10, B = -13.12*log10(C+273)+34.55,
//          C = log10(Ca as CaCO3)-0.4, D = log10(alkalinity as CaCO3); Langelier pH - pHs; Ryznar
//          2*pHs - pH; aggressive index pH + log10(alkalinity*Ca)
// Source   Roberge, Corrosion Engineering: Principles and Practice (McGraw-Hill, 2008), 8.7.1;
//          reading of the Langelier index: Frankel, Facility Piping Systems Handbook (McGraw-Hill,
//          2010); aggressive index after AWWA C400 as restated in the NASTT glossary
// Range    pH 4 to 10, 0 to 95 C; it speaks of carbonate scale, not of the rate of corrosion
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

#include <cmath>

namespace knockwell {
namespace {

const char* reading_of(double index) {
    if (index >= 1.25)
        return "Lays down scale.";
    if (index >= 0.25)
        return "Lays down a little scale.";
    if (index > -0.25)
        return "Balanced; pits are possible.";
    if (index > -1.25)
        return "Slightly corrosive.";
    return "Seriously corrosive.";
}

Outcome<CalcAnswer> work_saturation(const CalcValues& values) {
    const double ph = values.at("ph");
    const double calcium = values.at("calcium");
    const double alkalinity = values.at("alkalinity");
    const double a = (std::log10(values.at("dissolved")) - 1) / 10;
    const double b = -13.12 * std::log10(values.at("water") + 273) + 34.55;
    const double c = std::log10(calcium) - 0.4;
    const double d = std::log10(alkalinity);
    const double saturated = 9.3 + a + b - c - d;
    CalcAnswer answer;
    answer.lines = {{"saturation index", ph - saturated, ""},
                    {"pH of saturation", saturated, "pH"},
                    {"stability index", 2 * saturated - ph, ""},
                    {"aggressive index", ph + std::log10(alkalinity * calcium), ""},
                    {"temperature term", b, ""}};
    answer.remarks = {reading_of(ph - saturated)};
    return answer;
}

}  // namespace

WorkedComputation saturation_computation() {
    constexpr Taken dissolved{1, 50000};
    return {{"saturation",
             "whether water lays down scale or takes it away",
             "Langelier's, Ryznar's and the aggressive index.",
             {needed("ph", "pH", "pH", {4, 10}),
              usually("water", "\u00b0C", "12C", "temperature of the water", {0, 95}),
              needed("dissolved", "mg/L", "dissolved matter in all", dissolved),
              needed("calcium", "mg/L", "calcium hardness as CaCO3", dissolved),
              needed("alkalinity", "mg/L", "alkalinity as CaCO3", dissolved)},
             "--ph 6.8 --water 12C --dissolved 200mg/L --calcium 80mg/L --alkalinity 90mg/L",
             "pH - ((9.3 + A + B) - (C + D)); 2*pHs - pH; pH + log10(alkalinity*Ca)",
             "Roberge, Corrosion Engineering: Principles and Practice (McGraw-Hill, 2008), 8.7.1; "
             "Frankel, Facility Piping Systems Handbook, 3rd ed. (McGraw-Hill, 2010), Tables "
             "4.4-4.6",
             "pH 4 to 10, 0 to 95 C"},
            work_saturation};
}

}  // namespace knockwell
