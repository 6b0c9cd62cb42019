// support/counts.hpp
//
// Counts as tests write them.
#pragma once
#include "base/count.hpp"

namespace knockwell {

/// "k in n"
[[nodiscard]] inline Count counted(double k, double n) {
    return {.kind = Count::Kind::counted, .k = k, .n = n};
}

/// A probability without a range; 0 is "never", 1 is "always".
[[nodiscard]] inline Count exactly(double probability) {
    return {.kind = Count::Kind::exact, .k = probability, .n = 1};
}

}  // namespace knockwell
