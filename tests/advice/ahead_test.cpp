// Two steps ahead, against orders and plans that were enumerated.
#include "advice/ahead.hpp"

#include <gtest/gtest.h>

#include <numeric>
#include <random>

namespace knockwell {
namespace {

// One question before three repairs and a service call: the model of M. Vomlelova and J. Vomlel,
// Troubleshooting: NP-hardness and solution methods, Soft Computing 7, 2003, pp. 357-368 (pages
// from memory); numbers ours, the best plan by dynamic programming over all of them.
Outlook one_question() {
    Outlook it;
    it.shares = {0.45, 0.3, 0.25};
    it.mends = {{{CauseId(0), 1}}, {{CauseId(1), 0.8}}, {{CauseId(1), 0.5}, {CauseId(2), 0.9}}};
    it.looks = {{{{0.9, 0.2, 0.1}, {0.1, 0.8, 0.9}}, {0.5, 0.5}}};
    it.here = {{12, 20, 30}, {3}};
    it.after_look = {it.here};
    it.last_resort = 90;
    return it;
}

TEST(Ahead, OneQuestionBeforeThreeRepairs) {
    const Ahead got = look_ahead(one_question(), 4);
    EXPECT_NEAR(got.at_once, 36.95, 1e-9);
    EXPECT_NEAR(got.looks[0], 36.788, 1e-9);
}

TEST(Ahead, WhatIsOpenAfterTheLookIsCheaper) {
    Outlook it = one_question();
    it.after_look[0].mends = {11, 19, 29};
    EXPECT_LT(look_ahead(it, 4).looks[0], 36.788);
    it.after_look[0].mends = {13, 21, 31};
    EXPECT_GT(look_ahead(it, 4).looks[0], 36.788);
}

// Beyond eight repairs both take the one with the most chance a minute; mend_in_order() weighs all
// of them anew each time, and is itself held against published orders (mending_test.cpp).
TEST(Ahead, ManyRepairsAreMadeInTheOrderOfMending) {
    constexpr std::size_t causes = 6;
    constexpr std::size_t repairs = 12;
    std::mt19937_64 dice(11);
    const auto draw = [&](double low, double high) {
        return std::uniform_real_distribution(low, high)(dice);
    };
    for (int world = 0; world < 500; ++world) {
        Outlook it;
        it.last_resort = {240, std::vector<double>(causes, 30)};
        for (std::size_t c = 0; c < causes; ++c)
            it.shares.push_back(draw(0, 1.0 / causes));
        it.unlisted = 1 - std::accumulate(it.shares.begin(), it.shares.end(), 0.0);
        std::vector<Mend> mends(repairs);
        for (std::size_t m = 0; m < repairs; ++m) {
            mends[m] = {draw(5, 60), {}, draw(0, 20)};
            for (std::size_t c = m % causes; c < causes; c += 1 + dice() % causes)
                mends[m].fixes.push_back({CauseId(c), draw(0.2, 1)});
            it.mends.push_back(mends[m].fixes);
            it.here.mends.push_back(mends[m].minutes);
            it.in_vain.push_back(mends[m].in_vain);
        }
        EXPECT_NEAR(look_ahead(it, 0).at_once,
                    mend_in_order(it.shares, mends, it.last_resort).minutes, 1e-9)
            << "world " << world;
    }
}

// Two looks of which neither tells enough alone: each splits the causes evenly, both together name
// the cause.
Outlook only_together() {
    Outlook it;
    it.shares = {0.25, 0.25, 0.25, 0.25};
    for (std::size_t cause = 0; cause < 4; ++cause)
        it.mends.push_back({{CauseId(cause), 1}});
    const auto splits = [](double a, double b, double c, double d) {
        return Showing{{{a, b, c, d}, {1 - a, 1 - b, 1 - c, 1 - d}}, {0.5, 0.5}};
    };
    it.looks = {splits(1, 1, 0, 0), splits(1, 0, 1, 0)};
    // A repair is dear enough that only who is sure of the cause makes it.
    it.here = {{130, 130, 130, 130}, {8, 8}};
    it.after_look = {it.here, it.here};
    it.last_resort = 240;
    return it;
}

TEST(Ahead, LooksThatTellOnlyTogetherPayTogether) {
    const Outlook it = only_together();
    const Ahead one_step = look_ahead(it, 0);
    EXPECT_NEAR(one_step.at_once, 240, 1e-9);
    EXPECT_GT(one_step.looks[0], one_step.at_once);
    const Ahead two_steps = look_ahead(it, 2);
    EXPECT_NEAR(two_steps.looks[0], 8 + 8 + 130, 1e-9) << "both looks and the one repair";
}

// As in mending order, so a look ahead: a repair that takes 255 minutes whoever makes it.
TEST(Ahead, TheSecondVisitMendsWhatItFinds) {
    Outlook it;
    it.shares = {0.9};
    it.unlisted = 0.1;
    it.mends = {{{CauseId(0), 1}}};
    it.here = {{255}, {}};
    it.last_resort = 240;
    EXPECT_NEAR(look_ahead(it, 1).at_once, 240, 1e-9);
    it.last_resort = {240, {255}};
    const Ahead got = look_ahead(it, 1);
    EXPECT_NEAR(got.at_once, 255 + 0.1 * 240, 1e-9);
    EXPECT_NEAR(got.mends[0], 255 + 0.1 * 240, 1e-9);
}

// Cover off once, two looks: the second costs only itself.
TEST(Ahead, LooksAtOnePlaceOpenItOnce) {
    Outlook it = only_together();
    it.here.looks = {20, 20};
    it.after_look[0].looks = {2, 2};
    it.after_look[1].looks = {2, 2};
    EXPECT_NEAR(look_ahead(it, 2).looks[0], 20 + 2 + 130, 1e-9);
}

TEST(Ahead, ALookThatTellsNothingCostsItsMinutes) {
    Outlook it = one_question();
    it.looks = {{{{0.5, 0.5, 0.5}, {0.5, 0.5, 0.5}}, {0.5, 0.5}}};
    const Ahead got = look_ahead(it, 4);
    EXPECT_NEAR(got.looks[0], got.at_once + 3, 1e-9);
}

// The best repair first is the same as mending in order, or better where a look comes after it.
TEST(Ahead, ARepairFirstIsTheOrderThatBeginsWithIt) {
    Outlook it = one_question();
    EXPECT_NEAR(look_ahead(it, 0).mends[0], 36.95, 1e-9);
    EXPECT_LE(look_ahead(it, 4).mends[0], 36.95 + 1e-9);
    EXPECT_GT(look_ahead(it, 0).mends[1], 36.95) << "another one first";
}

}  // namespace
}  // namespace knockwell
