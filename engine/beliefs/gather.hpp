// beliefs/gather.hpp
//
// Sums and maxima over tables, and digits of two values that change faster than eight entries:
// eight neighbours at a time. Inside this floor only.
//
// Idea     what is gathered goes by several at once, so that one does not wait for the other. How
//          many does not hang on the machine's vectors, so neither do the last digits
// Held by  tests/laws/ (every answer), tests/beliefs/steps_test.cpp (all sets of instructions
//          agree)
#pragma once
#include "beliefs/pack.hpp"

#include <array>
#include <cstddef>
#include <cstring>

namespace knockwell {

/// Neighbours of a table, wherever they stand.
KNOCKWELL_INLINE Pack eight(const double* at) {
    Pack all = 0;
    std::memcpy(&all, at, sizeof(all));
    return all;
}
KNOCKWELL_INLINE void put_eight(double* at, const Pack& all) { std::memcpy(at, &all, sizeof(all)); }

/// A table gone through eight numbers a time: of packs one entry, of single numbers eight.
template <class P>
inline constexpr std::size_t a_chunk = Pack::lanes / lanes_of<P>;
KNOCKWELL_INLINE Pack chunk(const double* at) { return eight(at); }
KNOCKWELL_INLINE Pack chunk(const Pack* at) { return *at; }
KNOCKWELL_INLINE void put_chunk(double* at, const Pack& all) { put_eight(at, all); }
KNOCKWELL_INLINE void put_chunk(Pack* at, const Pack& all) { *at = all; }

/// What was gathered chunk by chunk, for each entry that goes its own way.
KNOCKWELL_INLINE void settle_sum(const Pack& chunks, double& to) { to = sum_of_lanes(chunks); }
KNOCKWELL_INLINE void settle_sum(const Pack& chunks, Pack& to) { to = chunks; }
KNOCKWELL_INLINE void settle_largest(const Pack& chunks, double& to) { to = largest_lane(chunks); }
KNOCKWELL_INLINE void settle_largest(const Pack& chunks, Pack& to) { to = chunks; }

/// The sum of products of two tables, stretch by stretch.
template <class P>
class Products;

template <>
class Products<double> {
public:
    KNOCKWELL_INLINE void add(const double* a, const double* b, std::size_t n) {
        std::size_t i = 0;
        for (; i + 2 * Pack::lanes <= n; i += 2 * Pack::lanes) {
            even_ += eight(a + i) * eight(b + i);
            odd_ += eight(a + i + Pack::lanes) * eight(b + i + Pack::lanes);
        }
        for (; i + Pack::lanes <= n; i += Pack::lanes)
            even_ += eight(a + i) * eight(b + i);
        for (; i < n; ++i)
            few_ += a[i] * b[i];
    }
    [[nodiscard]] KNOCKWELL_INLINE double sum() const { return few_ + sum_of_lanes(even_ + odd_); }

private:
    Pack even_ = 0, odd_ = 0;
    double few_ = 0;
};

template <>
class Products<Pack> {
public:
    KNOCKWELL_INLINE void add(const Pack* a, const Pack* b, std::size_t n) {
        std::size_t i = 0;
        for (; i + 4 <= n; i += 4) {
            of_[0] += a[i] * b[i];
            of_[1] += a[i + 1] * b[i + 1];
            of_[2] += a[i + 2] * b[i + 2];
            of_[3] += a[i + 3] * b[i + 3];
        }
        for (; i < n; ++i)
            of_[0] += a[i] * b[i];
    }
    [[nodiscard]] KNOCKWELL_INLINE Pack sum() const {
        return (of_[0] + of_[1]) + (of_[2] + of_[3]);
    }

private:
    std::array<Pack, 4> of_{Pack(0), Pack(0), Pack(0), Pack(0)};
};

/// The largest of many entries that are not negative, stretch by stretch.
template <class P>
class Largest;

template <>
class Largest<double> {
public:
    KNOCKWELL_INLINE void take(const double* of, std::size_t n) {
        std::size_t i = 0;
        for (; i + Pack::lanes <= n; i += Pack::lanes)
            many_ = larger(many_, eight(of + i));
        for (; i < n; ++i)
            few_ = larger(few_, of[i]);
    }
    [[nodiscard]] KNOCKWELL_INLINE double largest() const {
        return larger(few_, largest_lane(many_));
    }

private:
    Pack many_ = 0;
    double few_ = 0;
};

template <>
class Largest<Pack> {
public:
    KNOCKWELL_INLINE void take(const Pack* of, std::size_t n) {
        std::size_t i = 0;
        for (; i + 4 <= n; i += 4) {
            of_[0] = larger(of_[0], of[i]);
            of_[1] = larger(of_[1], of[i + 1]);
            of_[2] = larger(of_[2], of[i + 2]);
            of_[3] = larger(of_[3], of[i + 3]);
        }
        for (; i < n; ++i)
            of_[0] = larger(of_[0], of[i]);
    }
    [[nodiscard]] KNOCKWELL_INLINE Pack largest() const {
        return larger(larger(of_[0], of_[1]), larger(of_[2], of_[3]));
    }

private:
    std::array<Pack, 4> of_{Pack(0), Pack(0), Pack(0), Pack(0)};
};

/// Whether a digit of two values with this stride is seen whole among eight neighbours.
KNOCKWELL_INLINE bool is_low(std::size_t stride) {
    return stride == 1 || stride == 2 || stride == 4;
}

/// Eight neighbours, by a digit of two values with a low stride: of `zero` where it is 0.
KNOCKWELL_INLINE Pack by_digit(std::size_t stride, const Pack& zero, const Pack& one) {
    const Pack of_1(Pack::Vector{0, 1, 0, 1, 0, 1, 0, 1});
    const Pack of_2(Pack::Vector{0, 0, 1, 1, 0, 0, 1, 1});
    const Pack of_4(Pack::Vector{0, 0, 0, 0, 1, 1, 1, 1});
    const Pack digit = stride == 1 ? of_1 : stride == 2 ? of_2 : of_4;
    return Pack(digit.v > Pack(0).v ? one.v : zero.v);
}

/// Eight neighbours and a digit of two values among them.
template <std::size_t Stride>
struct LowDigit {
    static constexpr std::size_t half = Pack::lanes / 2;

    /// Each with what has the other value of the digit.
    static KNOCKWELL_INLINE Pack swapped(const Pack& of) {
        constexpr int s = Stride;
        return Pack(__builtin_shufflevector(of.v, of.v, 0 ^ s, 1 ^ s, 2 ^ s, 3 ^ s, 4 ^ s, 5 ^ s,
                                            6 ^ s, 7 ^ s));
    }
    /// Four without the digit: each for both its values.
    static KNOCKWELL_INLINE Pack wide(const double* four) {
        Pack all = 0;
        std::memcpy(&all, four, half * sizeof(double));
        return Pack(__builtin_shufflevector(all.v, all.v, place(0), place(1), place(2), place(3),
                                            place(4), place(5), place(6), place(7)));
    }
    /// Eight become four: the digit is summed out. Those four, twice.
    static KNOCKWELL_INLINE Pack summed(const Pack& of) {
        return with_digit<0>(of) + with_digit<1>(of);
    }

private:
    /// Those whose digit has this value, twice.
    template <std::size_t Value>
    static KNOCKWELL_INLINE Pack with_digit(const Pack& of) {
        constexpr std::size_t v = Value * Stride;
        return Pack(__builtin_shufflevector(of.v, of.v, at(0) + v, at(1) + v, at(2) + v, at(3) + v,
                                            at(0) + v, at(1) + v, at(2) + v, at(3) + v));
    }
    static constexpr std::size_t place(std::size_t j) {
        return j / (2 * Stride) * Stride + j % Stride;
    }
    static constexpr std::size_t at(std::size_t k) { return k / Stride * 2 * Stride + k % Stride; }
};

}  // namespace knockwell
