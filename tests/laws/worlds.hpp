// tests/laws/worlds.hpp
//
// The sum over all worlds, straight from docs/model.md: every state of every setting and table,
// every cause in every stage, every cause that acts; and in each world every trigger of every sign
// fired or not, noticed or not. Plainly right and slow; shares no code with the beliefs.
#pragma once
#include "beliefs/evidence.hpp"
#include "knowledge/model.hpp"

#include <cstddef>
#include <vector>

namespace knockwell::laws {

struct Added {
    double evidence = 0;        // P(e)
    double silent = 0;          // P(e, no listed cause was noticed in a sign found present)
    std::vector<double> cause;  // P(present in the last stage, e)
    std::vector<std::vector<double>> setting;  // P(state, e)
    std::vector<double>
        set;  // [bits of the causes, cause 0 lowest] P(exactly these in the last stage, e)
};

/// `present[f]`: finding f says that something is there (only `silent` depends on it).
[[nodiscard]] Added add_up_all_worlds(const Knowledge& knowledge, const Evidence& evidence,
                                      const std::vector<bool>& present);

}  // namespace knockwell::laws
