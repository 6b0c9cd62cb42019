// Jobs of shops whose numbers are known: learning comes nearer to them the more jobs there are, and
// foresees new jobs better each time.
#include "learning/simulated.hpp"
#include "learning/taught.hpp"
#include "support/cases.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace knockwell {
namespace {

// Misses and false alarms are exact here, and so not learned: with one test a sign, jobs cannot
// tell them from what a cause shows (tests/learning/channels_test.cpp has two tests a sign).
constexpr std::string_view shop_well = R"(
    [setting.pump]
    title   = "Pump"
    ask     = "Which?"
    choices = { submersible = "7 in 10", jet = "3 in 10" }

    [setting.age]
    title   = "Age"
    ask     = "How old?"
    choices = { young = "6 in 10", old = "4 in 10" }

    [cause.worn]
    title     = "Worn pump"
    present   = "40 in 1000"
    raised_by = [{ when = { age = "old" }, times = 3 }]
    [cause.worn.shows]
    no-water = "3 in 10"
    weak     = "7 in 10"
    noise    = "4 in 10"

    [cause.lost-prime]
    title   = "Lost prime"
    present = "80 in 1000"
    only_if = { pump = "jet" }
    [cause.lost-prime.shows]
    no-water = "8 in 10"
    bubbles  = "6 in 10"

    [cause.tripped]
    title         = "Tripped"
    present       = "30 in 1000"
    brought_on_by = { worn = "2 in 10" }
    [cause.tripped.shows]
    no-water = "9 in 10"
    warm     = "5 in 10"

    [cause.clogged]
    title   = "Clogged"
    present = "60 in 1000"
    [cause.clogged.shows]
    weak  = "6 in 10"
    noise = "2 in 10"
    warm  = "3 in 10"

    [symptom.no-water]
    title       = "No water"
    seen_anyway = "1 in 1000"

    [symptom.weak]
    title       = "Weak"
    seen_anyway = "1 in 1000"

    [observation.noise]
    title       = "Noise"
    seen_anyway = "5 in 100"

    [observation.bubbles]
    title       = "Bubbles"
    seen_anyway = "4 in 100"

    [observation.warm]
    title       = "Warm"
    seen_anyway = "10 in 100"

    [test.listen]
    title       = "Listen"
    how         = "Listen."
    reveals     = ["noise", "bubbles"]
    minutes     = 1
    misses      = 0.1
    false_alarm = 0.05

    [test.touch]
    title       = "Touch"
    how         = "Touch the outside."
    reveals     = ["warm"]
    minutes     = 1
    misses      = 0.05
    false_alarm = 0.02
)";

double log_odds_of(double p) { return std::log(p / (1 - p)); }

/// How far the learned numbers are from the true ones, in the mean: of triggers by their
/// logarithmic odds; of rates by the logarithm of what share of them all they have, since calls
/// say little of how many installations there are.
struct Off {
    double triggers = 0;
    double rates = 0;
};

Off off(const Pupil& pupil, const std::vector<double>& learned, const std::vector<double>& truth) {
    Off sum;
    double triggers = 0;
    double rates = 0;
    double of_learned = 0;
    double of_truth = 0;
    for (const Coin& coin : pupil.coins)
        if (coin.kind == Coin::Kind::rate) {
            of_learned += learned[coin.sides[0].strength];
            of_truth += truth[coin.sides[0].strength];
        }
    for (const Coin& coin : pupil.coins) {
        const StrengthIndex at = coin.sides[0].strength;
        if (coin.kind == Coin::Kind::rate) {
            sum.rates +=
                std::abs(std::log(learned[at] / of_learned) - std::log(truth[at] / of_truth));
            ++rates;
        } else if (coin.kind == Coin::Kind::shows) {
            sum.triggers += std::abs(log_odds_of(learned[at]) - log_odds_of(truth[at]));
            ++triggers;
        }
    }
    return {sum.triggers / triggers, sum.rates / rates};
}

/// A shop whose true numbers are a draw from what the written counts allow.
struct TrueShop {
    std::vector<double> truth;
    std::uint64_t seed;
    TrueShop(const Network& network, std::uint64_t from)
        : truth(redraw(network, 7, static_cast<std::uint32_t>(from))), seed(from) {
        // The mix of its installations and the multipliers are as written: they are not learned.
        for (std::size_t i = 0; i < truth.size(); ++i)
            if (network.strengths[i].kind == StrengthLaw::Kind::log_normal)
                truth[i] = network.point[i];
        for (const SettingNode& setting : network.settings)
            for (const StrengthIndex at : setting.prior)
                truth[at] = network.point[at];
    }
    void work(Pupil& pupil, std::size_t jobs, std::uint64_t more) const {
        simulate(pupil.knowledge, pupil.network, truth, {1000 * seed + more, jobs},
                 [&](const Job& job) { pupil.book.add(job); });
    }
};

TEST(Simulated, NumbersAreFoundAgainWithAnErrorThatShrinks) {
    Off untaught;
    Off some;
    Off many;
    const double shops = 2;
    for (std::uint64_t seed = 1; seed <= 2; ++seed) {
        Pupil thousand(shop_well);
        Pupil ten_thousand(shop_well);
        const TrueShop shop(thousand.network, seed);
        shop.work(thousand, few_cases() ? 200 : 1000, 1);
        shop.work(ten_thousand, few_cases() ? 2000 : 10000, 2);
        const auto add = [&](Off& to, const std::vector<double>& learned) {
            const Off one = off(thousand, learned, shop.truth);
            to.triggers += one.triggers / shops;
            to.rates += one.rates / shops;
        };
        add(untaught, thousand.network.point);
        add(some, thousand.learned().strengths);
        add(many, ten_thousand.learned().strengths);
    }
    RecordProperty("triggers", std::to_string(untaught.triggers) + " " +
                                   std::to_string(some.triggers) + " " +
                                   std::to_string(many.triggers));
    if (few_cases()) {  // a fifth of the jobs: it shrinks, and not as far
        EXPECT_LT(many.triggers, some.triggers);
        EXPECT_LT(many.rates, some.rates);
        return;
    }
    EXPECT_LT(some.triggers, 0.7 * untaught.triggers);
    // 0.23 after 0.26; EM that stops before it has crept to the end comes to 0.21: jobs that are
    // closed without a cause are taken as if that said nothing of it.
    EXPECT_LT(many.triggers, 0.9 * some.triggers);
    EXPECT_LT(many.triggers, 0.25);
    EXPECT_LT(some.rates, 0.7 * untaught.rates);
    EXPECT_LT(many.rates, 0.6 * some.rates);
    EXPECT_LT(many.rates, 0.1);
}

TEST(Simulated, EveryRoundIsAsLikelyAsTheOneBefore) {
    for (std::uint64_t seed = 1; seed <= cases(30); ++seed) {
        Pupil pupil(shop_well);
        TrueShop(pupil.network, seed).work(pupil, 200, 3);
        HowToLearn how;
        how.enough = 0;
        how.most_rounds = 40;
        const LearnedNumbers learned = pupil.learned(how);
        ASSERT_GT(learned.rounds.size(), 2U);
        for (std::size_t i = 1; i < learned.rounds.size(); ++i)
            EXPECT_GE(learned.rounds[i], learned.rounds[i - 1] - 1e-9)
                << "shop " << seed << ", round " << i;
        EXPECT_GT(learned.log_after, learned.log_before);
    }
}

TEST(Simulated, UnseenJobsAreForeseenBetterTheMoreWasLearned) {
    for (std::uint64_t seed = 1; seed <= cases(50); ++seed) {
        Pupil pupil(shop_well);
        Pupil unseen(shop_well);
        const TrueShop shop(pupil.network, seed);
        shop.work(unseen, 2000, 4);
        shop.work(pupil, 1000, 5);
        const double before = mean_log_chance(pupil.model, unseen.book, pupil.network.point);
        const std::vector<double> some = pupil.learned().strengths;
        const double after_some = mean_log_chance(pupil.model, unseen.book, some);
        EXPECT_GT(after_some, before) << "shop " << seed;
        const CauseScore causes_before =
            score_of_causes(pupil.model, unseen.book, pupil.network.point);
        const CauseScore causes = score_of_causes(pupil.model, unseen.book, some);
        EXPECT_LT(causes.mean, causes_before.mean) << "shop " << seed;
        if (seed % 10 != 1 || few_cases())
            continue;  // ten thousand jobs take ten times as long
        shop.work(pupil, 9000, 6);
        const std::vector<double> many = pupil.learned().strengths;
        EXPECT_GT(mean_log_chance(pupil.model, unseen.book, many), after_some) << "shop " << seed;
    }
}

void expect_same_end(const LearnedNumbers& begun, const LearnedNumbers& whole) {
    EXPECT_TRUE(begun.settled);
    EXPECT_EQ(begun.jobs, whole.jobs);
    EXPECT_EQ(begun.impossible, whole.impossible);
    EXPECT_DOUBLE_EQ(begun.log_before, whole.log_before);
    EXPECT_TRUE(std::is_sorted(begun.rounds.begin(), begun.rounds.end()));
    EXPECT_NEAR(begun.rounds.back(), whole.rounds.back(), 1e-4);
    for (std::size_t i = 0; i < whole.strengths.size(); ++i)
        EXPECT_NEAR(begun.strengths[i], whole.strengths[i], 2e-3) << i;
}

HowToLearn to_the_end(std::size_t part) {
    HowToLearn how;
    how.enough = 1e-9;
    how.most_rounds = 400;
    how.part = part;
    return how;
}

TEST(Simulated, APartOfTheJobsIsOnlyWhereItBegins) {
    Pupil pupil(shop_well);
    TrueShop(pupil.network, 1).work(pupil, 1500, 7);
    const LearnedNumbers whole = pupil.learned(to_the_end(10'000));
    const LearnedNumbers begun = pupil.learned(to_the_end(200));
    expect_same_end(begun, whole);
    EXPECT_GT(begun.rounds[3], whole.rounds[5]) << "it begins further on";
}

// What is written is the truth here, and one job or two lead away from it.
TEST(Simulated, APartThatLedAstrayIsForgotten) {
    Pupil pupil(shop_well);
    simulate(pupil.knowledge, pupil.network, pupil.network.point,
             {12, few_cases() ? 400U : 1500U, 1, 1}, [&](const Job& job) { pupil.book.add(job); });
    const LearnedNumbers whole = pupil.learned(to_the_end(10'000));
    const LearnedNumbers begun = pupil.learned(to_the_end(2));
    expect_same_end(begun, whole);
    EXPECT_NEAR(begun.rounds[1], whole.rounds[1], 1e-6) << "what a round of EM leads to";
}

// Where nobody calls without trouble, jobs alone would make every cause look common.
TEST(Simulated, CausesAreNotMoreCommonForBeingCalledFor) {
    Pupil pupil(shop_well);
    const std::vector<double>& truth = pupil.network.point;
    simulate(pupil.knowledge, pupil.network, truth, {11, 4000, 1, 1},
             [&](const Job& job) { pupil.book.add(job); });
    const LearnedNumbers learned = pupil.learned();
    for (const Coin& coin : pupil.coins)
        if (coin.kind == Coin::Kind::rate) {
            const StrengthIndex at = coin.sides[0].strength;
            const auto [which, side] = pupil.at(coin.sides[0].name);
            const double share = learned.coins[which].fallen[side] / 4000;
            EXPECT_GT(share, 1.5 * truth[at]) << coin.sides[0].name << ": of the calls";
            EXPECT_NEAR(learned.strengths[at], truth[at], 0.3 * truth[at]) << coin.sides[0].name;
        }
}

}  // namespace
}  // namespace knockwell
