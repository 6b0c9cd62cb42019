// beliefs/runs.hpp
//
// How an operation goes through a table. Inside this floor only.
#pragma once
#include "beliefs/pack.hpp"
#include "beliefs/plan.hpp"

#include <cstddef>
#include <vector>

namespace knockwell {

/// Calls act(offset) for every stretch of neighbouring entries in which the fixed digits are 0.
template <class Act>
KNOCKWELL_INLINE void for_runs(const Plan& plan, const Operation& op, std::size_t base, Act act) {
    const Gap* gaps = plan.gaps.data() + op.gaps.first;
    switch (op.gaps.count) {
    case 0:
        act(base);
        return;
    case 1:
        for (std::size_t i = 0; i < gaps[0].count; ++i)
            act(base + i * gaps[0].stride);
        return;
    case 2:
        for (std::size_t j = 0; j < gaps[1].count; ++j)
            for (std::size_t i = 0; i < gaps[0].count; ++i)
                act(base + j * gaps[1].stride + i * gaps[0].stride);
        return;
    default:
        break;
    }
    std::vector<std::size_t> at(op.gaps.count, 0);
    for (std::size_t g = 0; g < at.size();) {
        act(base);
        for (g = 0; g < at.size(); ++g) {
            base += gaps[g].stride;
            if (++at[g] < gaps[g].count)
                break;
            base -= gaps[g].stride * gaps[g].count;
            at[g] = 0;
        }
    }
}

}  // namespace knockwell
