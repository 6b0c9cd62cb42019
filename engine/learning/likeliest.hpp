// learning/likeliest.hpp
//
// The numbers that counts give: the M of EM. Inside this floor only.
//
// Given    a written count as cases that came before, and how each coin fell in the jobs
// Rates    learning/learn.hpp says how
// Held by  tests/learning/
#pragma once
#include "learning/counting.hpp"

#include <span>
#include <vector>

namespace knockwell {

/// ln of what the written count of a coin says of its numbers, but for a constant.
[[nodiscard]] double log_of_written(const Coin& coin, std::span<const double> written,
                                    std::span<const double> strengths);

/// Puts the likeliest numbers in place of those under which was counted.
void take_likeliest(const std::vector<Coin>& coins, const Counting& counted,
                    std::span<const double> written, std::span<double> strengths);

}  // namespace knockwell
