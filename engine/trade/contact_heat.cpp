// trade/contact_heat.cpp
//
// Heat in a bad contact, and the volts that it takes.
//
// Formula  W = I^2*R; V = I*R; R = V/I where the volts across it were read
// Source   Ohm's law; more than about 1 V across closed contacts is too much (common practice, no
//          source)
// Range    closed contact, the pump running
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_contact_heat(const CalcValues& values) {
    const double amps = values.at("amps");
    const auto ohms = values.find("resistance");
    const auto drop = values.find("drop");
    RangeCheck check;
    check.demand(ohms.has_value() != drop.has_value(),
                 "drop: give the volts across the contact or its resistance, one of them");
    if (!check.fine())
        return check.wrong();
    const double volts = drop.value_or(ohms.value_or(0) * amps);
    CalcAnswer answer;
    answer.cautions = {live_work};
    answer.lines = {{"heat in the contact", amps * volts, "W"},
                    {"volts across it", volts, "V"},
                    {"too many volts, from about", 1, "V"}};
    return answer;
}

}  // namespace

WorkedComputation contact_heat_computation() {
    return {{"contact-heat",
             "heat in a bad contact, and the volts that it takes",
             "Why a burnt contact burns further.",
             {needed("amps", "A", "amps through the contact", {0, 500}),
              may_be_left_out("drop", "V", "volts across the closed contact", {0, 300}),
              may_be_left_out("resistance", "ohm", "its resistance, dead", {0, 1000})},
             "--amps 8A --resistance 0.3ohm",
             "I^2*R, I*R",
             "Ohm's law; 1 V is common practice, no source",
             "closed contact, pump running"},
            work_contact_heat};
}

}  // namespace knockwell
