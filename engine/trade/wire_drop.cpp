// trade/wire_drop.cpp
//
// Volts lost in the wire between supply and motor.
//
// Formula  V = 2*L*I*R, R of the wire, single phase
// Source   resistance: NFPA 70 National Electrical Code, chapter 9 table 8 (copper, uncoated, 75
//          C); IEC 60228, class 1 and 2 maximum (20 C), in a reproduction. 20 C of AWG: worked back
//          with trade/copper.hpp, as the American wire gauge table of HyperPhysics (Georgia State
//          University) prints it. Guide of 3 % for a branch and 5 % in all: NFPA 70, 210.19 note
// Range    copper, single phase
// Care     a meter on a cool cable reads the 20 C column, a sixth under the code's table
// Held by  tests/trade/checks.toml
#include "base/words.hpp"
#include "trade/computations.hpp"
#include "trade/copper.hpp"

#include <array>

namespace knockwell {
namespace {

struct Wire {
    const char* name;
    double solid;     // ohm/kft at 75 C; 0: the table has none
    double stranded;  // ohm/kft at 75 C; 0: a metric wire
    double metric;    // ohm/km at 20 C, largest allowed; 0: an AWG wire
};
constexpr auto wires = std::to_array<Wire>({{"14awg", 3.07, 3.14, 0},
                                            {"12awg", 1.93, 1.98, 0},
                                            {"10awg", 1.21, 1.24, 0},
                                            {"8awg", 0.764, 0.778, 0},
                                            {"6awg", 0, 0.491, 0},
                                            {"4awg", 0, 0.308, 0},
                                            {"2awg", 0, 0.194, 0},
                                            {"1.5mm2", 0, 0, 12.1},
                                            {"2.5mm2", 0, 0, 7.41},
                                            {"4mm2", 0, 0, 4.61},
                                            {"6mm2", 0, 0, 3.08},
                                            {"10mm2", 0, 0, 1.83},
                                            {"16mm2", 0, 0, 1.15}});
constexpr double warm_over_cool = copper_growth(75);
constexpr double kft_per_km = 3.28084;
constexpr double branch_limit = 3;  // percent
constexpr double total_limit = 5;

// Ohms a thousand feet at 75 C; none where the table has no such wire.
double warm_resistance(const Wire& wire, bool solid) {
    if (wire.metric > 0)
        return wire.metric / kft_per_km * warm_over_cool;
    return solid ? wire.solid : wire.stranded;
}

Outcome<CalcAnswer> work_wire_drop(const CalcValues& values) {
    const Wire& wire = wires[static_cast<std::size_t>(values.at("wire"))];
    const bool solid = values.find("kind").value_or(0) > 0;
    const double warm = warm_resistance(wire, solid);
    RangeCheck check;
    check.demand(warm > 0, "kind: the table has no solid wire of that size");
    if (!check.fine())
        return check.wrong();
    const double cool = warm / warm_over_cool;
    // A metric wire is carried at its table's 20 C, an AWG wire at its table's 75 C.
    const double used = wire.metric > 0 ? cool : warm;
    const double length = values.at("length");
    const double drop = 2 * length * values.at("amps") * used / 1000;
    const double volts = values.at("volts");
    check.demand(drop <= volts, "amps: the wire would take " + number(drop, 3) +
                                    " V, and the supply has " + number(volts) +
                                    " V; read both again");
    if (!check.fine())
        return check.wrong();
    const double share = 100 * drop / volts;
    CalcAnswer answer;
    answer.lines = {{"volts lost", drop, "V"},
                    {"share of the supply", share, "%"},
                    {"guide for a branch", branch_limit, "%"},
                    {"guide in all", total_limit, "%"},
                    {"wire at 75 C", warm, "ohm/kft"},
                    {"wire at 20 C", cool, "ohm/kft"},
                    {"loop of both wires at 20 C", 2 * length * cool / 1000, "ohm"}};
    if (share > total_limit)
        answer.remarks.emplace_back("More than the guide: the wire is too thin for its length, or "
                                    "the amps are not the motor's own.");
    answer.remarks.emplace_back("The guide is a note of the code and not a rule; a licensed "
                                "electrician says what the place asks for.");
    return answer;
}

std::vector<std::string> wire_names() {
    std::vector<std::string> names;
    for (const Wire& wire : wires)
        names.emplace_back(wire.name);
    return names;
}

}  // namespace

WorkedComputation wire_drop_computation() {
    CalcInput kind = chosen_from("kind", {"stranded", "solid"}, "stranded or solid (stranded)");
    kind.optional = true;
    return {{"wire-drop",
             "volts lost in the wire to the motor",
             "Single phase, there and back.",
             {chosen_from("wire", wire_names(), "size of the copper wire"), kind,
              needed("length", "ft", "one way, supply to motor", {1, 20000}),
              needed("amps", "A", "amps that flow", {0, 1000}),
              usually("volts", "V", "230V", "volts of the supply", {12, 1000})},
             "--wire 12awg --length 300ft --amps 8A --volts 230V",
             "2*L*I*R",
             "NFPA 70 National Electrical Code, chapter 9 table 8 and 210.19 note; IEC 60228 in a "
             "reproduction",
             "copper, single phase; AWG at 75 C, metric at 20 C"},
            work_wire_drop};
}

}  // namespace knockwell
