// beliefs/pack.hpp
//
// Eight numbers that go the same way: one sum under eight sets of numbers at once. What stands
// above is written once for `double` and for `Pack`.
//
// Idea     the place of an entry in a table is found once for eight, and the arithmetic fills the
//          machine's vectors, however long they are
// Source   the compilers' vector extension (GCC manual, "Using Vector Instructions through Built-in
//          Functions"); they split a vector where the machine's are shorter
#pragma once
#include <cstddef>

// Inlined always: what works on packs is compiled for several sets of vector instructions, and a
// function that is not inlined would be called with the wrong ones.
#define KNOCKWELL_INLINE inline __attribute__((always_inline))

namespace knockwell {

struct alignas(64) Pack {
    static constexpr std::size_t lanes = 8;
    using Vector [[gnu::vector_size(lanes * sizeof(double))]] = double;
    Vector v;  // not set unless it is given a number: large tables are not filled twice

    Pack() = default;
    KNOCKWELL_INLINE explicit Pack(const Vector& x) : v(x) {}
    // A number stands for eight like ones, as in any formula.
    KNOCKWELL_INLINE Pack(double x)
        : v{x, x, x, x, x, x, x, x} {}  // NOLINT(google-explicit-constructor)

    KNOCKWELL_INLINE Pack& operator+=(const Pack& o) {
        v += o.v;
        return *this;
    }
    KNOCKWELL_INLINE Pack& operator-=(const Pack& o) {
        v -= o.v;
        return *this;
    }
    KNOCKWELL_INLINE Pack& operator*=(const Pack& o) {
        v *= o.v;
        return *this;
    }
    KNOCKWELL_INLINE Pack& operator/=(const Pack& o) {
        v /= o.v;
        return *this;
    }
    friend KNOCKWELL_INLINE Pack operator+(const Pack& a, const Pack& b) { return Pack(a.v + b.v); }
    friend KNOCKWELL_INLINE Pack operator-(const Pack& a, const Pack& b) { return Pack(a.v - b.v); }
    friend KNOCKWELL_INLINE Pack operator*(const Pack& a, const Pack& b) { return Pack(a.v * b.v); }
    friend KNOCKWELL_INLINE Pack operator/(const Pack& a, const Pack& b) { return Pack(a.v / b.v); }
};

template <class P>
inline constexpr std::size_t lanes_of = 1;
template <>
inline constexpr std::size_t lanes_of<Pack> = Pack::lanes;

KNOCKWELL_INLINE double lane(double x, std::size_t) { return x; }
KNOCKWELL_INLINE double lane(const Pack& x, std::size_t i) { return x.v[i]; }
KNOCKWELL_INLINE void set_lane(double& x, std::size_t, double to) { x = to; }
KNOCKWELL_INLINE void set_lane(Pack& x, std::size_t i, double to) { x.v[i] = to; }

/// Lane by lane.
KNOCKWELL_INLINE double larger(double a, double b) { return a < b ? b : a; }
KNOCKWELL_INLINE Pack larger(const Pack& a, const Pack& b) { return Pack(a.v < b.v ? b.v : a.v); }

/// What is left of 1 when shares are taken away: what is only their rounding is nothing.
KNOCKWELL_INLINE double rest_of(double a) { return a > 1e-15 ? a : 0; }
KNOCKWELL_INLINE Pack rest_of(const Pack& a) { return Pack(a.v > Pack(1e-15).v ? a.v : Pack(0).v); }

/// Where a lane is not above 0, 1 instead.
KNOCKWELL_INLINE double positive_or_one(double a) { return a > 0 ? a : 1; }
KNOCKWELL_INLINE Pack positive_or_one(const Pack& a) {
    return Pack(a.v > Pack(0).v ? a.v : Pack(1).v);
}

/// The larger of all lanes.
KNOCKWELL_INLINE double largest_lane(Pack of) {
    of = larger(of, Pack(__builtin_shufflevector(of.v, of.v, 4, 5, 6, 7, 0, 1, 2, 3)));
    of = larger(of, Pack(__builtin_shufflevector(of.v, of.v, 2, 3, 0, 1, 6, 7, 4, 5)));
    of = larger(of, Pack(__builtin_shufflevector(of.v, of.v, 1, 0, 3, 2, 5, 4, 7, 6)));
    return of.v[0];
}

/// The sum of all lanes.
KNOCKWELL_INLINE double sum_of_lanes(Pack of) {
    of += Pack(__builtin_shufflevector(of.v, of.v, 4, 5, 6, 7, 0, 1, 2, 3));
    of += Pack(__builtin_shufflevector(of.v, of.v, 2, 3, 0, 1, 6, 7, 4, 5));
    return of.v[0] + of.v[1];
}

/// Whether every lane is exactly this number.
KNOCKWELL_INLINE bool is_all(double x, double number) { return x == number; }
KNOCKWELL_INLINE bool is_all(const Pack& x, double number) {
    // As numbers: tests by themselves are taken apart where vectors are short.
    return largest_lane(Pack(x.v == Pack(number).v ? Pack(0).v : Pack(1).v)) == 0;
}

}  // namespace knockwell
