// beliefs/scale.hpp
//
// Numbers that leave the range of a double: powers of two are taken out lane by lane and counted
// aside, so that no digit is lost. Inside this floor only.
#pragma once
#include "beliefs/pack.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <vector>

namespace knockwell {

/// mantissa * 2^exponent, lane by lane: what a sum is before its logarithm is taken.
template <class P>
struct Scaled {
    P mantissa = 1;
    std::vector<std::int64_t> exponent = std::vector<std::int64_t>(lanes_of<P>, 0);

    void multiply(const P& by);
    [[nodiscard]] double log(std::size_t lane) const;
};

/// a / b of one lane of each, without the loss that a difference of logarithms brings.
template <class P, class Q>
[[nodiscard]] double ratio(const Scaled<P>& a, std::size_t lane_a, const Scaled<Q>& b,
                           std::size_t lane_b);

// Entries are kept well inside the range of a double; a product of a few of them stays inside too.
inline constexpr int far_exponent = 200;

/// Divides a lane's entries by a power of two where they left the range; adds it to the exponent.
template <class P>
void rescale(P* begin, P* end, const P& most, std::vector<std::int64_t>* exponent) {
    for (std::size_t l = 0; l < lanes_of<P>; ++l) {
        const double m = lane(most, l);
        if (!(m > 0) || !std::isfinite(m))
            continue;
        const int power = std::ilogb(m);
        if (power > -far_exponent && power < far_exponent)
            continue;
        for (P* entry = begin; entry != end; ++entry)
            set_lane(*entry, l, std::ldexp(lane(*entry, l), -power));
        if (exponent)
            (*exponent)[l] += power;
    }
}

/// The same, by the largest entry.
template <class P>
void rescale(std::vector<P>& entries, std::vector<std::int64_t>* exponent) {
    P most = 0;
    for (const P& entry : entries)
        most = larger(most, entry);
    rescale(entries.data(), entries.data() + entries.size(), most, exponent);
}

}  // namespace knockwell
