// support/rattling.hpp
//
// One cause, one sign of three kinds, and findings of it that soon are too many to add up.
#pragma once
#include "beliefs/evidence.hpp"

#include <cstddef>

namespace knockwell {

inline constexpr const char* one_cause = R"(
[reports]
looked = { misses = "1 in 10", false_alarm = "1 in 10" }

[cause.worn-pump]
title   = "Pump is worn"
present = "1 in 10"
shows   = { noise = { hum = "3 in 10", rattle = "3 in 10", hiss = "3 in 10" } }

[observation.noise]
title       = "Noise of the pump"
kinds       = ["hum", "rattle", "hiss"]
seen_anyway = { hum = "1 in 100", rattle = "1 in 100", hiss = "1 in 100" }
)";

/// `count` findings of the same middle kind: a table of 3^count values.
[[nodiscard]] inline Evidence heard_rattling(std::size_t count) {
    const Finding rattle{SignId(std::size_t{0}), 2, {}, {}, Via::looked, {}, 0};
    Evidence evidence;
    evidence.findings.assign(count, rattle);
    return evidence;
}

}  // namespace knockwell
