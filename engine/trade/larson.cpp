// trade/larson.cpp
//
// Whether salts in the water attack steel.
//
// Formula  (Cl/35.45 + SO4/48.03) / (alkalinity as CaCO3/50.04), each in mg/L, so in meq/L
// Source   Roberge, Corrosion Inspection and Monitoring (Wiley, 2006), App. B: under 0.8 unlikely,
//          0.8 to 1.2 possible, above 1.2 likely
// Range    waters of ordinary alkalinity, from about 20 mg/L
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_larson(const CalcValues& values) {
    const double index = (values.at("chloride") / 35.45 + values.at("sulfate") / 48.03) /
                         (values.at("alkalinity") / 50.04);
    CalcAnswer answer;
    answer.lines = {{"ratio", index, ""}};
    answer.remarks = {index < 0.8   ? "Attack on steel is unlikely."
                      : index < 1.2 ? "Attack on steel is possible."
                                    : "Fast attack on steel is likely."};
    return answer;
}

}  // namespace

WorkedComputation larson_computation() {
    return {{"larson",
             "whether salts in the water attack steel",
             "The ratio of Larson and Skold.",
             {needed("chloride", "mg/L", "chloride", {0, 50000}),
              needed("sulfate", "mg/L", "sulfate", {0, 50000}),
              needed("alkalinity", "mg/L", "alkalinity as CaCO3", {1, 5000})},
             "--chloride 60mg/L --sulfate 40mg/L --alkalinity 100mg/L",
             "(Cl + SO4)/(HCO3 + CO3), meq/L",
             "Roberge, Corrosion Inspection and Monitoring (Wiley, 2006), App. B",
             "waters of ordinary alkalinity"},
            work_larson};
}

}  // namespace knockwell
