// learning/squarem.hpp
//
// EM in longer steps. Inside this floor only.
//
// Idea     two rounds of EM say where they lead: with r the first step and v how the second differs
//          from it, the next numbers are x - 2 a r + a^2 v, a = -|r| / |v|, in logarithmic odds,
//          where any numbers are allowed. Numbers that make less likely than the round before are
//          not taken; then it goes on from the second round. So the jobs never become less likely
// Source   R. Varadhan & C. Roland, Simple and globally convergent methods for accelerating the
//          convergence of any EM algorithm, Scand. J. Statist. 35, 2008, pp. 335-353 (scheme S3)
// Held by  tests/learning/squarem_test.cpp
#pragma once
#include "learning/coins.hpp"

#include <vector>

namespace knockwell {

class Squarem {
public:
    /// `coins` must outlive it. Without leaps every step is one of EM.
    Squarem(const std::vector<Coin>& coins, bool leaps) : coins_(&coins), leaps_(leaps) {}

    /// The numbers to go on with, where EM leads from `from` to `to`.
    [[nodiscard]] std::vector<double> next(const std::vector<double>& from,
                                           const std::vector<double>& to);

    /// Whether the last numbers were further than EM leads.
    [[nodiscard]] bool leapt() const { return leapt_; }

    /// Where they make less likely than the numbers before: those that EM led to.
    [[nodiscard]] std::vector<double> instead();

private:
    [[nodiscard]] std::vector<double> odds_of(const std::vector<double>& strengths) const;
    void put(const std::vector<double>& odds, const std::vector<double>& now,
             std::vector<double>& strengths) const;

    const std::vector<Coin>* coins_;
    bool leaps_;
    bool leapt_ = false;
    double longest_ = 4;         // of -a; grows where it was right
    std::vector<double> first_;  // logarithmic odds before the first of two rounds; empty: none yet
    std::vector<double> by_em_;  // numbers after the second
};

}  // namespace knockwell
