// beliefs/order.hpp
//
// In which order the variables of a shape are opened, linked, weighed and closed.
//
// Wanted   a small frontier: the table of all variables that are open at one time
// Idea     greedy: close next whichever variable makes the table grow least, minus a little for
// each variable that this lets close; several tries with seeded noise, the cheapest kept.
// Components (by Boost.Graph) are ordered one after another, each by itself Cost     known before
// any table is allocated: `cost` = sum over operations of the table's size, `width` = log2 of the
// largest table Source   the greedy order is the min-fill family (U. Kjaerulff, Triangulation of
// graphs, Aalborg R 90-09, 1990) on the frontier's own operations Held by
// tests/beliefs/plan_test.cpp
#pragma once
#include "beliefs/shape.hpp"

#include <cstdint>
#include <vector>

namespace knockwell {

struct OrderStep {
    enum class Kind : std::uint8_t { open, link, weigh, close, next_component };
    Kind kind = Kind::open;
    std::uint32_t index = 0;  // variable, link or weight of the shape
};

struct Order {
    std::vector<OrderStep> steps;
    double width = 0;
    double cost = 0;
};

/// By one try.
[[nodiscard]] Order order_for(const Shape& shape);

/// By more tries, as many as the width is worth; never dearer than `best`.
[[nodiscard]] Order better_order(const Shape& shape, Order best);

}  // namespace knockwell
