// Strengths that the jobs contradict: found where they are wrong, seldom named where they are not.
#include "review/strengths.hpp"
#include "support/cases.hpp"
#include "support/knowledge_of.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <iostream>
#include <random>

namespace knockwell {
namespace {

constexpr std::size_t causes = 6;
constexpr std::size_t signs = 5;
constexpr double misses = 0.1;
constexpr double false_alarm = 0.02;

/// Every cause shows every sign "2 in 10", "4 in 10" or "8 in 10"; each sign is seen anyway "1 in
/// 20".
std::string some_text() {
    const std::vector<std::string> counts = {"2 in 10", "4 in 10", "8 in 10"};
    std::string text = "[reports]\nlooked = { misses = 0.1, false_alarm = 0.02 }\n";
    for (std::size_t c = 0; c < causes; ++c) {
        const std::string name = "c" + std::to_string(c);
        text += "[cause." + name + "]\ntitle = \"" + name + "\"\npresent = 0.01\n[cause." + name +
                ".shows]\n";
        for (std::size_t s = 0; s < signs; ++s)
            text += "s" + std::to_string(s) + " = \"" + counts[(c + s) % 3] + "\"\n";
    }
    for (std::size_t s = 0; s < signs; ++s) {
        const std::string name = "s" + std::to_string(s);
        text += "[observation." + name + "]\ntitle = \"" + name + "\"\nseen_anyway = \"1 in 20\"\n";
    }
    return text;
}

/// What is really so in one shop: drawn from the counts as they are written.
struct Truth {
    std::vector<std::vector<double>> strength;  // [cause][sign]
    std::vector<double> leak;
};

double beta_drawn(const Count& count, std::mt19937_64& dice) {
    const Beta law = beta_of(count);
    std::gamma_distribution<double> a(law.a);
    std::gamma_distribution<double> b(law.b);
    const double x = a(dice);
    return x / (x + b(dice));
}

Truth drawn(const Knowledge& knowledge, std::mt19937_64& dice) {
    Truth truth;
    for (const Cause& cause : knowledge.causes) {
        truth.strength.emplace_back();
        for (const Shows& shows : cause.shows)
            truth.strength.back().push_back(beta_drawn(shows.high.front().count, dice));
    }
    for (const Sign& sign : knowledge.signs)
        truth.leak.push_back(beta_drawn(sign.seen_high.front().count, dice));
    return truth;
}

/// The chance of "yes" as docs/model.md has it, with nothing but this cause: misses act on each
/// way to make the sign. Other causes are there at 1 in 100, which `others` allows for.
double chance_of_yes(const Truth& truth, std::size_t cause, std::size_t sign) {
    double absent = (1 - false_alarm) * (1 - truth.leak[sign] * (1 - misses));
    for (std::size_t other = 0; other < causes; ++other)
        absent *= 1 - (other == cause ? 1 : 0.01) * truth.strength[other][sign] * (1 - misses);
    return 1 - absent;
}

Replayed one_job(std::size_t cause, std::size_t sign, bool yes) {
    Replayed job;
    job.confirmed = {CauseId{cause}};
    Finding finding;
    finding.what = SignId{sign};
    finding.value = yes ? 1 : 0;
    job.evidence.findings = {finding};
    return job;
}

std::vector<StrengthCell> looked_at(const Model& model, const Truth& truth, std::size_t jobs,
                                    std::mt19937_64& dice) {
    StrengthBook book(model);
    for (std::size_t i = 0; i < jobs; ++i) {
        const std::size_t cause = dice() % causes;
        const std::size_t sign = dice() % signs;
        std::bernoulli_distribution yes(chance_of_yes(truth, cause, sign));
        book.add(one_job(cause, sign, yes(dice)));
    }
    return book.cells();
}

constexpr double promised_of_strengths = 0.1;

// Where the truth is as uncertain as the counts say, a shop in ten at most names anything; the
// planted one is found: written "8 in 10", true 1 in 10.
TEST(Strengths, ArePromisedToBeSeldomWrongAndFindWhatIs) {
    const Knowledge knowledge = knowledge_of(some_text());
    const Network network = compile(knowledge);
    const Model model{&knowledge, &network};
    const std::uint64_t shops = cases(200);
    double without_ground = 0;
    double found = 0;
    double false_shares = 0;
    for (std::uint64_t seed = first_seed(1); seed < first_seed(1) + shops; ++seed) {
        std::mt19937_64 dice(seed);
        Truth truth = drawn(knowledge, dice);
        for (const StrengthCell& cell : looked_at(model, truth, 1200, dice))
            if (cell.adjusted <= promised_of_strengths) {
                ++without_ground;
                break;
            }
        const std::size_t sign = 2;  // of cause 0 "8 in 10"
        truth.strength[0][sign] = 0.1;
        double named = 0;
        double wrong = 0;
        for (const StrengthCell& cell : looked_at(model, truth, 1200, dice)) {
            if (cell.adjusted > promised_of_strengths)
                continue;
            ++named;
            const bool planted = cell.cause == CauseId{0} && cell.sign == SignId{sign};
            found += planted ? 1 : 0;
            wrong += planted ? 0 : 1;
        }
        false_shares += named > 0 ? wrong / named : 0;
    }
    const auto n = static_cast<double>(shops);
    std::cout << "strengths: named without ground in " << without_ground / n
              << " of the shops, planted found in " << found / n << ", false " << false_shares / n
              << "\n";
    // Of few shops the share itself is chance: two standard deviations more are let pass.
    const double bar =
        promised_of_strengths +
        (shops < 200 ? 2 * std::sqrt(promised_of_strengths * (1 - promised_of_strengths) / n) : 0);
    EXPECT_LE(without_ground / n, bar);
    EXPECT_LE(false_shares / n, bar);
    EXPECT_GE(found / n, 0.8);
}

// By hand: a look that errs never, a strength that is exact, no leak. 5 of 20 where 16 are
// foretold: P(K <= 5 | 20, 0.8) is under a millionth.
TEST(Strengths, AnExactOneIsABinomialTail) {
    const Knowledge knowledge = knowledge_of(R"(
[reports]
looked = { misses = "never", false_alarm = "never" }
[cause.a]
title = "A"
present = 0.1
shows = { s = 0.8 }
[cause.b]
title = "B"
present = 0.1
[observation.s]
title = "S"
)");
    const Network network = compile(knowledge);
    StrengthBook book({&knowledge, &network});
    for (int i = 0; i < 20; ++i)
        book.add(one_job(0, 0, i < 5));
    for (int i = 0; i < 4; ++i)
        book.add(one_job(1, 0, false));
    Replayed two = one_job(0, 0, true);
    two.confirmed.emplace_back(1U);
    book.add(two);  // nobody knows which of them it was
    Replayed said = one_job(0, 0, true);
    said.evidence.findings.front().via = Via::told;
    book.add(said);  // nobody reports what is not there
    const std::vector<StrengthCell> cells = book.cells();
    ASSERT_EQ(cells.size(), 1U) << "four looks are too few to be tested";
    EXPECT_EQ(cells[0].looks, 20U);
    EXPECT_EQ(cells[0].there, 5U);
    EXPECT_TRUE(cells[0].written);
    EXPECT_NEAR(cells[0].expected, 16, 1e-12);
    double tail = 0;
    double term = std::pow(0.2, 20);
    for (int k = 0; k <= 5; ++k) {
        tail += term;
        term *= (20.0 - k) / (k + 1) * 0.8 / 0.2;
    }
    EXPECT_NEAR(cells[0].p / (2 * tail), 1, 1e-9);
}

double binomial(int n, int k, double p) {
    return std::exp(std::lgamma(n + 1) - std::lgamma(k + 1) - std::lgamma(n - k + 1)) *
           std::pow(p, k) * std::pow(1 - p, n - k);
}

// By hand: "a" shows the sign 2 times in 10; "b", which every other house has, 9 times in 10. Where
// only "a" was looked for, "b" may have been there: 1 - 0.8 * (1 - 0.45) = 0.56 of the looks.
TEST(Strengths, TooManyAllowsForAFrequentSecondCauseAndTooFewDoesNot) {
    const Knowledge knowledge = knowledge_of(R"(
[reports]
looked = { misses = "never", false_alarm = "never" }
[cause.a]
title = "A"
present = 0.1
shows = { s = 0.2 }
[cause.b]
title = "B"
present = 0.5
shows = { s = 0.9 }
[observation.s]
title = "S"
)");
    const Network network = compile(knowledge);
    constexpr int looks = 20;
    for (const int there : {0, 11, 17}) {
        SCOPED_TRACE(there);
        StrengthBook book({&knowledge, &network});
        for (int i = 0; i < looks; ++i)
            book.add(one_job(0, 0, i < there));
        const std::vector<StrengthCell> cells = book.cells();
        ASSERT_EQ(cells.size(), 1U);
        EXPECT_NEAR(cells[0].expected, 0.2 * looks, 1e-9);
        EXPECT_NEAR(cells[0].expected_most, 0.56 * looks, 1e-9);
        double many = 0;
        double few = 0;
        for (int k = 0; k <= looks; ++k) {
            many += k >= there ? binomial(looks, k, 0.56) : 0;
            few += k <= there ? binomial(looks, k, 0.2) : 0;
        }
        EXPECT_NEAR(cells[0].p / std::min(1.0, 2 * std::min(many, few)), 1, 1e-9);
    }
}

}  // namespace
}  // namespace knockwell
