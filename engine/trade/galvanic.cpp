// trade/galvanic.cpp
//
// Whether two metals that touch in water eat each other.
//
// Formula  gap of the middle potentials in seawater; gap of the anodic indices against 0.15 V
//          (harsh), 0.25 (normal), 0.50 (controlled); share = 100*gap/limit in this water
// Source   potentials against calomel: Corrosion potentials in flowing seawater (Australasian
//          Corrosion Association educational guide); anodic index: secondary references after US
//          military finish standards (MIL-F-14072, MIL-STD-889), hot-dip zinc from memory
// Range    ranks couples; it predicts no rate in well water. A wet joint is harsh; water with
//          hardly any salt in it, under 50 mg/L, carries so little current that the joint is taken
//          as in a normal place (common practice, no source)
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

#include <array>
#include <cmath>

namespace knockwell {
namespace {

struct Metal {
    const char* name;
    double high;  // potential against calomel in seawater, V; both 0: none printed
    double low;
    double index;  // anodic index, V; 0: none printed
};
constexpr auto metals = std::to_array<Metal>({{"zinc", -0.98, -1.03, 1.25},
                                              {"galvanized", -0.98, -1.03, 1.20},
                                              {"magnesium", 0, 0, 1.75},
                                              {"aluminum", -0.76, -1.00, 0},
                                              {"steel", -0.60, -0.72, 0.85},
                                              {"stainless-304-active", -0.44, -0.58, 0},
                                              {"stainless-304", -0.04, -0.10, 0.50},
                                              {"stainless-316", 0.00, -0.10, 0},
                                              {"brass", -0.31, -0.40, 0.40},
                                              {"high-brass", 0, 0, 0.45},
                                              {"bronze", -0.24, -0.32, 0.40},
                                              {"copper", -0.30, -0.37, 0.35},
                                              {"lead", -0.19, -0.25, 0.70},
                                              {"tin", 0, 0, 0.65}});

bool has_potential(const Metal& metal) { return metal.low < 0; }
double middle(const Metal& metal) { return (metal.high + metal.low) / 2; }

Outcome<CalcAnswer> work_galvanic(const CalcValues& values) {
    const Metal& one = metals[static_cast<std::size_t>(values.at("metal"))];
    const Metal& other = metals[static_cast<std::size_t>(values.at("against"))];
    CalcAnswer answer;
    if (has_potential(one))
        answer.lines.push_back({"potential of the first", middle(one), "V"});
    if (has_potential(one) && has_potential(other))
        answer.lines.push_back({"gap of potentials", std::abs(middle(one) - middle(other)), "V"});
    if (one.index > 0)
        answer.lines.push_back({"index of the first", one.index, "V"});
    if (one.index > 0 && other.index > 0) {
        constexpr double harsh = 0.15;
        constexpr double nearly_pure = 50;  // mg/L
        const double gap = std::abs(one.index - other.index);
        const auto limits = std::to_array<double>({harsh, 0.25, 0.50});
        answer.lines.push_back({"gap of indices", gap, "V"});
        answer.lines.push_back({"largest gap in a harsh place", limits[0], "V"});
        answer.lines.push_back({"largest gap in a normal place", limits[1], "V"});
        answer.lines.push_back({"largest gap in a controlled place", limits[2], "V"});
        const double limit = values.at("dissolved") < nearly_pure ? limits[1] : harsh;
        answer.lines.push_back({"share of the largest gap in this water", 100 * gap / limit, "%"});
        answer.remarks.emplace_back(
            gap > limit ? "Too far apart for a wet joint: a dielectric union or a brass nipple "
                          "between them, never a steel nipple in a brass tee."
                        : "Near enough for a wet joint.");
    }
    RangeCheck check;
    check.demand(!answer.lines.empty(), "metal: neither potential nor index is printed for these");
    if (!check.fine())
        return check.wrong();
    answer.remarks.emplace_back("It ranks couples and predicts no rate. Stainless steel in slime, "
                                "crevices or still water turns active, near -0.5 V.");
    return answer;
}

}  // namespace

WorkedComputation galvanic_computation() {
    std::vector<std::string> names;
    for (const Metal& metal : metals)
        names.emplace_back(metal.name);
    return {{"galvanic",
             "whether two metals that touch in water eat each other",
             "By their potentials in seawater and by their anodic indices.",
             {chosen_from("metal", names, "one metal"),
              chosen_from("against", names, "the other metal"),
              usually("dissolved", "mg/L", "300mg/L", "solids dissolved in the water", {0, 50000})},
             "--metal steel --against brass",
             "difference of the middle potentials; difference of the indices against 0.15, 0.25, "
             "0.50 V: in water 0.15, under 50 mg/L dissolved 0.25",
             "Corrosion potentials in flowing seawater (Australasian Corrosion Association "
             "educational guide); anodic index: secondary references after MIL-F-14072 and "
             "MIL-STD-889",
             "ranks couples; no rate in well water"},
            work_galvanic};
}

}  // namespace knockwell
