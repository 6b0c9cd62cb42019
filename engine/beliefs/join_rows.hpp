// beliefs/join_rows.hpp
//
// Two rows of a link joined into one, and how the result depends on each. Inside this floor only.
#pragma once
#include "beliefs/pack.hpp"
#include "beliefs/sum.hpp"

#include <algorithm>
#include <cstdint>

namespace knockwell {

/// into[join(a, b)] += from[a] * row[b]; `into` starts at 0.
template <class P>
KNOCKWELL_INLINE void join_into(P* into, const P* from, const P* row, std::uint32_t values,
                                const Join& join) {
    if (values == 1) {
        into[0] = from[0] * row[0];
        return;
    }
    if (values == 2) {
        into[0] = from[0] * row[0];
        into[1] = from[1] * row[0] + (from[0] + from[1]) * row[1];
        return;
    }
    if (join.digits == 1) {
        // The higher of two: at a if one is there and the other not above.
        P below = from[0];
        P row_below = row[0];
        into[0] = from[0] * row[0];
        for (std::uint32_t a = 1; a < values; ++a) {
            into[a] = from[a] * (row_below + row[a]) + below * row[a];
            below += from[a];
            row_below += row[a];
        }
        return;
    }
    for (std::uint32_t a = 0; a < values; ++a)
        into[a] = P(0);
    for (std::uint32_t a = 0; a < values; ++a)
        for (std::uint32_t b = 0; b < values; ++b)
            into[join(a, b)] += from[a] * row[b];
}

/// slope by row of what join_into does: slope[b] += sum_a from[a] * by[join(a, b)].
template <class P>
KNOCKWELL_INLINE void slope_of_join(P* slope, const P* from, const P* by, std::uint32_t values,
                                    const Join& join) {
    for (std::uint32_t b = 0; b < values; ++b)
        for (std::uint32_t a = 0; a < values; ++a)
            slope[b] += from[a] * by[values == 1 ? 0 : join(a, b)];
}

/// Nothing added so far: the neutral element of a join.
template <class P>
KNOCKWELL_INLINE void neutral(P* vector, std::uint32_t values) {
    for (std::uint32_t a = 0; a < values; ++a)
        vector[a] = P(0);
    vector[0] = 1;
}

}  // namespace knockwell
