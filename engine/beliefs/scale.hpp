// beliefs/scale.hpp
//
// Numbers that leave the range of a double: powers of two are taken out lane by lane and counted
// aside, so that no digit is lost. Inside this floor only.
#pragma once
#include "beliefs/pack.hpp"

#include <array>
#include <cmath>
#include <cstdint>

namespace knockwell {

/// A power of two for each lane.
template <class P>
using Exponent = std::array<std::int64_t, lanes_of<P>>;

/// mantissa * 2^exponent, lane by lane: what a sum is before its logarithm is taken.
template <class P>
struct Scaled {
    P mantissa = 1;
    Exponent<P> exponent{};

    void multiply(const P& by);
    void add(const Scaled& other);
    [[nodiscard]] double log(std::size_t lane) const;
};

/// a / b of one lane of each, without the loss that a difference of logarithms brings.
template <class P, class Q>
[[nodiscard]] double ratio(const Scaled<P>& a, std::size_t lane_a, const Scaled<Q>& b,
                           std::size_t lane_b);

// Entries are kept well inside the range of a double; a product of a few of them stays inside too.
inline constexpr double far_low = 0x1p-200;
inline constexpr double far_high = 0x1p200;

/// Whether a largest entry is 0 or well inside the range.
KNOCKWELL_INLINE bool is_settled(double most) {
    return (most > far_low && most < far_high) || !(most > 0);
}
KNOCKWELL_INLINE bool is_settled(const Pack& most) {
    const Pack too_high = where_less(most, far_high, 0, 1);
    const Pack too_low = where_less(far_low, most, 0, 1);
    const Pack above_0 = where_less(0, most, 1, 0);
    return largest_lane(above_0 * (too_high + too_low)) == 0;
}

template <class P>
[[gnu::noinline]] void rescale_lanes(P* begin, P* end, const P& most, Exponent<P>* exponent) {
    for (std::size_t l = 0; l < lanes_of<P>; ++l) {
        const double m = lane(most, l);
        if (is_settled(m) || !std::isfinite(m))
            continue;
        const int power = std::ilogb(m);
        for (P* entry = begin; entry != end; ++entry)
            set_lane(*entry, l, std::ldexp(lane(*entry, l), -power));
        if (exponent)
            (*exponent)[l] += power;
    }
}

/// Divides a lane's entries by a power of two where they left the range (`most`: the largest
/// entry); adds it to the exponent, where there is one.
template <class P>
KNOCKWELL_INLINE void rescale(P* begin, P* end, const P& most, Exponent<P>* exponent) {
    if (!is_settled(most))
        rescale_lanes(begin, end, most, exponent);
}

/// The same, by the largest entry.
template <class P>
KNOCKWELL_INLINE void rescale(P* begin, P* end, Exponent<P>* exponent) {
    P most = 0;
    for (const P* entry = begin; entry != end; ++entry)
        most = larger(most, *entry);
    rescale(begin, end, most, exponent);
}

}  // namespace knockwell
