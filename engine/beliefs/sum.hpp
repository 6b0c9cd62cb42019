// beliefs/sum.hpp
//
// One big sum of products, as the evidence leaves it: the form in which every kind of network
// reaches the frontier.
//
// Given    variables v with few values each. A variable starts as a vector over its values and
//          then grows by its links: a link lets some sources add to a target. Adding is a join on
//          the target's values (OR of two bits, the higher of two levels, and so on), so that
//          links commute:
//              new[join(t, e)] += old[t] * row(sources)[e]
//          noisy-OR and noisy-MAX triggers are such links
//          and weights: tables over some variables that multiply once those are complete (all
//          their links are in)
// Wanted   the sum over all values of everything, and for each variable the share of each value
// Rows     need not sum to 1: findings that are surely absent are folded into them (absorption)
// Layout   all numbers stand in one row, all lists of variables in another: what is built for one
//          answer is a handful of arrays
// Held by  tests/beliefs/sum_test.cpp, tests/beliefs/frontier_test.cpp (added up by hand),
//          tests/laws/
#pragma once
#include "beliefs/pack.hpp"

#include <cstddef>
#include <cstdint>
#include <initializer_list>
#include <span>
#include <string>
#include <vector>

namespace knockwell {

using Var = std::uint32_t;

/// The place of the first of some numbers.
using Slot = std::uint32_t;

/// How two contributions to a variable combine. Every join is associative, commutative, and has
/// value 0 as its neutral.
struct Join {
    /// Values are tuples of digits, each 0..base-1, the first fastest; joined digit by digit by
    /// maximum. OR of bits: base 2.
    std::uint32_t base = 2;
    std::uint32_t digits = 1;
    bool operator==(const Join&) const = default;
};

/// Some neighbours of a longer list.
struct Slice {
    std::uint32_t first = 0;
    std::uint32_t count = 0;
    template <class T>
    [[nodiscard]] std::span<const T> of(const std::vector<T>& all) const {
        return {all.data() + first, count};
    }
};

struct SumVariable {
    std::uint32_t values = 2;
    Join join;       // only where links come in
    Slot start = 0;  // one number for each value
    Slot after = 0;  // multiplies each value once all links are in
};

struct SumLink {
    Var target = 0;
    Slice sources;  // distinct, complete before the link
    Slot rows = 0;  // [combination of sources, first slowest][value of the target]
};

struct SumWeight {
    Slice on;        // distinct
    Slot table = 0;  // [combination, first slowest]
};

/// Whatever the numbers are, `var` is 0 where `on` has none of the `allowed` values (a bit each):
/// there all its links in add nothing, and so do its links out.
struct Requirement {
    Var var = 0;
    Var on = 0;  // has no links in
    std::uint64_t allowed = 0;
};

/// A sum without its numbers.
struct Shape {
    std::vector<SumVariable> variables;
    std::vector<SumLink> links;
    std::vector<SumWeight> weights;
    std::vector<Requirement> requirements;
    std::vector<Var> lists;

    [[nodiscard]] std::span<const Var> sources(const SumLink& link) const {
        return link.sources.of(lists);
    }
    [[nodiscard]] std::span<const Var> on(const SumWeight& weight) const {
        return weight.on.of(lists);
    }
    /// Product of the values of some variables.
    [[nodiscard]] std::size_t combinations(std::span<const Var> vars) const;

    /// A variable, link or weight whose numbers stand at these places.
    void add(std::uint32_t values, Join join, Slot start, Slot after);
    void link(Var target, std::span<const Var> sources, Slot rows);
    void weigh(std::span<const Var> on, Slot table);
    void clear();

private:
    [[nodiscard]] Slice listed(std::span<const Var> vars);
};

/// One case of a sum: what is known where one variable has one of its values.
class SumCase {
public:
    SumCase() = default;  // nothing is known
    SumCase(const Shape& shape, Var hub, std::uint32_t value);
    [[nodiscard]] bool knows_nothing() const { return known_.empty(); }
    [[nodiscard]] bool knows(Var var) const { return !known_.empty() && known_[var] != 0; }
    [[nodiscard]] bool absent(Var var) const { return knows(var) && var != hub_; }
    /// Of a variable that it knows.
    [[nodiscard]] std::uint32_t value(Var var) const { return var == hub_ ? value_ : 0; }

private:
    std::vector<std::uint8_t> known_;  // [variable]; empty: none
    Var hub_ = 0;
    std::uint32_t value_ = 0;
};

/// Which variables hang together through links and weights: [variable] the least of its component.
/// What is known ties nothing together.
[[nodiscard]] std::vector<Var> components_of(const Shape& shape, const SumCase& one = {});

/// Whether a link adds nothing there, since its target or a source is absent.
[[nodiscard]] bool adds_nothing(const Shape& shape, const SumLink& link, const SumCase& one);

/// Numbers are doubles, or eight at once (beliefs/pack.hpp).
template <class P>
struct SumOf {
    Shape shape;
    std::vector<P> numbers;
    P factor = 1;  // multiplies everything

    /// A fresh variable that starts as `start`.
    Var add(std::span<const P> start, Join join = {});
    Var add(std::initializer_list<P> start, Join join = {}) {
        return add(std::span<const P>(start.begin(), start.size()), join);
    }

    /// Without sources it joins the start (the structure stays).
    void link(Var target, std::span<const Var> sources, std::span<const P> rows);
    void link(Var target, std::initializer_list<Var> sources, std::initializer_list<P> rows) {
        link(target, std::span<const Var>(sources.begin(), sources.size()),
             std::span<const P>(rows.begin(), rows.size()));
    }

    /// Multiplies a weight in: on no variable -> into the factor, on one -> into what multiplies
    /// its values (the structure stays), else as a weight.
    void weigh(std::span<const Var> on, std::span<const P> table);
    void weigh(std::initializer_list<Var> on, std::initializer_list<P> table) {
        weigh(std::span<const Var>(on.begin(), on.size()),
              std::span<const P>(table.begin(), table.size()));
    }
};

using Sum = SumOf<double>;

/// Numbers that tell the structure of a sum (not its numbers): equal structures take the same plan.
/// A string, for those the standard library hashes.
using Structure = std::u32string;
[[nodiscard]] Structure structure_of(const Shape& shape);

}  // namespace knockwell
