// beliefs/chain.hpp
//
// Kinds and levels that nothing hides are decided one after the other: the questions of such a sign
// in that order. Inside this floor only.
//
// Given    the questions of one sign (beliefs/questions.hpp)
// Wanted   products 1 = Q_0 >= Q_1 >= ... >= Q_m so that the k-th of the outcomes in their order is
//          found with chance Q_(k-1) - Q_k, and what is left, Q_m, is normal; but that where
//          nothing is noticed one of the m is reported by mistake, each with chance `alarm`
// Care     it is looked for in the coefficients, and what is not quite so is no chain
// Held by  tests/laws/joint_law_test.cpp, tests/beliefs/chain_test.cpp
#pragma once
#include "beliefs/questions.hpp"

#include <cstddef>
#include <optional>
#include <vector>

namespace knockwell {

struct Chain {
    std::vector<std::size_t> questions;  // Q_1 .. Q_m
    double alarm = 0;
};

/// Nothing where the sign has one value beside normal (nothing is gained), can be hidden, has a
/// finding, is reported otherwise, or hangs on unknown settings.
[[nodiscard]] std::optional<Chain> chain_of(const SignNode& node, const Questions& questions);

}  // namespace knockwell
