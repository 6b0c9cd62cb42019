// trade/limit.cpp
//
// Figures of rules, standards and practice, each with its own source: safety, water, tanks, and
// where a reading turns suspect.
//
// Source   beside each figure
// Range    federal levels bind public systems; state rules are examples
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

#include <array>

namespace knockwell {
namespace {

constexpr const char* of_practice = "common practice, no source";
constexpr const char* of_memory = "from memory, no source";
constexpr const char* of_well_class =
    "Private Well Class help articles (University of Illinois and RCAP, US EPA funded)";
constexpr const char* of_idaho =
    "IDAPA 58.01.08.547 Hydropneumatic tank systems (State of Idaho, 2024)";
constexpr const char* of_tank_rules =
    "NAC 445A.6706 (State of Nevada); NR 812.33 note, NR 811.34 (State of Wisconsin)";
constexpr const char* of_inspection = "Home-inspection text, well and water-system chapter";
constexpr const char* of_tank_standard =
    "Performance standard for pressurized water storage tanks, foreword (reproduced extract; "
    "publisher Water Systems Council from memory)";
constexpr const char* of_osha = "29 CFR 1910.147 (2002 text), 1910.146, 1910.333 (US OSHA; "
                                "1910.333 read in the Washington State copy, WAC 296-24-975)";
constexpr const char* of_ohio = "Dissolved methane note (Ohio State University watershed "
                                "programme, citing the Ohio Dept. of Health)";
constexpr const char* of_mining = "Technical measures for fugitive methane hazards in coal mining "
                                  "areas (US Office of Surface Mining, 2001), from memory";
constexpr const char* of_new_york = "Individual Water Supply Wells Fact Sheet 2 and 10 NYCRR App. "
                                    "5-B.4 (New York State Dept. of Health)";
constexpr const char* of_cross_connections =
    "Cross-connection protection page (City of Saskatoon); "
    "Cross-Connection Control Manual EPA 816-R-03-002";
constexpr const char* of_well_rules =
    "178 NAC 12-011 (State of Nebraska); NR 812.35, NR 812.41 (State of Wisconsin)";
constexpr const char* of_piping_handbook =
    "Frankel, Facility Piping Systems Handbook, 3rd ed. (McGraw-Hill, 2010), Tables 4.4-4.6";
constexpr const char* of_epa = "40 CFR 143.3 Secondary maximum contaminant levels (US EPA)";

struct Figure {
    const char* name;
    const char* title;
    double value;
    double give_or_take;  // 0: as printed
    const char* unit;
    const char* source;
};
constexpr auto figures = std::to_array<Figure>({
    {"short-run", "a run shorter than this under steady draw reads as a lost air charge", 30, 15,
     "s", of_practice},
    {"good-run", "shortest run of a healthy constant-speed system", 60, 15, "s", of_practice},
    {"winding-off-record", "winding ohms this far from the record are suspect", 15, 5, "%",
     of_practice},
    {"start-winding-on", "the start winding is in circuit for about this long at most", 1, 1, "s",
     of_practice},
    {"hold-drop", "fall in 15 minutes with the house valve shut that shows a leak on the well side",
     2, 1, "psi", of_practice},
    {"vacuum-blocked", "vacuum from here means too deep or blocked", 22, 2, "inHg", of_practice},
    {"vacuum-air", "vacuum to here, with no water, means an air leak", 5, 3, "inHg", of_practice},
    {"well-rest", "rest after which a pumped-down well comes back", 45, 30, "min", of_practice},
    {"run-capacitor-off", "a run capacitor this far from its mark is at its tolerance", 6, 4, "%",
     of_memory},
    {"start-capacitor-over",
     "a start capacitor may be this far over its mark, and nothing under it", 20, 0, "%",
     of_memory},
    {"gauge-agrees", "gauge and switch should agree within", 3, 1, "psi", of_practice},
    {"capacity-lost", "fall of specific capacity that calls for cleaning", 25, 10, "%", of_memory},
    {"switch-differential", "usual cut-out minus cut-in", 20, 0, "psi", of_well_class},
    {"drive-tank", "small tank used with a constant-pressure drive", 2, 0, "gal", of_well_class},
    {"state-cycles", "starts an hour in a state tank rule", 6, 0, "1/h", of_idaho},
    {"state-tank", "gross tank gallons for each gpm of the largest pump, public systems", 10, 0,
     "gal/gpm", of_tank_rules},
    {"relief-setting", "usual setting of the relief valve at a domestic tank", 75, 0, "psi",
     of_inspection},
    {"tank-rating-least", "least maximum working pressure in the tank standard", 75, 0, "psi",
     of_tank_standard},
    {"tank-rating-most", "greatest maximum working pressure in the tank standard", 150, 0, "psi",
     of_tank_standard},
    {"coded-tank", "tank volume above which a state calls for a pressure vessel with a code stamp",
     120, 0, "gal", of_idaho},
    {"live-work",
     "volts to ground under which de-energizing may be waived, no burn or arc risk added", 50, 0,
     "V", of_osha},
    {"oxygen-low", "air is unfit below this share of oxygen", 19.5, 0, "%", of_osha},
    {"oxygen-high", "air is unfit above this share of oxygen", 23.5, 0, "%", of_osha},
    {"methane-watch", "dissolved methane that calls for venting and watch", 10, 0, "mg/L", of_ohio},
    {"methane-act", "dissolved methane that calls for action at once", 28, 0, "mg/L", of_mining},
    {"yield-level", "level change allowed in the steady part of a yield test, for 100 ft of water",
     0.5, 0, "ft", of_new_york},
    {"yield-time", "least steady time of a yield test", 4, 0, "h", of_new_york},
    {"air-gap", "air gap over the flood rim in outlet diameters, never under an inch", 2, 0, "",
     of_cross_connections},
    {"chlorine-pump-work", "chlorine wanted when a pump is set or repaired (state rule)", 50, 0,
     "mg/L", of_well_rules},
    {"balanced-index", "saturation index of balanced water", 0, 0, "", of_piping_handbook},
    {"iron", "iron, federal secondary level (taste, stains)", 0.3, 0, "mg/L", of_epa},
    {"manganese", "manganese, federal secondary level (taste, stains)", 0.05, 0, "mg/L", of_epa},
    {"dissolved-matter", "dissolved matter, federal secondary level (taste, stains)", 500, 0,
     "mg/L", of_epa},
    {"chloride", "chloride, federal secondary level (taste, stains)", 250, 0, "mg/L", of_epa},
    {"sulfate", "sulfate, federal secondary level (taste, stains)", 250, 0, "mg/L", of_epa},
    {"copper", "copper, federal secondary level (taste, stains)", 1, 0, "mg/L", of_epa},
    {"zinc", "zinc, federal secondary level (taste, stains)", 5, 0, "mg/L", of_epa},
    {"fluoride", "fluoride, federal secondary level (taste, stains)", 2, 0, "mg/L", of_epa},
    {"ph-low", "lowest pH, federal secondary level", 6.5, 0, "pH", of_epa},
    {"ph-high", "highest pH, federal secondary level", 8.5, 0, "pH", of_epa},
    {"color", "color units, federal secondary level", 15, 0, "", of_epa},
    {"odor", "threshold odor number, federal secondary level", 3, 0, "", of_epa},
});

Outcome<CalcAnswer> work_limit(const CalcValues& values) {
    const Figure& figure = figures[static_cast<std::size_t>(values.at("of"))];
    CalcAnswer answer;
    answer.lines = {{figure.title, figure.value, figure.unit}};
    if (figure.give_or_take > 0)
        answer.lines.push_back({"give or take", figure.give_or_take, figure.unit});
    answer.source = figure.source;
    answer.remarks = {"Federal levels bind public systems; for a private well they are guides. "
                      "Plates, local code and licensed practice overrule every figure."};
    return answer;
}

}  // namespace

WorkedComputation limit_computation() {
    std::vector<std::string> names;
    for (const Figure& figure : figures)
        names.emplace_back(figure.name);
    return {{"limit",
             "figures of rules, standards and practice",
             "One figure with its source: safety, water, tanks, and where a reading turns suspect.",
             {chosen_from("of", names, "the figure wanted")},
             "--of oxygen-low",
             "table",
             "the figure's own, printed with it",
             "as its source says"},
            work_limit};
}

}  // namespace knockwell
