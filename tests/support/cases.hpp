// support/cases.hpp
//
// How many of the random cases a run takes: the first tenth of them; all with KNOCKWELL_ALL; a
// fiftieth with KNOCKWELL_FEW, where each takes ten times as long.
#pragma once
#include <cstdint>
#include <cstdlib>

namespace knockwell {

/// The seed that a run begins with: `usual`, or KNOCKWELL_FIRST_SEED, so that a bar is measured on
/// cases nobody has seen.
[[nodiscard]] inline std::uint64_t first_seed(std::uint64_t usual) {
    const char* other = std::getenv("KNOCKWELL_FIRST_SEED");
    return other == nullptr ? usual : std::strtoull(other, nullptr, 10) + usual - 1;
}

[[nodiscard]] inline bool few_cases() { return std::getenv("KNOCKWELL_FEW") != nullptr; }

[[nodiscard]] inline std::uint64_t cases(std::uint64_t all) {
    if (std::getenv("KNOCKWELL_ALL") != nullptr)
        return all;
    return few_cases() ? all / 50 : all / 10;
}

}  // namespace knockwell
