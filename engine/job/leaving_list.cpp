#include "job/leaving_list.hpp"

#include <algorithm>

namespace knockwell {

std::vector<std::string> leaving_cautions() {
    return {
        "Line voltage kills, 115 V as 230 V does. Covers go on with the power off, locked and "
        "every leg proved dead.",
        "The precharge is read with the power locked out and the tank empty of water. A tank "
        "without water still holds its charge of air.",
        "While the pump builds pressure stand clear of tank and relief valve. Past cut-out, turn "
        "the pump off at the breaker.",
        "Water of an opened well is not drunk until a laboratory clears it.",
    };
}

const std::vector<LeavingCheck>& leaving_checks() {
    static const std::vector<LeavingCheck> checks = {
        {.word = "covers",
         .says = "Every cover is on, every ground wire back, no tool and no jumper left inside.",
         .of_the_pump = true},
        {.word = "precharge",
         .says = "Precharge: a little under cut-in (with a drive what its plate says, some 70 % of "
                 "the pressure it holds), read with the tank empty of water.",
         .readings = {"precharge"},
         .cured = true,
         .not_with = "tank-kind=plain",
         .of_the_pump = true},
        {.word = "valves",
         .says = "Every valve, filter bypass and drain stands as it was found, or as it must."},
        {.word = "power", .says = "Power is on, and your lock is taken away."},
        {.word = "cycles",
         .says = "Two full cycles watched from start to stop, with water running and without.",
         .owner = true,
         .cured = true},
        {.word = "cut-in-out",
         .says = "Cut-in and cut-out read at the gauge and within the plates of tank, pump and "
                 "piping.",
         .readings = {"cut-in", "cut-out"},
         .cured = true,
         .not_with = "drive=variable-speed",
         .of_the_pump = true},
        {.word = "amps",
         .says = "Running amps of each leg at or under the plate's, clamped at a closed box by a "
                 "qualified person.",
         .readings = {"amps"},
         .cured = true,
         .of_the_pump = true},
        {.word = "relief",
         .says = "The relief valve is there, has its pipe to a safe place, and is not plugged.",
         .owner = true},
        {.word = "leak-down",
         .says = "Leak-down: all faucets shut, the gauge holds for ten minutes; joints made today "
                 "are dry.",
         .readings = {"leak-down"},
         .cured = true},
        {.word = "recheck",
         .says = "What shows that the repair holds was looked at",
         .cured = true},
        {.word = "water",
         .says = "Where the well or its pipe was opened: disinfected, flushed, a sample on its way "
                 "to the laboratory, and everybody on this well, in every house, told not to drink "
                 "from it until it is cleared.",
         .owner = true},
        {.word = "killer",
         .says = "What may have killed the part that was replaced was looked for, or the customer "
                 "knows of it."},
        {.word = "customer",
         .says = "The customer knows what was done, and what to watch for.",
         .owner = true},
    };
    return checks;
}

const std::vector<LeftReading>& left_readings() {
    static const std::vector<LeftReading> readings = {
        {"cut-in", "psi", "Cut-in, read at the gauge", 150},
        {"cut-out", "psi", "Cut-out, read at the gauge", 200},
        {"precharge", "psi", "Precharge, read with the tank empty of water", 150},
        {"amps", "A", "Running amps, the highest leg", 200},
        {"leak-down", "psi", "Pressure lost in ten minutes, all faucets shut", 200},
        {"volts", "V", "Volts at the pump's switch, pump running", 600},
        {"flow", "gpm", "Flow at an open faucet, pump running", 200},
    };
    return readings;
}

const LeavingCheck* leaving_check(std::string_view word) {
    const auto& all = leaving_checks();
    const auto it = std::find_if(all.begin(), all.end(),
                                 [&](const LeavingCheck& check) { return check.word == word; });
    return it == all.end() ? nullptr : &*it;
}

const LeftReading* left_reading(std::string_view word) {
    const auto& all = left_readings();
    const auto it = std::find_if(all.begin(), all.end(),
                                 [&](const LeftReading& one) { return one.word == word; });
    return it == all.end() ? nullptr : &*it;
}

std::vector<std::string> leaving_a_danger() {
    return {
        "What stands under \"Do now\" is done, as far as the way to it is safe.",
        "What is off stays off: locked, with a tag that says why and whom to call.",
        "Everybody in the house knows of the danger, and what not to touch or use.",
        "Whoever goes on knows what was found and what is off.",
    };
}

}  // namespace knockwell
