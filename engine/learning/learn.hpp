// learning/learn.hpp
//
// What closed jobs teach: numbers under which the jobs and the written counts together are
// likeliest, and how sure one may be of them.
//
// Wanted   the most of  sum over jobs of ln(P(what was found | settings) / P(a call | settings))
//          plus the written counts, as cases that came before (k ln p + (n - k) ln(1 - p); the
//          logarithm of a rate's odds is normal)
// Idea     EM: with the numbers as they are, how often was each coin tossed and how did it fall in
//          each job (beliefs/expected.hpp); then the numbers that these counts give. Calls are a
//          choice among installations: for each job there were P(quiet) / P(call) others with these
//          settings where all was quiet, and their coins count too. A round never makes the jobs
//          less likely
// Rates    a rate stands behind odds that differ with the settings. With f of n tosses fallen
//          and R their mean chance, the rate's odds are multiplied by d so that
//          f ln d - n ln(1 - R + R d) plus the written count is the most: ln(1 - r + r d) is
//          concave in r, so that one mean chance in place of many never says too much (Jensen)
// Cases    n grows by what the jobs tell, not by their number: after each job the Dirichlet with
//          the variance of the exact mixture over how the coin may have fallen. Nobody looked:
//          nothing
// Source   A. P. Dempster, N. M. Laird & D. B. Rubin, J. R. Statist. Soc. B 39, 1977, pp. 1-38 (EM,
//          truncated data in section 4.2); S. L. Lauritzen, Computational Statistics & Data
//          Analysis 19, 1995, pp. 191-201; D. J. Spiegelhalter & S. L. Lauritzen, Networks 20,
//          1990, pp. 579-605 (mixtures and their variance)
// Held by  tests/learning/
#pragma once
#include "beliefs/beliefs.hpp"
#include "learning/coins.hpp"
#include "learning/lessons.hpp"

#include <array>
#include <cstdint>
#include <functional>
#include <limits>
#include <span>
#include <string>
#include <vector>

namespace knockwell {

/// What became of one coin.
struct CoinLearned {
    std::vector<double> fallen;  // [side] expected number of jobs in which it fell so
    double tossed = 0;           // expected number of jobs in which it was tossed
    double cases = 0;            // n of the count that is learned; not of a rate known to a factor
    double spread = 0;           // of such a rate: standard deviation of its logarithmic odds
    std::uint32_t jobs = 0;      // that told something of it
    static constexpr std::uint32_t nobody = std::numeric_limits<std::uint32_t>::max();
    std::array<std::uint32_t, 3> loudest = {nobody, nobody, nobody};  // jobs that told most of it
};

struct LearnedNumbers {
    std::vector<double> strengths;   // [StrengthIndex]
    std::vector<CoinLearned> coins;  // as coins_of
    std::vector<double> rounds;      // [round] what is to be the most, before it
    double log_before = 0;  // mean ln(P(found) / P(call)) of a job under the written numbers
    double log_after = 0;   // and under the learned ones
    std::size_t jobs = 0;   // that were used
    std::vector<std::string> impossible;  // jobs that the knowledge excludes, or that are too wide
    bool settled = true;                  // false: the rounds ran out first
};

struct HowToLearn {
    std::size_t most_rounds = 60;
    double enough = 1e-5;  // a round of EM that gains less than this a job is the last
    bool hasten = true;    // leaps between the rounds (learning/squarem.hpp)
    /// Of more different jobs than twice this, about so many are learned from first, drawn evenly,
    /// then ten times as many, and so on; what they teach is where the next begin. It changes the
    /// way there, not what is the most.
    std::size_t part = 10'000;
    std::function<void(std::size_t done, std::size_t all)> progress = {};
};

/// `model` has the written counts; `coins` = coins_of its knowledge and network.
[[nodiscard]] LearnedNumbers learn(const Model& model, const std::vector<Coin>& coins,
                                   const LessonBook& book, const HowToLearn& how = {});

/// Mean of -ln P(these causes are named at closing and no others | all that was found), among those
/// that the findings speak of: the log score of causes. Of many different jobs some 20,000, drawn
/// evenly.
struct CauseScore {
    double mean = 0;
    std::size_t jobs = 0;  // in which causes were seen
};
[[nodiscard]] CauseScore score_of_causes(const Model& model, const LessonBook& book,
                                         std::span<const double> strengths);

/// Mean ln(P(found) / P(call)) of a job under these numbers: the log score of jobs, with its sign
/// turned. Impossible jobs are left out.
[[nodiscard]] double mean_log_chance(const Model& model, const LessonBook& book,
                                     std::span<const double> strengths);

}  // namespace knockwell
