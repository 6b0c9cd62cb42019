// learning/certainty.hpp
//
// How sure one may be of what was learned. Inside this floor only.
//
// Idea     n of a share grows job by job, by the variance of the exact mixture over how its coin
//          may have fallen; the precision of a rate's logarithmic odds by Fisher's information less
//          what is missing of it
// Source   D. J. Spiegelhalter & S. L. Lauritzen, Networks 20, 1990, pp. 579-605; T. A. Louis,
//          J. R. Statist. Soc. B 44, 1982, pp. 226-233
// Held by  tests/learning/
#pragma once
#include "learning/counting.hpp"
#include "learning/learn.hpp"

#include <span>
#include <vector>

namespace knockwell {

/// `counting` has counted; `strengths` are what was learned. As `coins`.
[[nodiscard]] std::vector<CoinLearned> certainty_of(const std::vector<Coin>& coins,
                                                    const LessonBook& book, Counting& counting,
                                                    std::span<const double> strengths);

}  // namespace knockwell
