// beliefs/shape.hpp
//
// What of a sum is left after folding, without its numbers: what the order is sought on, and the
// places where its numbers will stand.
#pragma once
#include "beliefs/sum.hpp"

#include <cstddef>
#include <cstdint>
#include <vector>

namespace knockwell {

/// Where a small table of numbers stands: in the sum as it was given, or made by folding.
struct TablePlace {
    enum class In : std::uint8_t { start, after, link, weight, made };
    In in = In::made;
    std::uint32_t index = 0;  // variable, link, weight; made: the first number's place
    bool operator==(const TablePlace&) const = default;
};

struct ShapeLink {
    Var target = 0;
    std::vector<Var> sources;
    TablePlace rows;
};
struct ShapeWeight {
    std::vector<Var> on;
    TablePlace table;
};

/// A digit of a table: its values, and how far apart they stand.
struct Digit {
    std::size_t values = 1, stride = 0;
};

/// Where each combination of some digits stands, the first digit slowest.
[[nodiscard]] std::vector<std::size_t> offsets_of(const std::vector<Digit>& digits);

/// Variables keep the numbers that they had in the sum.
struct Shape {
    std::vector<std::uint32_t> values;     // [variable]
    std::vector<Join> join;                // [variable]
    std::vector<bool> kept;                // [variable] not folded away
    std::vector<TablePlace> start, after;  // [variable]
    std::vector<ShapeLink> links;
    std::vector<ShapeWeight> weights;

    /// Product of the values of some variables.
    [[nodiscard]] std::size_t combinations(const std::vector<Var>& vars) const;
};

template <class P>
[[nodiscard]] Shape shape_of(const SumOf<P>& sum);

/// Which variables hang together through links and weights: equal numbers, from 0.
[[nodiscard]] std::vector<std::uint32_t> components_of(const Shape& shape);

}  // namespace knockwell
