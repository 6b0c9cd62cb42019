// Cuts of single links, added up by hand.
#include "beliefs/loosening.hpp"
#include "beliefs/whole.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace knockwell {
namespace {

/// Two causes of 0.1 and 0.3 that show one finding with 0.8 and 0.5, or 0.05 anyway; it was found.
struct TwoCauses {
    TwoCauses() {
        sum.link(shown, {first}, {1.0, 0.0, 0.2, 0.8});
        sum.link(shown, {second}, {1.0, 0.0, 0.5, 0.5});
        sum.weigh({shown}, {0.0, 1.0});
    }
    Sum sum;
    Var first = sum.add({0.9, 0.1});
    Var second = sum.add({0.7, 0.3});
    Var shown = sum.add({0.95, 0.05});

    // P(found), and that of the second cause alone.
    static constexpr double without_first = 0.7 * 0.05 + 0.3 * (1 - 0.95 * 0.5);
    static constexpr double found =
        0.9 * without_first + 0.1 * (1 - 0.2 * (0.7 * 0.95 + 0.3 * 0.95 * 0.5));
};

double added_up(const Sum& sum) {
    PlanCache plans;
    return std::exp(log_sum_of(sum, parts_of(sum, plans)));
}

TEST(Loosened, IsTheSumWhereNothingIsCut) {
    const TwoCauses it;
    for (const From from : {From::above, From::below})
        EXPECT_NEAR(added_up(loosened(it.sum, {}, {}, from)), TwoCauses::found, 1e-15);
}

// Cut from the first cause with m = 1, the finding is shown with 0.8 in any case; or never by it.
// "Shown" is compared as "at least shown", so that nothing is counted twice.
TEST(Loosened, LetsACauseActAlwaysOrNever) {
    const TwoCauses it;
    const std::vector<Cut> cuts{{0, it.first, {1, 1}, {1, 1}}};
    const double always = TwoCauses::without_first + (1 - TwoCauses::without_first) * 0.8;
    EXPECT_NEAR(added_up(loosened(it.sum, {}, cuts, From::above)), always, 1e-15);
    EXPECT_NEAR(added_up(loosened(it.sum, {}, cuts, From::below)), TwoCauses::without_first, 1e-15);
}

// With m(present) = 4 the cause weighs 0.9 + 0.4, the row is (1, 0.2) as "at least".
TEST(Loosened, ShiftsAFactorBetweenCauseAndRow) {
    const TwoCauses it;
    const std::vector<Cut> cuts{{0, it.first, {1, 4}, {1, 4}}};
    const double row = TwoCauses::without_first + (1 - TwoCauses::without_first) * 0.2;
    EXPECT_NEAR(added_up(loosened(it.sum, {}, cuts, From::above)), 1.3 * row, 1e-15);
    EXPECT_NEAR(added_up(loosened(it.sum, {}, cuts, From::below)),
                1.3 * TwoCauses::without_first / 4, 1e-15);
}

// Whoever asks for the finding itself must not have it compared: as numbers, the row (1, 0.8)
// counts what was not shown as well.
TEST(Loosened, ComparesEveryNumberOfWhatIsAsked) {
    const TwoCauses it;
    const std::vector<Cut> cuts{{0, it.first, {1, 1}, {1, 1}}};
    const double both = TwoCauses::without_first + 0.8;
    EXPECT_NEAR(added_up(loosened(it.sum, std::vector{it.shown}, cuts, From::above)), both, 1e-15);
}

// Where the kind of pump rules a cause out its row adds nothing; what stands in for it does.
TEST(Loosened, ForgetsWhatACutLinkRuledOut) {
    Sum sum;
    const Var kind = sum.add({0.5, 0.5});
    const Var cause = sum.add({1.0, 0.0});
    sum.link(cause, {kind}, {1.0, 0.0, 0.8, 0.2});
    sum.shape.requirements.push_back({cause, kind, 0b10});
    const std::vector<Cut> cuts{{0, kind, {1, 1}, {1, 1}}};
    EXPECT_EQ(loosened(sum, {}, {}, From::above).shape.requirements.size(), 1U);
    EXPECT_TRUE(loosened(sum, {}, cuts, From::above).shape.requirements.empty());
}

// The bound from above as a function of m is least where it stops falling: balancing finds it.
TEST(Enclosed, BalancesItsFactors) {
    const TwoCauses it;
    double least = 10;
    for (double m = 1; m < 40; m *= 1.01)
        least = std::min(
            least, added_up(loosened(it.sum, {}, std::vector<Cut>{{0, it.first, {1, m}, {1, m}}},
                                     From::above)));
    const std::vector<Cut> flat{{0, it.first, {1, 1}, {1, 1}}};
    const Enclosed found = enclosed(it.sum, std::vector{it.first, it.second}, flat, 60);
    EXPECT_NEAR(std::exp(found.log_sum.high), least, 1e-4);
    EXPECT_LT(found.log_sum.low, std::log(double{TwoCauses::found}));
    const double first = 1 - 0.9 * TwoCauses::without_first / TwoCauses::found;
    EXPECT_LE(found.shares[0][1].low, first);
    EXPECT_GE(found.shares[0][1].high, first);
}

TEST(CutsFor, AreNoneWhereTheSumIsCheapAndAllWhereNothingMayBeSpent) {
    const TwoCauses it;
    const auto none = cuts_for(it.sum, {}, 1e6);
    ASSERT_TRUE(none.has_value());
    EXPECT_TRUE(none->empty());
    const auto all = cuts_for(it.sum, {}, 0);
    ASSERT_TRUE(all.has_value());
    EXPECT_EQ(all->size(), 2U);
}

// A weight on two variables ties them together, and is not cut.
TEST(CutsFor, AreNotThereWhereAWeightIsTooDear) {
    TwoCauses it;
    it.sum.weigh({it.first, it.second}, {1.0, 0.5, 0.5, 1.0});
    EXPECT_FALSE(cuts_for(it.sum, {}, 0).has_value());
}

}  // namespace
}  // namespace knockwell
