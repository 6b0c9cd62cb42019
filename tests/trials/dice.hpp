// trials/dice.hpp
//
// Chance by name: what happens to one thing in one job hangs on the job's seed and on the thing
// alone, so that two followers who look at the same thing on the same job see the same.
//
// Source  the mixing is SplitMix64: G. L. Steele, D. Lea, C. H. Flood, Fast splittable pseudorandom
//         number generators, OOPSLA 2014, pp. 453-472
#pragma once
#include <cstdint>
#include <initializer_list>

namespace knockwell::trials {

[[nodiscard]] constexpr std::uint64_t mixed(std::uint64_t x) {
    x += 0x9e3779b97f4a7c15U;
    x = (x ^ (x >> 30U)) * 0xbf58476d1ce4e5b9U;
    x = (x ^ (x >> 27U)) * 0x94d049bb133111ebU;
    return x ^ (x >> 31U);
}

/// In [0, 1), the same for the same seed and names.
[[nodiscard]] constexpr double even(std::uint64_t seed,
                                    std::initializer_list<std::uint64_t> names) {
    std::uint64_t state = mixed(seed);
    for (const std::uint64_t name : names)
        state = mixed(state ^ mixed(name));
    return static_cast<double>(state >> 11U) * 0x1p-53;
}

}  // namespace knockwell::trials
