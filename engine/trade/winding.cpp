// trade/winding.cpp
//
// Ohms of a motor's winding with cable and leads taken off, at the temperature of the record.
//
// Formula  net = reading - leads - 2*L*R(20 C)*(1 + 0.00393*(T-20)), T of the cable;
//          at the record's temperature Tr: net*(1 + 0.00393*(Tr-20))/(1 + 0.00393*(Tm-20)), Tm of
//          the motor; share = 100*that/record
// Source   American wire gauge table at 20 C (HyperPhysics, Georgia State University); 0.00393 a
//          degree as in trade/copper.hpp; further than about 15 % from the record is suspect
//          (common practice, no source)
// Range    AWG copper, solid; one pair of leads at a time, of a single-phase or a three-phase motor
// Care     a motor that has just run is hot: 40 C more reads 16 % more, and looks like a bad splice
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"
#include "trade/copper.hpp"

#include <array>
#include <cmath>

namespace knockwell {
namespace {

struct Gauge {
    const char* name;
    double ohm_kft;  // solid, 20 C
};
constexpr auto gauges = std::to_array<Gauge>({{"14awg", 2.525},
                                              {"12awg", 1.588},
                                              {"10awg", 0.9989},
                                              {"8awg", 0.6282},
                                              {"6awg", 0.3951},
                                              {"4awg", 0.2485},
                                              {"2awg", 0.1563}});

Outcome<CalcAnswer> work_winding(const CalcValues& values) {
    constexpr double suspect = 15;  // percent
    const Gauge& gauge = gauges[static_cast<std::size_t>(values.at("wire"))];
    const double loop =
        2 * values.at("length") * gauge.ohm_kft / 1000 * copper_growth(values.at("cable"));
    const double net = values.at("reading") - values.at("leads") - loop;
    RangeCheck check;
    check.demand(net >= 0, "reading: is less than cable and leads have by themselves; the wire is "
                           "another, or the leads touch");
    if (!check.fine())
        return check.wrong();
    CalcAnswer answer;
    answer.cautions = {proved_dead};
    answer.lines = {{"winding", net, "ohm"}, {"loop of the cable", loop, "ohm"}};
    if (const auto record = values.find("record")) {
        const double alike =
            net * copper_growth(values.at("record-at")) / copper_growth(values.at("motor"));
        const double off = 100 * (alike / *record - 1);
        answer.lines.push_back({"winding at the record's temperature", alike, "ohm"});
        answer.lines.push_back({"share of the record", 100 * alike / *record, "%"});
        answer.remarks.emplace_back(
            std::abs(off) > suspect
                ? "Further from the record than 15 %: suspect (common practice, no source)."
                : "Within 15 % of the record (common practice, no source).");
    }
    return answer;
}

std::vector<std::string> gauge_names() {
    std::vector<std::string> names;
    for (const Gauge& gauge : gauges)
        names.emplace_back(gauge.name);
    return names;
}

}  // namespace

WorkedComputation winding_computation() {
    return {{"winding",
             "ohms of a winding with the cable taken off, against the record",
             "The meter reads the motor and the wire to it, at the heat that they have.",
             {needed("reading", "ohm", "ohms at the top of the cable", {0, 10000}),
              chosen_from("wire", gauge_names(), "size of the copper wire"),
              needed("length", "ft", "one way, meter to motor", {0, 20000}),
              usually("cable", "\u00b0C", "20C", "temperature of the cable", {-10, 60}),
              usually("leads", "ohm", "0ohm",
                      "test leads touched together, and the pump's own leads", {0, 100}),
              usually("motor", "\u00b0C", "20C", "temperature of the winding", {-10, 150}),
              may_be_left_out("record", "ohm", "winding on record or on the motor's sheet",
                              {0.01, 10000}),
              usually("record-at", "\u00b0C", "20C", "temperature of the record", {-10, 150})},
             "--reading 3.4ohm --wire 12awg --length 200ft --motor 12C --record 2.9ohm",
             "reading - leads - 2*L*R20*(1 + 0.00393*(T-20)); times (1 + 0.00393*(Tr-20))/(1 + "
             "0.00393*(Tm-20)) at the record's temperature",
             "American wire gauge table at 20 C (HyperPhysics, Georgia State University); 0.00393 "
             "as in copper; 15 % is common practice, no source",
             "copper, solid; a pair of leads at a time"},
            work_winding};
}

}  // namespace knockwell
