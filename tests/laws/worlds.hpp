// tests/laws/worlds.hpp
//
// The sum over all worlds, straight from docs/model.md: every state of every setting and table,
// every cause in every stage, every cause that acts; and in each world every trigger of every sign
// fired or not, noticed or not. Plainly right and slow; shares no code with the beliefs.
//
// Care     every number is a `Real`, wider than the double that it is compared with, so that what
//          is lost here does not count. Strengths are the doubles that the knowledge gives, and
//          what is left of one is worked out from it afresh
#pragma once
#include "beliefs/evidence.hpp"
#include "knowledge/model.hpp"

#include <cstddef>
#include <cstdint>
#include <functional>
#include <vector>

namespace knockwell::laws {

/// 64 binary digits on x86-64, 113 on 64-bit Arm.
using Real = long double;

/// One way in which everything could be.
struct World {
    std::vector<std::size_t> setting;  // [SettingId] state
    std::vector<std::uint32_t> cause;  // [CauseId] bit t: present in stage t
    std::vector<bool> acts;            // [CauseId]
};

struct Added {
    Real evidence = 0;                       // P(e)
    Real silent = 0;                         // P(e, no listed cause was noticed where a sign was
                                             // found present)
    std::vector<Real> cause;                 // P(present in the last stage, e)
    std::vector<std::vector<Real>> setting;  // P(state, e)
    std::vector<Real>
        set;  // [bits of the causes, cause 0 lowest] P(exactly these in the last stage, e)
};

/// `present[f]`: finding f says that something is there (only `silent` depends on it).
[[nodiscard]] Added add_up_all_worlds(const Knowledge& knowledge, const Evidence& evidence,
                                      const std::vector<bool>& present);

/// Calls act(world, P(world, e)) for every world that is possible.
void each_world(const Knowledge& knowledge, const Evidence& evidence,
                const std::function<void(const World&, Real)>& act);

}  // namespace knockwell::laws
