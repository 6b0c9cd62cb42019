// beliefs/sum.hpp
//
// One big sum of products, as the evidence leaves it: the form in which every kind of network
// reaches the frontier.
//
// Given    variables v with few values each. A variable starts as a vector over its values and then
// grows by its links: a link lets some sources
//          add to a target. Adding is a join on the target's values (or of two bits, the higher of
//          two levels, and so on), so that links commute:
//              new[join(t, e)] += old[t] * row(sources)[e]          noisy-OR and noisy-MAX triggers
//              are such links
//          and weights: tables over some variables that multiply once those are complete (all their
//          links are in)
// Wanted   the sum over all values of everything, and for each variable the share of each value
// Rows     need not sum to 1: findings that are surely absent are folded into them (absorption)
// Held by  tests/beliefs/frontier_test.cpp (added up by hand), tests/laws/
#pragma once
#include "beliefs/pack.hpp"

#include <cstdint>
#include <vector>

namespace knockwell {

using Var = std::uint32_t;

/// How two contributions to a variable combine. Every join is associative, commutative, and has
/// value 0 as its neutral.
struct Join {
    /// Values are tuples of digits, each 0..base-1, the first fastest; joined digit by digit by
    /// maximum. OR of bits: base 2.
    std::uint32_t base = 2;
    std::uint32_t digits = 1;
    [[nodiscard]] std::uint32_t operator()(std::uint32_t a, std::uint32_t b) const {
        return digits == 1 ? (a < b ? b : a) : by_digits(a, b);
    }
    bool operator==(const Join&) const = default;

private:
    [[nodiscard]] std::uint32_t by_digits(std::uint32_t a, std::uint32_t b) const;
};

/// Numbers are doubles, or eight at once (beliefs/pack.hpp).
template <class P>
struct SumVariableOf {
    std::uint32_t values = 2;
    std::vector<P> start;  // one for each value
    Join join;             // only where links come in
    std::vector<P> after;  // multiplies each value once all links are in; empty = 1
};

template <class P>
struct SumLinkOf {
    Var target = 0;
    std::vector<Var> sources;  // distinct, complete before the link
    std::vector<P> rows;       // [combination of sources, first slowest][value of the target]
};

template <class P>
struct SumWeightOf {
    std::vector<Var> on;   // distinct
    std::vector<P> table;  // [combination, first slowest]
};

template <class P>
struct SumOf {
    std::vector<SumVariableOf<P>> variables;
    std::vector<SumLinkOf<P>> links;
    std::vector<SumWeightOf<P>> weights;
    P factor = 1;  // multiplies everything

    /// A fresh variable that starts as `start`.
    Var add(std::vector<P> start, Join join = {});

    /// Multiplies a weight in: on no variable -> into the factor, on one -> into its `after` (the
    /// structure stays), else as a weight.
    void weigh(std::vector<Var> on, std::vector<P> table);
};

using Sum = SumOf<double>;
using SumVariable = SumVariableOf<double>;
using SumLink = SumLinkOf<double>;
using SumWeight = SumWeightOf<double>;

/// Numbers that tell the structure of a sum (not its numbers): equal structures take the same plan.
using Structure = std::vector<std::uint32_t>;
template <class P>
[[nodiscard]] Structure structure_of(const SumOf<P>& sum);

}  // namespace knockwell
