// Published worked examples on the order of repairs and the choice of a test, in minutes instead of
// money. Numbers and answers: the source that each names; where it gives a model alone the numbers
// are an example of ours, enumerated by hand.
#include "advice/ahead.hpp"
#include "advice/well.hpp"

#include <numeric>

namespace knockwell {
namespace {

Mend mend_of(std::size_t cause, double minutes) { return {minutes, {{CauseId(cause), 1}}}; }

// Two possible causes: looking for the first costs C1, mending it R1; looked for in vain, it is the
// other one, which costs C2 + R2. The first is looked for first exactly where p / C1 >= (1 - p) /
// C2. S. Ross, A First Course in Probability, chapter 4 (from memory).
TEST(WorkedExamples, OfTwoCausesTheCheaperPerChanceIsLookedForFirst) {
    const auto order = [](double p) {
        const std::vector<double> shares = {p, 1 - p};
        const std::vector<Mend> mends = {mend_of(0, 10), mend_of(1, 15)};
        const Mending got = mend_in_order(shares, mends, 1000);
        return std::pair{got.order, got.minutes + 20 * p + 30 * (1 - p)};
    };
    EXPECT_EQ(order(0.3).first, (std::vector<std::size_t>{1, 0}));
    EXPECT_NEAR(order(0.3).second, 45, 1e-12);
    EXPECT_EQ(order(0.4 - 1e-6).first.front(), 1U);
    EXPECT_EQ(order(0.4 + 1e-6).first.front(), 0U);
    // At the threshold both ways cost the same: 10 + 0.4 * 20 + 0.6 * (15 + 30).
    EXPECT_NEAR(order(0.4).second, 45, 1e-12);
}

// Look, mend what is found, else go on; at last a service call: the cost model of D. Heckerman, J.
// S. Breese, K. Rommelse, CACM 38(3), 1995, pp. 49-57. All ordered subsets enumerated.
TEST(WorkedExamples, LookingForPartsInOrderWithAServiceCallAtLast) {
    const std::vector<double> shares = {0.3, 0.3, 0.2, 0.15};
    const std::vector<double> mending = {50, 20, 35, 80};
    const std::vector<Mend> looks = {mend_of(0, 4), mend_of(1, 6), mend_of(2, 3), mend_of(3, 9)};
    const Mending got = mend_in_order(shares, looks, 150);
    EXPECT_EQ(got.order, (std::vector<std::size_t>{0, 2, 1, 3}));
    const std::vector<double> by_parts = {150, 124, 103.1, 67.1, 58.4};
    for (std::size_t k = 0; k < by_parts.size(); ++k) {
        const std::vector<std::size_t> first(got.order.begin(),
                                             got.order.begin() + static_cast<std::ptrdiff_t>(k));
        const double mended =
            std::accumulate(first.begin(), first.end(), 0.0, [&](double sum, std::size_t i) {
                return sum + shares[i] * mending[i];
            });
        EXPECT_NEAR(minutes_in_order(shares, looks, first, 150) + mended, by_parts[k], 1e-9)
            << "service after " << k;
    }
}

// Printed circuit boards tested until one part fails: ascending cost by chance to fail (a
// decision-analysis textbook's exercise; the rule: L. G. Mitten, 1960). The engine has no such
// stopping rule; its order of repairs is the same rule.
TEST(WorkedExamples, PartsOfABoardInTheOrderOfMitten) {
    const std::vector<double> fails = {0.125, 0.075, 0.14};
    const std::vector<Mend> tests = {mend_of(0, 1.75), mend_of(1, 2), mend_of(2, 2.4)};
    EXPECT_EQ(mend_in_order(fails, tests, 1000).order, (std::vector<std::size_t>{0, 2, 1}));
}

// A venture with a pay-off in each state, beside doing nothing, is one repair: it costs `stake`,
// and what it pays beyond is a chance to be spared the last resort. What is gained is the last
// resort less the minutes.
struct Venture {
    std::vector<double> shares;
    std::vector<double> pays;
    Showing test;
    double fare = 0;
};

Outlook outlook_of(const Venture& it, double stake, double last_resort) {
    Outlook outlook;
    outlook.shares = it.shares;
    outlook.mends.emplace_back();
    for (std::size_t state = 0; state < it.shares.size(); ++state)
        outlook.mends[0].push_back({CauseId(state), (it.pays[state] + stake) / last_resort});
    outlook.looks = {it.test};
    outlook.here = {{stake}, {it.fare}};
    outlook.after_look = {outlook.here};
    outlook.last_resort = last_resort;
    return outlook;
}

// H. Raiffa, Decision Analysis, 1968: drill for oil, or sound first for 10. Published: 20 without
// sounding, 22.5 with it.
TEST(WorkedExamples, TheOilWildcatterSoundsFirst) {
    const Venture wildcat{{0.5, 0.3, 0.2},
                          {-70, 50, 200},
                          {{{0.1, 0.3, 0.5}, {0.3, 0.4, 0.4}, {0.6, 0.3, 0.1}}, {1, 0, 0}},
                          10};
    const Ahead got = look_ahead(outlook_of(wildcat, 70, 270), 0);
    EXPECT_NEAR(270 - got.at_once, 20, 1e-9);
    EXPECT_NEAR(270 - got.looks[0], 22.5, 1e-9);
}

// S. Russell, P. Norvig, exercise after J. Pearl, 1988: a used car is bought whatever the test
// says, so that its 50 are lost. Without it 290 are gained.
TEST(WorkedExamples, ATestThatChangesNothingIsNotMade) {
    const Venture car{{0.7, 0.3}, {500, -200}, {{{0.8, 0.35}, {0.2, 0.65}}, {1, 0}}, 50};
    const Ahead got = look_ahead(outlook_of(car, 200, 700), 0);
    EXPECT_NEAR(700 - got.at_once, 290, 1e-9);
    EXPECT_NEAR(700 - got.looks[0], 240, 1e-9);
}

// P. A. Jensen, Operations Research Models and Methods, decision analysis: a failed computer, five
// causes; 134 where the cause is known, 500 for the blind repair. Test X, read there, is worth
// less.
TEST(WorkedExamples, AFailedComputerWithItsCauseKnown) {
    Outlook it;
    it.shares = {0.15, 0.2, 0.3, 0.25, 0.1};
    for (std::size_t cause = 0; cause < 5; ++cause)
        it.mends.push_back({{CauseId(cause), 1}});
    Showing tells{std::vector<std::vector<double>>(5, std::vector<double>(5, 0.0)),
                  std::vector<double>(5, 0.2)};
    for (std::size_t cause = 0; cause < 5; ++cause)
        tells.outcome[cause][cause] = 1;
    const Showing x{
        {{0.6, 0.7, 0.15, 0.05, 0.1}, {0.2, 0.2, 0.55, 0.85, 0.3}, {0.2, 0.1, 0.3, 0.1, 0.6}},
        {0.4, 0.3, 0.3}};
    it.looks = {tells, x};
    it.here = {{100, 200, 30, 80, 500}, {0, 0}};
    it.after_look = {it.here, it.here};
    it.last_resort = 500;
    const Ahead got = look_ahead(it, 0);
    EXPECT_NEAR(got.looks[0], 134, 1e-9);
    EXPECT_LT(got.looks[0], got.looks[1]);
    EXPECT_LT(got.looks[1], got.at_once);
}

// F. V. Jensen, T. D. Nielsen, Bayesian Networks and Decision Graphs, exercise: which of two tests
// tells more about a used car. The mutual information was worked out from its numbers.
TEST(WorkedExamples, WhichOfTwoTestsTellsMoreAboutTheCar) {
    const well::Bench bench(R"(
[cause.defect]
title   = "Defect"
present = 0.3
[table.first]
states = ["none", "defects", "inconclusive"]
given  = ["defect"]
rows   = [[0.8, 0.05, 0.15], [0.05, 0.75, 0.2]]
[table.second]
states = ["none", "defects"]
given  = ["defect"]
rows   = [[0.8, 0.2], [0.25, 0.75]]
)");
    const Posterior now = bench.now();
    const auto told_by = [&](const char* id) {
        const Look look{{setting_named(bench.knowledge(), id)}, Via::sure, {}};
        return predict(bench.model(), bench.evidence, look);
    };
    const std::vector<CauseId> defect = {CauseId(std::size_t{0})};
    EXPECT_NEAR(bits(told_by("first"), now.cause, defect), 0.4768034057711559, 1e-9);
    EXPECT_NEAR(bits(told_by("second"), now.cause, defect), 0.1980223459242996, 1e-9);
    const std::vector<double> p = {0.575, 0.26, 0.165};
    const std::vector<double> then = {0.02608695652173913, 0.8653846153846154, 0.36363636363636365};
    const auto outcomes = told_by("first");
    ASSERT_EQ(outcomes.size(), p.size());
    for (std::size_t o = 0; o < p.size(); ++o) {
        EXPECT_NEAR(outcomes[o].p, p[o], 1e-12);
        EXPECT_NEAR(outcomes[o].cause[0], then[o], 1e-12);
    }
}

}  // namespace
}  // namespace knockwell
