// beliefs/branches.hpp
//
// An order that carries several tables side by side and lets them meet: where many variables hang
// together loosely, a tree of small tables instead of one that holds all that is open.
//
// Idea     variables are closed one after another on paper. What touches the variable to be closed
//          becomes one table, which is a branch of whatever it goes into next. A variable with
//          links in stands in a branch either as what grows (links of the branch are added to it,
//          and added up with others' where branches meet) or as complete (it is read); all that
//          lets it grow must be there before it is read
// Choice   greedy by the size of the table that closing makes, with seeded noise; the cheapest of
//          several tries
// Source   bucket elimination (R. Dechter, Artificial Intelligence 113, 1999, pp. 41-85) with
//          factors that join instead of multiply (Zhang & Poole, JAIR 5, 1996, "heterogeneous
//          factors")
// Held by  tests/beliefs/branches_test.cpp, tests/laws/
#pragma once
#include "beliefs/order.hpp"
#include "beliefs/sum.hpp"

#include <cstdint>
#include <optional>
#include <vector>

namespace knockwell {

/// Of the variables that are kept; nothing where no try costs less than `dearest`, or where there
/// are more than 256 of them.
[[nodiscard]] std::optional<Order> branched_order(const Shape& shape,
                                                  const std::vector<std::uint8_t>& kept,
                                                  std::uint32_t tries, double dearest);

}  // namespace knockwell
