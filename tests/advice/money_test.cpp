// Time and parts in money, and repairs whose parts are put in in vain.
#include "advice/ahead.hpp"
#include "advice/mending.hpp"
#include "advice/money.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <numeric>
#include <random>

namespace knockwell {
namespace {

Knowledge two_parts() {
    Knowledge knowledge;
    knowledge.parts.resize(2);
    knowledge.parts[0].head.id = "nipple";
    knowledge.parts[0].price = 4;
    knowledge.parts[1].head.id = "pump";
    return knowledge;
}

TEST(Money, TheShopsPriceComesBeforeTheKnowledges) {
    const Knowledge knowledge = two_parts();
    EXPECT_EQ(price_of(knowledge, {}, PartId{0}), 4);
    EXPECT_EQ(price_of(knowledge, {}, PartId{1}), std::nullopt);
    const Rates rates{90, "dollars", {{"nipple", 5}, {"pump", 600}}};
    EXPECT_EQ(price_of(knowledge, rates, PartId{0}), 5);
    const std::vector<PartUse> used = {{PartId{0}, 2}, {PartId{1}, 1}};
    EXPECT_EQ(price_of(knowledge, rates, used).sum, 610);
    EXPECT_TRUE(price_of(knowledge, rates, used).whole);
    EXPECT_FALSE(price_of(knowledge, {}, used).whole);
    // At 90 an hour a minute costs 1.50.
    EXPECT_EQ(money_of(rates, 40), 60);
    EXPECT_EQ(money_of({}, 40), std::nullopt);
    EXPECT_NEAR(minutes_of_parts(knowledge, &rates, used), 610 / 1.5, 1e-9);
    EXPECT_EQ(minutes_of_parts(knowledge, nullptr, used), 0);
    const Rates no_hour{std::nullopt, "", {{"pump", 600}}};
    EXPECT_EQ(minutes_of_parts(knowledge, &no_hour, used), 0);
}

// Written to be plainly right: cause by cause, each repair pays its minutes, and its parts where it
// did not help.
double played(const std::vector<double>& shares, const std::vector<Mend>& mends,
              const std::vector<std::size_t>& order, double last_resort) {
    const double listed = std::accumulate(shares.begin(), shares.end(), 0.0);
    double cost = 0;
    for (std::size_t c = 0; c <= shares.size(); ++c) {
        double here = c < shares.size() ? shares[c] : 1 - listed;
        for (const std::size_t i : order) {
            double helps = 0;
            for (const Fix& fix : mends[i].fixes)
                helps += fix.cause.index() == c ? fix.chance : 0;
            cost += here * (mends[i].minutes + (1 - helps) * mends[i].in_vain);
            here *= 1 - helps;
        }
        cost += here * last_resort;
    }
    return cost;
}

struct Case {
    std::vector<double> shares;
    std::vector<Mend> mends;
};

Case random_case(std::mt19937& random) {
    std::uniform_real_distribution<double> chance(0, 1);
    Case it;
    for (int c = 0; c < 4; ++c)
        it.shares.push_back(0.25 * chance(random));
    for (int m = 0; m < 4; ++m)
        it.mends.push_back({5 + 60 * chance(random),
                            {{CauseId(static_cast<std::size_t>(m)), 0.5 + 0.5 * chance(random)}},
                            chance(random) < 0.5 ? 0 : 300 * chance(random)});
    return it;
}

TEST(MendingWithParts, IsTheCheapestOfAllOrdersAndStops) {
    std::mt19937 random(7);
    std::size_t otherwise = 0;
    for (int seed = 0; seed < 200; ++seed) {
        const Case it = random_case(random);
        double cheapest = 240;
        std::vector<std::size_t> order = {0, 1, 2, 3};
        do {
            for (std::size_t n = 1; n <= order.size(); ++n)
                cheapest = std::min(
                    cheapest,
                    played(it.shares, it.mends,
                           {order.begin(), order.begin() + static_cast<std::ptrdiff_t>(n)}, 240));
        } while (std::next_permutation(order.begin(), order.end()));
        const Mending got = mend_in_order(it.shares, it.mends, 240);
        EXPECT_NEAR(got.minutes, cheapest, 1e-9);
        EXPECT_NEAR(got.minutes, played(it.shares, it.mends, got.order, 240), 1e-9);
        std::vector<Mend> free = it.mends;
        for (Mend& mend : free)
            mend.in_vain = 0;
        otherwise += mend_in_order(it.shares, free, 240).order == got.order ? 0U : 1U;
        // The road ahead sees the same world.
        Outlook outlook;
        outlook.shares = it.shares;
        outlook.unlisted = 1 - std::accumulate(it.shares.begin(), it.shares.end(), 0.0);
        for (const Mend& mend : it.mends) {
            outlook.mends.push_back(mend.fixes);
            outlook.here.mends.push_back(mend.minutes);
            outlook.in_vain.push_back(mend.in_vain);
        }
        const double at_once = look_ahead(outlook, 4).at_once;
        EXPECT_GE(at_once, cheapest - 1e-9);
        EXPECT_LE(at_once, cheapest + 5) << "the greedy order loses little";
    }
    EXPECT_GT(otherwise, 40U) << "prices matter";
}

TEST(MendingWithParts, ADearPartWaitsUntilItIsLikely) {
    const std::vector<double> shares = {0.3, 0.6};
    const Mend cheap{20, {{CauseId{0}, 1}}, 0};
    const Mend dear{30, {{CauseId{1}, 1}}, 600};
    EXPECT_EQ(mend_in_order(shares, std::vector<Mend>{cheap, dear}).order,
              (std::vector<std::size_t>{0, 1}));
    const Mend free{30, {{CauseId{1}, 1}}, 0};
    EXPECT_EQ(mend_in_order(shares, std::vector<Mend>{cheap, free}).order,
              (std::vector<std::size_t>{1, 0}));
}

}  // namespace
}  // namespace knockwell
