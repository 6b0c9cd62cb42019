// trade/suction_lift.cpp
//
// How high a pump can suck at a height above the sea.
//
// Formula  air = 101.325 kPa*(1 - 2.25577e-5*m)^5.25588 (standard atmosphere); vapor pressure =
//          0.61121 kPa*exp((18.678 - T/234.5)*T/(257.14 + T)), T in C; lift = (air - vapor)/(rho*g)
//          - friction; practical lift from a table by altitude
// Source   Davis, Water and Wastewater Engineering (McGraw-Hill, 2010), Table 3-7 after US Standard
//          Atmosphere 1976; vapor pressure: equation of Buck (1981, 1996), from memory, against CRC
//          Handbook of Chemistry and Physics 1992-93; practical lift: Engineering ToolBox web
//          tables
// Range    0 to 10560 ft, 32 to 100 F
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

#include <array>
#include <cmath>

namespace knockwell {
namespace {

// Practical lift by altitude, ft and ft.
struct LiftRow {
    double altitude;
    double lift;
};
constexpr auto lift_rows = std::to_array<LiftRow>(
    {{0, 22}, {1320, 21}, {2640, 20}, {3960, 18}, {5280, 17}, {6600, 16}, {7920, 15}, {10560, 14}});

double practical_lift(double altitude) {
    for (std::size_t i = 1; i < lift_rows.size(); ++i) {
        const LiftRow& low = lift_rows[i - 1];
        const LiftRow& high = lift_rows[i];
        if (altitude <= high.altitude)
            return low.lift + (high.lift - low.lift) * (altitude - low.altitude) /
                                  (high.altitude - low.altitude);
    }
    return lift_rows.back().lift;
}

Outcome<CalcAnswer> work_suction_lift(const CalcValues& values) {
    constexpr double kpa_per_ft = 0.3048 * 9.80665;
    const double altitude = values.at("altitude");
    const double t = values.at("water");
    const double air = 101.325 * std::pow(1 - 2.25577e-5 * altitude * 0.3048, 5.25588);
    const double vapor = 0.61121 * std::exp((18.678 - t / 234.5) * t / (257.14 + t));
    CalcAnswer answer;
    answer.lines = {
        {"air pressure", air, "kPa"},
        {"air pressure as water", air / kpa_per_ft, "ft"},
        {"vapor pressure", vapor, "kPa"},
        {"vapor pressure as water", vapor / kpa_per_ft, "ft"},
        {"highest lift in theory", (air - vapor) / kpa_per_ft - values.at("friction"), "ft"},
        {"practical lift", practical_lift(altitude) - values.at("friction"), "ft"}};
    answer.remarks = {"A careful installer stops a shallow jet at 20 ft, 25 ft is the outer limit "
                      "(trade articles)."};
    return answer;
}

}  // namespace

WorkedComputation suction_lift_computation() {
    return {{"suction-lift",
             "how high a pump can suck at a height above the sea",
             "From the water to the pump, friction taken off.",
             {usually("altitude", "ft", "0ft", "height above the sea", {0, 10560}),
              usually("water", "\u00b0C", "10C", "temperature of the water", {0, 38}),
              usually("friction", "ft", "0ft", "friction in the suction line", {0, 40})},
             "--altitude 5280ft --water 50F",
             "(air - vapor)/(rho*g) - friction; practical lift from a table by altitude",
             "Davis, Water and Wastewater Engineering (McGraw-Hill, 2010), Table 3-7 after US "
             "Standard Atmosphere 1976; Engineering ToolBox web tables",
             "0 to 10560 ft, water of 32 to 100 F"},
            work_suction_lift};
}

}  // namespace knockwell
