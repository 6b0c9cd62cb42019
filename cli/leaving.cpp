#include "cli/leaving.hpp"

namespace knockwell {

std::vector<std::string> leaving_cautions() {
    return {
        "Line voltage kills, 115 V as 230 V does. Covers go on with the power off, locked and "
        "every "
        "leg proved dead.",
        "The precharge is read with the power locked off and the tank empty of water. A tank "
        "without "
        "water still holds its charge of air.",
        "While the pump builds pressure stand clear of tank and relief valve. Past cut-out, turn "
        "the "
        "pump off at the breaker.",
        "Water of an opened well is not drunk until a laboratory clears it.",
    };
}

std::vector<std::string> leaving_checks() {
    return {
        "Every cover is on, every ground wire back, no tool and no jumper left inside.",
        "Precharge: a little under cut-in, read with the tank empty of water.",
        "Every valve, filter bypass and drain stands as it was found, or as it must.",
        "Power is on, and the lock is off.",
        "Two full cycles watched from start to stop, with water running and without.",
        "Cut-in and cut-out read at the gauge and within the plates of tank, pump and piping.",
        "The relief valve is there, has its pipe to a safe place, and is not plugged.",
        "Leak-down: all faucets shut, the gauge holds for ten minutes; joints made today are dry.",
        ("Where the well or its pipe was opened: disinfected, flushed, a sample on its way to the "
         "laboratory, and the customer told not to drink from it until it is cleared."),
        "The customer knows what was done, and what to watch for.",
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
