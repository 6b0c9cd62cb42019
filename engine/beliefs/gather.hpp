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
KNOCKWELL_INLINE Pack::Half four(const double* at) {
    Pack::Half all{};
    std::memcpy(&all, at, sizeof(all));
    return all;
}
KNOCKWELL_INLINE void put_four(double* at, const Pack::Half& all) {
    std::memcpy(at, &all, sizeof(all));
}
KNOCKWELL_INLINE Pack eight(const double* at) { return {four(at), four(at + Pack::lanes / 2)}; }
KNOCKWELL_INLINE void put_eight(double* at, const Pack& all) {
    put_four(at, all.low);
    put_four(at + Pack::lanes / 2, all.high);
}

/// A table gone through eight numbers a time: of packs one entry, of single numbers eight.
template <class P>
inline constexpr std::size_t a_chunk = Pack::lanes / lanes_of<P>;

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
    if (stride == Pack::lanes / 2)
        return {zero.low, one.high};
    const Pack::Half of_1{0, 1, 0, 1};
    const Pack::Half of_2{0, 0, 1, 1};
    const Pack::Half digit = stride == 1 ? of_1 : of_2;
    const Pack::Half half{0.5, 0.5, 0.5, 0.5};
    return {digit > half ? one.low : zero.low, digit > half ? one.high : zero.high};
}

/// Eight neighbours and a digit of two values among them.
template <std::size_t Stride>
struct LowDigit;

template <>
struct LowDigit<4> {
    /// Each with what has the other value of the digit.
    static KNOCKWELL_INLINE Pack swapped(const Pack& of) { return {of.high, of.low}; }
    /// Four without the digit: each for both its values.
    static KNOCKWELL_INLINE Pack wide(const Pack::Half& four) { return {four, four}; }
    /// Eight become four: the digit is summed out.
    static KNOCKWELL_INLINE Pack::Half summed(const Pack& of) { return of.low + of.high; }
};

template <>
struct LowDigit<2> {
    static KNOCKWELL_INLINE Pack swapped(const Pack& of) {
        return {__builtin_shufflevector(of.low, of.low, 2, 3, 0, 1),
                __builtin_shufflevector(of.high, of.high, 2, 3, 0, 1)};
    }
    static KNOCKWELL_INLINE Pack wide(const Pack::Half& four) {
        return {__builtin_shufflevector(four, four, 0, 1, 0, 1),
                __builtin_shufflevector(four, four, 2, 3, 2, 3)};
    }
    static KNOCKWELL_INLINE Pack::Half summed(const Pack& of) {
        return __builtin_shufflevector(of.low, of.high, 0, 1, 4, 5) +
               __builtin_shufflevector(of.low, of.high, 2, 3, 6, 7);
    }
};

template <>
struct LowDigit<1> {
    static KNOCKWELL_INLINE Pack swapped(const Pack& of) {
        return {__builtin_shufflevector(of.low, of.low, 1, 0, 3, 2),
                __builtin_shufflevector(of.high, of.high, 1, 0, 3, 2)};
    }
    static KNOCKWELL_INLINE Pack wide(const Pack::Half& four) {
        return {__builtin_shufflevector(four, four, 0, 0, 1, 1),
                __builtin_shufflevector(four, four, 2, 2, 3, 3)};
    }
    static KNOCKWELL_INLINE Pack::Half summed(const Pack& of) {
        return __builtin_shufflevector(of.low, of.high, 0, 2, 4, 6) +
               __builtin_shufflevector(of.low, of.high, 1, 3, 5, 7);
    }
};

}  // namespace knockwell
