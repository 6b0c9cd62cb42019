// beliefs/pack.hpp
//
// Eight numbers that go the same way: one sum under eight sets of numbers at once. What stands
// above is written once for `double` and for `Pack`.
//
// Idea     the place of an entry in a table is found once for eight, and the arithmetic fills the
//          machine's vectors, however long they are
// Care     two halves of four: a vector longer than the machine's is no single thing to g++, which
//          then carries it through memory piece by piece, several times as slow
// Source   the compilers' vector extension (GCC manual, "Using Vector Instructions through Built-in
//          Functions"); they split a vector where the machine's are shorter
#pragma once
#include <cstddef>
#include <cstring>

// Inlined always: what works on packs is compiled for several sets of vector instructions, and a
// function that is not inlined would be called with the wrong ones.
#define KNOCKWELL_INLINE inline __attribute__((always_inline))

namespace knockwell {

// NOLINTNEXTLINE(cppcoreguidelines-special-member-functions): moved as it is copied
struct alignas(64) Pack {
    static constexpr std::size_t lanes = 8;
    using Half [[gnu::vector_size(lanes / 2 * sizeof(double))]] = double;
    Half low, high;  // not set unless given numbers: large tables are not filled twice

    Pack() = default;
    ~Pack() = default;
    KNOCKWELL_INLINE Pack(const Half& first, const Half& second) : low(first), high(second) {}
    // Half by half, for the same reason: what is not written out is copied as bytes.
    // NOLINTBEGIN(modernize-use-equals-default)
    KNOCKWELL_INLINE Pack(const Pack& o) noexcept : low(o.low), high(o.high) {}
    KNOCKWELL_INLINE Pack& operator=(const Pack& o) noexcept {
        low = o.low;
        high = o.high;
        return *this;
    }
    // NOLINTEND(modernize-use-equals-default)
    // A number stands for eight like ones, as in any formula. Set twice: g++ 12 does not see that a
    // vector which it takes apart is set as a whole, and warns.
    KNOCKWELL_INLINE Pack(double x) : low(), high() {  // NOLINT(google-explicit-constructor)
        const Half half{x, x, x, x};
        low = half;
        high = half;
    }

    KNOCKWELL_INLINE Pack& operator+=(const Pack& o) {
        low += o.low;
        high += o.high;
        return *this;
    }
    KNOCKWELL_INLINE Pack& operator-=(const Pack& o) {
        low -= o.low;
        high -= o.high;
        return *this;
    }
    KNOCKWELL_INLINE Pack& operator*=(const Pack& o) {
        low *= o.low;
        high *= o.high;
        return *this;
    }
    KNOCKWELL_INLINE Pack& operator/=(const Pack& o) {
        low /= o.low;
        high /= o.high;
        return *this;
    }
    friend KNOCKWELL_INLINE Pack operator+(const Pack& a, const Pack& b) {
        return {a.low + b.low, a.high + b.high};
    }
    friend KNOCKWELL_INLINE Pack operator-(const Pack& a, const Pack& b) {
        return {a.low - b.low, a.high - b.high};
    }
    friend KNOCKWELL_INLINE Pack operator*(const Pack& a, const Pack& b) {
        return {a.low * b.low, a.high * b.high};
    }
    friend KNOCKWELL_INLINE Pack operator/(const Pack& a, const Pack& b) {
        return {a.low / b.low, a.high / b.high};
    }

    /// Lane by lane: `yes` where a < b, else `no`.
    friend KNOCKWELL_INLINE Pack where_less(const Pack& a, const Pack& b, const Pack& yes,
                                            const Pack& no) {
        return {a.low < b.low ? yes.low : no.low, a.high < b.high ? yes.high : no.high};
    }
};

template <class P>
inline constexpr std::size_t lanes_of = 1;
template <>
inline constexpr std::size_t lanes_of<Pack> = Pack::lanes;

KNOCKWELL_INLINE double lane(double x, std::size_t) { return x; }
// The compilers let a vector's elements be reached through a pointer to a number: one is found
// without asking first in which half it is.
KNOCKWELL_INLINE double lane(const Pack& x, std::size_t i) {
    return static_cast<const double*>(static_cast<const void*>(&x))[i];
}
KNOCKWELL_INLINE void set_lane(double& x, std::size_t, double to) { x = to; }
KNOCKWELL_INLINE void set_lane(Pack& x, std::size_t i, double to) {
    static_cast<double*>(static_cast<void*>(&x))[i] = to;
}

/// Many at once are faster cleared as bytes than one by one.
template <class P>
void set_to_zero(P* first, std::size_t count) {
    if (count > 0)  // else there may be no first one
        std::memset(static_cast<void*>(first), 0, count * sizeof(P));
}

/// Lane by lane.
KNOCKWELL_INLINE double larger(double a, double b) { return a < b ? b : a; }
KNOCKWELL_INLINE Pack larger(const Pack& a, const Pack& b) { return where_less(a, b, b, a); }

/// What is left of 1 when shares are taken away: what is only their rounding is nothing.
KNOCKWELL_INLINE double rest_of(double a) { return a > 1e-15 ? a : 0; }
KNOCKWELL_INLINE Pack rest_of(const Pack& a) { return where_less(1e-15, a, a, 0); }

/// Where a lane is not above 0, 1 instead.
KNOCKWELL_INLINE double positive_or_one(double a) { return a > 0 ? a : 1; }
KNOCKWELL_INLINE Pack positive_or_one(const Pack& a) { return where_less(0, a, a, 1); }

/// The larger of all lanes.
KNOCKWELL_INLINE double largest_lane(const Pack& of) {
    Pack::Half most = of.low < of.high ? of.high : of.low;
    const Pack::Half other = __builtin_shufflevector(most, most, 2, 3, 0, 1);
    most = most < other ? other : most;
    return larger(most[0], most[1]);
}

/// The sum of all lanes.
KNOCKWELL_INLINE double sum_of_lanes(const Pack& of) {
    Pack::Half sum = of.low + of.high;
    sum += __builtin_shufflevector(sum, sum, 2, 3, 0, 1);
    return sum[0] + sum[1];
}

/// Whether every lane is exactly this number.
KNOCKWELL_INLINE bool is_all(double x, double number) { return x == number; }
KNOCKWELL_INLINE bool is_all(const Pack& x, double number) {
    // As numbers: tests by themselves are taken apart where vectors are short.
    const Pack to(number);
    return largest_lane(where_less(x, to, 1, 0) + where_less(to, x, 1, 0)) == 0;
}

}  // namespace knockwell
