// review/strengths.hpp
//
// Strengths that the jobs contradict: how often a sign was there where one cause alone was
// confirmed, against what the written counts foretell, with all the doubt that the counts leave.
//
// Given    jobs told again (review/replay.hpp), each with one confirmed cause and what was looked
//          at before that was known
// Wanted   pairs of cause and sign where so many, or so few, could hardly be under these counts
// Idea     posterior predictive: the chance of "there" in each look, by the exact model with the
//          cause known and the installation as it was, is a straight line in the written strength
//          and in the leak. Both are drawn over the quantiles of their Betas; under each pair the
//          number found is binomial with the mean chance, whose tails are the wider ones
//          (Hoeffding). What was not confirmed may have been absent or not looked for: too many is
//          judged by the greater of the two chances, too few by the smaller. One false discovery
//          rate over all pairs
// Care     what a customer said is not used, for nobody reports what is absent; nor readings in
//          figures. A cause is confirmed sooner where its signs are plain, so that shares found
//          "too high" may be that
// Source   D. B. Rubin, Annals of Statistics 12, 1984, pp. 1151-1172 (posterior predictive check);
//          W. Hoeffding, Annals of Mathematical Statistics 27, 1956, pp. 713-721; see
//          statistics.hpp
// Held by  tests/review/strengths_test.cpp
#pragma once
#include "beliefs/beliefs.hpp"
#include "review/replay.hpp"
#include "review/statistics.hpp"

#include <cstdint>
#include <map>
#include <tuple>
#include <utility>
#include <vector>

namespace knockwell {

/// Where it says "there": any value but the sign's normal one.
struct StrengthCell {
    CauseId cause;
    SignId sign;
    bool written = false;     // the cause is said to show the sign
    Count count;              // as written, over all levels; where it is not, of seen_anyway
    std::uint64_t looks = 0;  // jobs in which the sign was looked at
    std::uint64_t there = 0;
    double expected = 0;       // of `there`, at least: nothing but this cause was wrong
    double expected_most = 0;  // ... at most: other causes were as rare as they are anywhere
    Limits limits;             // of the share found, 95 %
    double p = 1;
    double adjusted = 1;
};

/// Looks to a pair under which chance has no say, so that it is not tested.
constexpr std::uint64_t fewest_looks = 5;

class StrengthBook {
public:
    explicit StrengthBook(Model model) : model_(std::move(model)) {}

    /// Jobs with another number of confirmed causes than one are passed over.
    void add(const Replayed& job);

    /// Smallest p first; pairs with `fewest_looks`.
    [[nodiscard]] std::vector<StrengthCell> cells() const;

private:
    struct Tally {
        std::uint64_t looks = 0;
        std::uint64_t there = 0;
        double expected = 0;
        double expected_most = 0;
        double misses = 0;  // sum over the looks
    };
    void look(const Replayed& job, const Finding& finding);
    [[nodiscard]] Limits chance_of_there(const Replayed& job, const Finding& finding);
    [[nodiscard]] double chance_of_there(const Evidence& evidence, const Finding& finding) const;

    using Asked = std::tuple<CauseId, SignId, Via, TestId, std::map<SettingId, std::size_t>>;
    Model model_;
    std::map<std::pair<CauseId, SignId>, Tally> tallies_;
    std::map<Asked, Limits> asked_;  // the same question is asked once
};

}  // namespace knockwell
