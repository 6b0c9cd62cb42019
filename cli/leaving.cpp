#include "cli/leaving.hpp"

namespace knockwell {

std::vector<std::string> leaving_cautions() {
    return {
        "Line voltage kills, 115 V as 230 V does. Covers go on with the power off, locked and "
        "every leg proved dead.",
        "The precharge is read with the power locked off and the tank empty of water. A tank "
        "without water still holds its charge of air.",
        "While the pump builds pressure stand clear of tank and relief valve. Past cut-out, turn "
        "the pump off at the breaker.",
        "Water of an opened well is not drunk until a laboratory clears it.",
    };
}

std::vector<LeavingCheck> leaving_checks() {
    return {
        {"covers", "Every cover is on, every ground wire back, no tool and no jumper left inside."},
        {"precharge", "Precharge: a little under cut-in, read with the tank empty of water."},
        {"valves", "Every valve, filter bypass and drain stands as it was found, or as it must."},
        {"power", "Power is on, and the lock is off."},
        {"cycles", "Two full cycles watched from start to stop, with water running and without.",
         true},
        {"cut-in-out",
         "Cut-in and cut-out read at the gauge and within the plates of tank, pump and piping."},
        {"amps", "Running amps of each leg at or under the plate's, clamped at a closed box by a "
                 "qualified person."},
        {"relief", "The relief valve is there, has its pipe to a safe place, and is not plugged.",
         true},
        {"leak-down",
         "Leak-down: all faucets shut, the gauge holds for ten minutes; joints made today are "
         "dry."},
        {"water",
         "Where the well or its pipe was opened: disinfected, flushed, a sample on its way to the "
         "laboratory, and the customer told not to drink from it until it is cleared.",
         true},
        {"killer",
         "What may have killed the part that was replaced was looked for, or the customer knows "
         "of it."},
        {"customer", "The customer knows what was done, and what to watch for.", true},
    };
}

std::vector<LeftReading> left_readings() {
    return {
        {"cut-in", "psi", "Cut-in, read at the gauge", true},
        {"cut-out", "psi", "Cut-out, read at the gauge", true},
        {"amps", "A", "Running amps, the highest leg"},
        {"precharge", "psi", "Precharge, read with the tank empty of water"},
    };
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
