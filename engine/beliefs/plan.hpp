// beliefs/plan.hpp
//
// How a sum is carried out, from its structure alone: what is folded away, and every operation of
// the frontier with its places in the tables. Made once for a structure; then run under any
// numbers.
//
// Cost     known before any table is allocated: `cost` = sum over operations of the table's size,
// `width` = log2 of the largest table, `entries` = numbers that the way back needs at one time
// Held by  tests/beliefs/plan_test.cpp
#pragma once
#include "beliefs/fold.hpp"
#include "beliefs/order.hpp"
#include "beliefs/sum.hpp"

#include <cstddef>
#include <cstdint>
#include <memory>
#include <vector>

namespace knockwell {

/// One operation of the frontier. Tables: the first variable opened is the fastest digit.
struct Operation {
    OrderStep::Kind kind = OrderStep::Kind::open;
    Var var = 0;               // opened, closed, or the target of a link
    std::uint32_t values = 1;  // of var
    Join join;
    TablePlace numbers;      // start, rows, table, or (close) after
    bool gradient = false;   // whoever made the numbers asks how the sum depends on them
    std::size_t size = 1;    // entries of the table that it works in (open: after, close: before)
    std::size_t stride = 1;  // of var
    std::size_t from = 0;    // where the table stands before and after
    std::size_t to = 0;
    std::vector<std::size_t> offsets;  // of every combination of the sources
    std::size_t run = 1;               // entries side by side with var and the sources at 0
    struct Gap {
        std::size_t stride, count;
    };
    std::vector<Gap> gaps;  // how to reach every such run, fastest first
};

struct Plan {
    Folding folding;
    std::vector<Operation> operations;    // closed by next_component for each component
    std::vector<std::uint32_t> share_at;  // [variable] first of its values
    std::uint32_t shares = 0;
    double width = 0;
    double cost = 0;
    std::size_t entries = 1;
    std::size_t largest = 1;  // entries of the largest table
};

/// A plan wider than this is not run (2^24 doubles = 128 MiB).
inline constexpr double widest = 24;

[[nodiscard]] Plan plan_for(const Shape& shape);
/// With no fold larger than this (0: nothing is folded), for tests and benchmarks.
[[nodiscard]] Plan plan_for(const Shape& shape, std::size_t largest_fold);
[[nodiscard]] Plan plan_for(const Sum& sum);

/// Plans kept by structure. A memory only: with or without it the answers are the same bytes. Not
/// for two threads at once.
class PlanCache {
public:
    PlanCache();
    ~PlanCache();
    PlanCache(const PlanCache&) = delete;
    PlanCache& operator=(const PlanCache&) = delete;
    PlanCache(PlanCache&&) = delete;
    PlanCache& operator=(PlanCache&&) = delete;
    template <class P>
    [[nodiscard]] std::shared_ptr<const Plan> plan(const SumOf<P>& sum);

private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

}  // namespace knockwell
