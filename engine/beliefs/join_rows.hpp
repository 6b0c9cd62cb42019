// beliefs/join_rows.hpp
//
// Two rows of a link joined into one, and how the result depends on each. Inside this floor only.
#pragma once
#include "beliefs/pack.hpp"
#include "beliefs/sum.hpp"

#include <algorithm>
#include <cstddef>
#include <cstdint>

namespace knockwell {

// Of one digit of base n, joined by maximum, 2n - 1 products tell all: into[0] = from[0] row[0],
// and into[a] = (from[0] + ... + from[a-1]) row[a] + from[a] (row[0] + ... + row[a]). Digits by
// themselves: tables of base^g values need (2 base - 1)^g products instead of base^2g, and nothing
// is taken away from anything, so that small numbers keep their digits. In a table of products the
// first number of a digit is that of into[0], the next two those of into[1], and so on.

/// Products of a join by several digits; 0 for others.
[[nodiscard]] inline std::size_t products_of(const Join& join) {
    if (join.digits == 1)
        return 0;
    std::size_t product = 1;
    for (std::uint32_t d = 0; d < join.digits; ++d)
        product *= 2 * std::size_t{join.base} - 1;
    return product;
}

/// Room that join_into and slope_of_join need.
[[nodiscard]] inline std::size_t room_of(const Join& join) { return 3 * products_of(join); }

/// One digit of `in` after the other, the slowest first, by turns into `out` and `spare`, the last
/// one into `out`. step(in, inner, out): a digit with `inner` entries a value.
template <class P, class Step>
KNOCKWELL_INLINE void by_each_digit(const P* in, const Join& join, P* out, P* spare, Step step) {
    const std::size_t base = join.base;
    std::size_t inner = 1;
    for (std::uint32_t d = 0; d < join.digits; ++d)
        inner *= base;
    std::size_t outer = 1;
    P* to = join.digits % 2 == 0 ? spare : out;
    for (std::uint32_t d = 0; d < join.digits; ++d) {
        inner /= base;
        for (std::size_t o = 0; o < outer; ++o)
            step(in + o * base * inner, inner, to + o * (2 * base - 1) * inner);
        outer *= 2 * base - 1;
        in = to;
        to = to == out ? spare : out;
    }
}

/// The other way, the fastest digit first; the last one into `out`. Uses `products` up.
template <class P, class Step>
KNOCKWELL_INLINE void digits_back(P* products, const Join& join, P* out, P* spare, Step step) {
    const std::size_t base = join.base;
    std::size_t outer = products_of(join);
    std::size_t inner = 1;
    P* in = products;
    P* to = spare;
    for (std::uint32_t d = 0; d < join.digits; ++d) {
        outer /= 2 * base - 1;
        if (d + 1 == join.digits)
            to = out;
        for (std::size_t o = 0; o < outer; ++o)
            step(in + o * (2 * base - 1) * inner, inner, to + o * base * inner);
        inner *= base;
        in = to;
        to = to == spare ? products : spare;
    }
}

/// [product] what `from` brings to it.
template <class P>
KNOCKWELL_INLINE void spread_from(const P* from, const Join& join, P* out, P* spare) {
    by_each_digit(from, join, out, spare, [&](const P* in, std::size_t inner, P* to) {
        for (std::size_t i = 0; i < inner; ++i) {
            P below = to[i] = in[i];
            for (std::size_t a = 1; a < join.base; ++a) {
                to[(2 * a - 1) * inner + i] = below;
                to[2 * a * inner + i] = in[a * inner + i];
                below += in[a * inner + i];
            }
        }
    });
}

/// room[product] = what `from` brings to it times what `other` does, of which spread(in, inner,
/// out) spreads a digit.
template <class P, class Spread>
KNOCKWELL_INLINE void multiply_by_digits(const P* from, const P* other, const Join& join, P* room,
                                         Spread spread) {
    const std::size_t n = products_of(join);
    P* by = room + n;
    P* spare = by + n;
    spread_from(from, join, room, spare);
    by_each_digit(other, join, by, spare, spread);
    for (std::size_t i = 0; i < n; ++i)
        room[i] *= by[i];
}

template <class P>
KNOCKWELL_INLINE void join_by_digits(P* into, const P* from, const P* row, const Join& join,
                                     P* room) {
    multiply_by_digits(from, row, join, room, [&](const P* in, std::size_t inner, P* to) {
        for (std::size_t i = 0; i < inner; ++i) {
            P upto = to[i] = in[i];
            for (std::size_t a = 1; a < join.base; ++a) {
                upto += in[a * inner + i];
                to[(2 * a - 1) * inner + i] = in[a * inner + i];
                to[2 * a * inner + i] = upto;
            }
        }
    });
    P* spare = room + products_of(join);
    digits_back(room, join, into, spare, [&](const P* in, std::size_t inner, P* to) {
        for (std::size_t i = 0; i < inner; ++i) {
            to[i] = in[i];
            for (std::size_t a = 1; a < join.base; ++a)
                to[a * inner + i] = in[(2 * a - 1) * inner + i] + in[2 * a * inner + i];
        }
    });
}

template <class P>
KNOCKWELL_INLINE void slope_by_digits(P* slope, const P* from, const P* by, std::uint32_t values,
                                      const Join& join, P* room) {
    multiply_by_digits(from, by, join, room, [&](const P* in, std::size_t inner, P* to) {
        for (std::size_t i = 0; i < inner; ++i) {
            to[i] = in[i];
            for (std::size_t a = 1; a < join.base; ++a)
                to[(2 * a - 1) * inner + i] = to[2 * a * inner + i] = in[a * inner + i];
        }
    });
    P* of = room + products_of(join);
    P* spare = of + products_of(join);
    digits_back(room, join, of, spare, [&](const P* in, std::size_t inner, P* to) {
        for (std::size_t i = 0; i < inner; ++i) {
            P above = 0;
            for (std::size_t a = join.base; a-- > 1;) {
                above += in[2 * a * inner + i];
                to[a * inner + i] = above + in[(2 * a - 1) * inner + i];
            }
            to[i] = above + in[i];
        }
    });
    for (std::size_t b = 0; b < values; ++b)
        slope[b] += of[b];
}

/// into[c] = sum of from[a] * row[b] over all a and b that join to c.
template <class P>
KNOCKWELL_INLINE void join_into(P* into, const P* from, const P* row, std::uint32_t values,
                                const Join& join, P* room) {
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
    join_by_digits(into, from, row, join, room);
}

/// slope by row of what join_into does: slope[b] += sum over a of from[a] * by[a and b
/// joined].
template <class P>
KNOCKWELL_INLINE void slope_of_join(P* slope, const P* from, const P* by, std::uint32_t values,
                                    const Join& join, P* room) {
    if (join.digits > 1) {
        slope_by_digits(slope, from, by, values, join, room);
        return;
    }
    // Where one stays below the other it does not matter how far.
    P below = 0;
    for (std::uint32_t b = 0; b < values; ++b) {
        below += from[b];
        P sum = below * by[b];
        for (std::uint32_t a = b + 1; a < values; ++a)
            sum += from[a] * by[a];
        slope[b] += sum;
    }
}

/// Nothing added so far: the neutral element of a join.
template <class P>
KNOCKWELL_INLINE void neutral(P* vector, std::uint32_t values) {
    for (std::uint32_t a = 0; a < values; ++a)
        vector[a] = P(0);
    vector[0] = 1;
}

}  // namespace knockwell
