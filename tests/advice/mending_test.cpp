// The order of repairs and its cost, against published rules and against every order.
#include "advice/mending.hpp"
#include "advice/worth.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <numeric>
#include <random>

namespace knockwell {
namespace {

CauseId cause(std::size_t index) { return CauseId(index); }

std::vector<Mend> one_each(const std::vector<double>& minutes, const std::vector<double>& chance) {
    std::vector<Mend> mends;
    for (std::size_t i = 0; i < minutes.size(); ++i)
        mends.push_back({minutes[i], {{cause(i), chance[i]}}});
    return mends;
}

// Written to be plainly right: the order given, all of it, then the last resort.
double cost_of(const std::vector<double>& shares, const std::vector<Mend>& mends,
               const std::vector<std::size_t>& order, const LastResort& last) {
    std::vector<double> left = shares;
    const double unlisted = 1 - std::accumulate(shares.begin(), shares.end(), 0.0);
    double cost = 0;
    for (const std::size_t i : order) {
        cost += mends[i].minutes * (unlisted + std::accumulate(left.begin(), left.end(), 0.0));
        for (const Fix& fix : mends[i].fixes)
            left[fix.cause.index()] *= 1 - fix.chance;
    }
    for (std::size_t c = 0; c < last.mending.size(); ++c)
        cost += left[c] * last.mending[c];
    return cost + last.minutes * (unlisted + std::accumulate(left.begin(), left.end(), 0.0));
}

double cheapest_order(const std::vector<double>& shares, const std::vector<Mend>& mends,
                      const LastResort& last) {
    std::vector<std::size_t> order(mends.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    double cheapest = cost_of(shares, mends, {}, last);
    do {
        for (std::size_t n = 0; n <= order.size(); ++n)
            cheapest = std::min(
                cheapest,
                cost_of(shares, mends,
                        {order.begin(), order.begin() + static_cast<std::ptrdiff_t>(n)}, last));
    } while (std::next_permutation(order.begin(), order.end()));
    return cheapest;
}

// Ordering theorem: Kadane & Simon 1977 (Ann. Statist.); Heckerman, Breese & Rommelse 1995
// (CACM 38:49-57). The numbers are an example of ours, all 24 orders enumerated.
TEST(Mending, OfPerfectRepairsGoesByChanceOverCost) {
    const std::vector<double> shares = {0.4, 0.3, 0.2, 0.1};
    const auto mends = one_each({9, 4, 8, 1}, {1, 1, 1, 1});
    const Mending got = mend_in_order(shares, mends, 1000);
    EXPECT_EQ(got.order, (std::vector<std::size_t>{3, 1, 0, 2}));
    EXPECT_NEAR(got.minutes, 11.6, 1e-12);
    EXPECT_NEAR(got.unmended, 0, 1e-12);
    EXPECT_NEAR(cost_of(shares, mends, {2, 0, 1, 3}, 1000), 16.9, 1e-12) << "the worst order";
    EXPECT_NEAR(minutes_in_order(shares, mends, std::vector<std::size_t>{2, 0, 1, 3}, 1000), 16.9,
                1e-12);
    EXPECT_EQ(minutes_in_order(shares, mends, got.order, 1000), got.minutes);
    EXPECT_NEAR(cost_of(shares, mends, {0, 1, 2, 3}, 1000), 13.9, 1e-12);
}

// Repairs that can fail, then a service call (the model of Jensen & Nielsen, Bayesian Networks and
// Decision Graphs, chapter on troubleshooting; numbers ours, all orders enumerated).
TEST(Mending, OfRepairsThatCanFailCountsWhatIsLeft) {
    const std::vector<double> shares = {0.5, 0.3, 0.2};
    const auto mends = one_each({10, 5, 2}, {0.8, 0.9, 0.6});
    EXPECT_NEAR(ends_trouble(shares, mends[0]), 0.4, 1e-12);
    EXPECT_NEAR(ends_trouble(shares, mends[1]), 0.27, 1e-12);
    EXPECT_NEAR(ends_trouble(shares, mends[2]), 0.12, 1e-12);
    const Mending got = mend_in_order(shares, mends, 100);
    EXPECT_EQ(got.order, (std::vector<std::size_t>{2, 1, 0}));
    EXPECT_NEAR(got.minutes, 33.5, 1e-12);
    EXPECT_NEAR(got.unmended, 0.21, 1e-12);
    EXPECT_NEAR(cost_of(shares, mends, {0, 1, 2}, 100), 34.66, 1e-12) << "the worst order";
}

// Several repairs of one cause (Ottosen & Jensen, dependent actions; table from memory, all orders
// enumerated): the greedy order is the best one here.
TEST(Mending, OfRepairsThatShareACauseIsRecomputedAfterEach) {
    const std::vector<double> shares = {0.20, 0.25, 0.40, 0.15};
    const std::vector<Mend> mends = {{1, {{cause(0), 1}, {cause(1), 1}}},
                                     {1, {{cause(0), 1}, {cause(2), 1}}},
                                     {1, {{cause(0), 1}, {cause(3), 1}}}};
    const Mending got = mend_in_order(shares, mends, 1000);
    EXPECT_EQ(got.order, (std::vector<std::size_t>{1, 0, 2}));
    EXPECT_NEAR(got.minutes, 1.55, 1e-12);
}

// A counter-example to the greedy order (known since F. V. Jensen et al. 2001; numbers ours, all
// orders enumerated): the likeliest repair of all comes last.
TEST(Mending, OfAFewRepairsThatOverlapIsTheBestOfAllOrders) {
    const std::vector<double> shares = {0.26, 0.26, 0.24, 0.24};
    const std::vector<Mend> mends = {{1, {{cause(0), 1}, {cause(1), 1}}},
                                     {1, {{cause(0), 1}, {cause(2), 1}}},
                                     {1, {{cause(1), 1}, {cause(3), 1}}}};
    EXPECT_NEAR(minutes_in_order(shares, mends, std::vector<std::size_t>{0, 1, 2}, 1000), 1.72,
                1e-12);
    const Mending got = mend_in_order(shares, mends, 1000);
    EXPECT_NEAR(got.minutes, 1.5, 1e-12);
    EXPECT_NE(got.order.front(), 0U);
}

// Repairs that overlap, some of which fail: no order of the five is cheaper, wherever it stops.
TEST(Mending, OfRepairsThatOverlapIsTheBestOfAllOrdersAndAllPlacesToStop) {
    for (std::uint32_t seed = 1; seed <= 50; ++seed) {
        std::mt19937 random(seed);
        const auto uniform = [&] { return static_cast<double>(random()) / 4294967296.0; };
        std::vector<double> shares(4);
        for (double& share : shares)
            share = uniform() / 4;
        std::vector<Mend> mends;
        for (std::size_t i = 0; i < 5; ++i)
            mends.push_back(
                {1 + 60 * uniform(), {{cause(i % 4), uniform()}, {cause((i + 1) % 4), uniform()}}});
        EXPECT_NEAR(mend_in_order(shares, mends, 120).minutes, cheapest_order(shares, mends, 120),
                    1e-9)
            << "seed " << seed;
        const LastResort last(120, quickest_of_each(shares.size(), mends));
        EXPECT_NEAR(mend_in_order(shares, mends, last).minutes, cheapest_order(shares, mends, last),
                    1e-9)
            << "seed " << seed;
    }
}

// Whoever comes second must mend it too. By hand: at once 255 + 0.1 * 240 = 279; the last resort
// 240, and 240 + 0.9 * 255 = 469.5 where it must mend.
TEST(Mending, OfADearRepairPaysWhereWhoeverComesSecondMustMakeItToo) {
    const std::vector<double> shares = {0.9};
    const auto mends = one_each({255}, {1});
    EXPECT_EQ(quickest_of_each(1, mends), std::vector<double>{255});
    EXPECT_TRUE(mend_in_order(shares, mends, 240).order.empty());
    const Mending got = mend_in_order(shares, mends, {240, {255}});
    EXPECT_EQ(got.order, std::vector<std::size_t>{0});
    EXPECT_NEAR(got.minutes, 279, 1e-9);
    const std::vector<double> unlikely = {0.5};
    EXPECT_NEAR(mend_in_order(unlikely, mends, {240, {255}}).minutes, 240 + 0.5 * 255, 1e-9);
    EXPECT_TRUE(mend_in_order(unlikely, mends, {240, {255}}).order.empty());
}

// Of more repairs than are tried in every order the greedy one weighs the same.
TEST(Mending, OfManyRepairsWeighsTheSecondVisitAlike) {
    std::vector<double> shares(9, 0.01);
    shares[4] = 0.9;
    const auto mends = one_each(std::vector<double>(9, 255), std::vector<double>(9, 1));
    EXPECT_TRUE(mend_in_order(shares, mends, 240).order.empty());
    const LastResort last(240, quickest_of_each(9, mends));
    const Mending got = mend_in_order(shares, mends, last);
    EXPECT_EQ(got.order, std::vector<std::size_t>{4});
    EXPECT_NEAR(got.minutes, cost_of(shares, mends, {4}, last), 1e-9);
}

TEST(Mending, TheQuickestOfEachIsThatOfTheRepairsThatHelp) {
    const std::vector<Mend> mends = {{30, {{cause(0), 0.5}, {cause(1), 0}}},
                                     {20, {{cause(0), 0.1}, {cause(2), 1}}}};
    EXPECT_EQ(quickest_of_each(4, mends), (std::vector<double>{20, 0, 20, 0}));
}

TEST(Mending, OfOneRepairACauseIsTheBestOfAllOrdersAndAllPlacesToStop) {
    for (std::uint32_t seed = 1; seed <= 200; ++seed) {
        std::mt19937 random(seed);
        const auto uniform = [&] { return static_cast<double>(random()) / 4294967296.0; };
        std::vector<double> shares(5);
        for (double& share : shares)
            share = uniform() / 5;
        std::vector<double> minutes;
        std::vector<double> chance;
        for (std::size_t i = 0; i < shares.size(); ++i) {
            minutes.push_back(1 + 60 * uniform());
            chance.push_back(uniform());
        }
        const auto mends = one_each(minutes, chance);
        EXPECT_NEAR(mend_in_order(shares, mends, 120).minutes, cheapest_order(shares, mends, 120),
                    1e-9)
            << "seed " << seed;
    }
}

TEST(Mending, WithoutARepairIsTheLastResort) {
    EXPECT_EQ(mend_in_order(std::vector<double>{0.7}, {}).minutes, minutes_of_last_resort);
}

TEST(Mending, StopsWhereTheLastResortIsCheaper) {
    const std::vector<double> shares = {0.01};
    const auto mends = one_each({200}, {1});
    const Mending got = mend_in_order(shares, mends, 240);
    EXPECT_TRUE(got.order.empty());
    EXPECT_EQ(got.minutes, 240);
}

TEST(Mending, TroubleIsSharedAmongWhatCanExplainIt) {
    const std::vector<double> now = {0.6, 0.9, 0.6};
    const std::vector<CauseId> explain = {cause(0), cause(2)};
    EXPECT_EQ(trouble_shares(now, explain), (std::vector<double>{0.5, 0, 0.5}));
    const std::vector<double> faint = {0.1, 0.9, 0.2};
    EXPECT_EQ(trouble_shares(faint, explain), (std::vector<double>{0.1, 0, 0.2}));
}

TEST(Mending, WhatIsAsGoodAsSureCostsNothingInVain) {
    EXPECT_EQ(rate_of(0.5, 0.5, 60, 240), 0.5 / 60);
    EXPECT_NEAR(rate_of(0.25, 0.5, 60, 240), 0.25 / 180, 1e-15);
    EXPECT_EQ(rate_of(0, 0.5, 60, 240), 0);
    EXPECT_EQ(rate_of(0.25, 0.5, 60, 0), 0.25 / 60);
}

// Twelve causes, so that not all orders are tried. One mend is sure to end what two of them do and
// costs 240 minutes where it is in vain; another ends the same and takes four times as long.
TEST(Mending, AMendThatIsSureGoesBeforeOneThatTakesLonger) {
    std::vector<double> shares(12, 0.001);
    shares[0] = 0.9;
    std::vector<Mend> mends;
    for (std::size_t c = 2; c < shares.size(); ++c)
        mends.push_back({400, {{cause(c), 1}}, 0});
    mends.push_back({60, {{cause(0), 1}, {cause(1), 1}}, 240});
    mends.push_back({230, {{cause(0), 1}, {cause(1), 1}}, 0});
    EXPECT_EQ(mend_in_order(shares, mends).order.front(), mends.size() - 2);
}

// A breaker that tripped is trouble of its own only where nothing has tripped it.
TEST(Mending, WhatTrippedGoesWithWhatTrippedIt) {
    const std::vector<double> now = {0.5, 0.25, 0.75, 0.125};
    const std::vector<CauseId> explain = {cause(0), cause(1), cause(2)};
    EXPECT_EQ(shares_of_trouble(now, {1, 1, 1, 1}, explain), trouble_shares(now, explain));
    const std::vector<double> own = {1, 1, 0.375, 1};
    const double alone = 0.75 * 0.375;
    const std::vector<double> got = shares_of_trouble(now, own, explain);
    EXPECT_NEAR(got[0], 0.5 / (0.75 + alone), 1e-15);
    EXPECT_NEAR(got[2], alone / (0.75 + alone), 1e-15);
    const std::vector<double> little = {0.25, 0, 0.5, 0.125};
    const std::vector<double> faint = shares_of_trouble(little, {1, 1, 0.75, 1}, explain);
    EXPECT_NEAR(faint[0], 0.75 * 0.25 / 0.625, 1e-15) << "what is nobody's stays nobody's";
    EXPECT_NEAR(faint[2], 0.75 * 0.375 / 0.625, 1e-15);
    EXPECT_EQ(faint[3], 0);
}

}  // namespace
}  // namespace knockwell
