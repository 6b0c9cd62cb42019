// beliefs/order.hpp
//
// In which order the variables of a shape are opened, linked, weighed and closed.
//
// Wanted   a small frontier: the table of all variables that are open at one time
// Idea     greedy: close next whichever variable makes the table grow least, minus a little for
//          each variable that this lets close; several tries with seeded noise, the cheapest kept.
//          Among the tries are the two plain orders, sources one at a time and targets one at a
//          time, so that it is never dearer than either. What hangs together is ordered by itself
// Cost     known before any table is allocated: `cost` = sum over operations of the entries that
//          they touch, `width` = log2 of the largest table
// Source   the greedy order is of the min-fill family (U. Kjaerulff, Triangulation of graphs,
//          Aalborg R 90-09, 1990) on the frontier's own operations
// Held by  tests/beliefs/plan_test.cpp
#pragma once
#include "beliefs/sum.hpp"

#include <cstdint>
#include <vector>

namespace knockwell {

struct OrderStep {
    /// begin: a table of its own is carried from here on; meet: it is joined with the one before.
    enum class Kind : std::uint8_t { open, link, weigh, close, begin, meet };
    /// What a variable is opened with: its start; ones, where it is complete in another table;
    /// nothing added so far, where its start stands in another table.
    enum class With : std::uint8_t { start, ones, nothing };
    Kind kind = Kind::open;
    std::uint32_t index = 0;  // variable, link or weight of the shape
    With with = With::start;
};

struct Order {
    std::vector<OrderStep> steps;
    double width = 0;
    double cost = 0;
};

/// Of the variables that are kept, by one try.
[[nodiscard]] Order order_for(const Shape& shape, const std::vector<std::uint8_t>& kept);

/// By more tries, as many as the cost of `runs` runs is worth; never dearer than `best`.
[[nodiscard]] Order better_order(const Shape& shape, const std::vector<std::uint8_t>& kept,
                                 Order best, double runs);

}  // namespace knockwell
