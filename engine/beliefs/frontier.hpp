// beliefs/frontier.hpp
//
// The sum of a `Sum`, exactly, by carrying a table over the variables that are open.
//
// Given    a sum and a plan for it
// Wanted   ln of the sum, and the share of every value of every variable
// Idea     forward: OPEN multiplies the table by a start vector (a new slowest digit), LINK moves
// mass inside it, WEIGH scales it, CLOSE sums a digit out.
//          backward: B = derivative of the sum by each table entry, walked through the same steps
//          in reverse; just before CLOSE of v the share of value a is sum_s f[s, a] B[s]
// Cost     steps * size of the table; nothing is ever subtracted, so the relative error stays near
// the number of roundings Care     tables are rescaled at CLOSE, so that evidence down to 1e-250
// and below keeps all its digits Source   variable elimination (Zhang & Poole, JAIR 5, 1996, pp.
// 301-328) with the derivative reading of A. Darwiche, A differential approach to
//          inference in Bayesian networks, JACM 50(3), 2003; triggers one at a time after D.
//          Heckerman, UAI 1993, pp. 122-127 (temporal noisy-OR)
// Held by  tests/beliefs/frontier_test.cpp, tests/laws/
#pragma once
#include "beliefs/plan.hpp"
#include "beliefs/sum.hpp"

#include <vector>

namespace knockwell {

struct Shares {
    bool possible = false;                   // the sum is above 0
    double log_sum = 0;                      // natural logarithm
    std::vector<std::vector<double>> value;  // [variable][value], sums to 1
};

/// Shares of every variable. Where the sum is 0 only `possible` = false is meant.
[[nodiscard]] Shares shares_of(const Sum& sum, const Plan& plan);

/// Only the sum: ln, or minus infinity.
[[nodiscard]] double log_sum_of(const Sum& sum, const Plan& plan);

/// A plan wider than this is not run (2^24 doubles = 128 MiB).
inline constexpr double widest = 24;

}  // namespace knockwell
