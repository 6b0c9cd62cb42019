// trade/winding.cpp
//
// Ohms of a motor's winding with the cable's own taken off.
//
// Formula  net = reading - 2*L*R(20 C)*(1 + 0.00393*(T-20)); off = 100*(net/record - 1)
// Source   American wire gauge table at 20 C (HyperPhysics, Georgia State University); further than
//          about 15 % from the record at a like temperature is suspect (common practice, no source)
// Range    AWG copper, solid, in a cool well
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

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
        2 * values.at("length") * gauge.ohm_kft / 1000 * (1 + 0.00393 * (values.at("cable") - 20));
    const double net = values.at("reading") - loop;
    RangeCheck check;
    check.demand(net >= 0, "reading: is less than the cable's own loop; the wire is another, or "
                           "the leads touch");
    if (!check.fine())
        return check.wrong();
    CalcAnswer answer;
    answer.cautions = {proved_dead};
    answer.lines = {{"winding", net, "ohm"}, {"loop of the cable", loop, "ohm"}};
    if (const auto record = values.find("record")) {
        const double off = 100 * (net / *record - 1);
        answer.lines.push_back({"share of the record", 100 * net / *record, "%"});
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
             "ohms of a winding with the cable taken off",
             "The meter reads the motor and the wire to it.",
             {needed("reading", "ohm", "ohms at the top of the cable", {0, 10000}),
              chosen_from("wire", gauge_names(), "size of the copper wire"),
              needed("length", "ft", "one way, meter to motor", {0, 20000}),
              usually("cable", "\u00b0C", "20C", "temperature of the cable", {-10, 60}),
              may_be_left_out("record", "ohm", "winding on record or on the motor's sheet",
                              {0.01, 10000})},
             "--reading 3.4ohm --wire 12awg --length 200ft",
             "reading - 2*L*R20*(1 + 0.00393*(T-20))",
             "American wire gauge table at 20 C (HyperPhysics, Georgia State University); 15 % is "
             "common practice, no source",
             "copper, solid"},
            work_winding};
}

}  // namespace knockwell
