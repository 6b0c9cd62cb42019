// Sums small enough to add up on paper; the sums on paper stand beside the checks.
#include "beliefs/whole.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace knockwell {
namespace {

Shares solve(const Sum& sum) {
    PlanCache plans;
    const SumParts parts = parts_of(sum, plans);
    Shares shares = shares_of(sum, parts);
    EXPECT_EQ(shares.possible, std::isfinite(log_sum_of(sum, parts)));
    if (shares.possible) {
        EXPECT_DOUBLE_EQ(log_sum_of(sum, parts), shares.log_sum);
    }
    return shares;
}

void expect_sum(const Shares& shares, double sum) {
    ASSERT_TRUE(shares.possible);
    EXPECT_NEAR(shares.log_sum, std::log(sum), 1e-13);
}

void expect_share(const Shares& shares, Var var, std::vector<double> parts) {
    double whole = 0;
    for (const double part : parts)
        whole += part;
    for (std::size_t a = 0; a < parts.size(); ++a)
        EXPECT_NEAR(shares.of(var, a), parts[a] / whole, 1e-13) << "variable " << var << ", " << a;
}

/// `source` brings `target` on with this chance.
void brings_on(Sum& sum, Var source, Var target, double chance) {
    sum.link(target, {source}, {1, 0, 1 - chance, chance});
}

void found(Sum& sum, Var var, bool present) {
    sum.weigh({var}, {present ? 0.0 : 1.0, present ? 1.0 : 0.0});
}

// --- a chain a -> b -> c

Sum chain(bool c_found) {
    Sum sum;
    const Var a = sum.add({0.7, 0.3});
    const Var b = sum.add({0.9, 0.1});
    const Var c = sum.add({1, 0});
    brings_on(sum, a, b, 0.8);
    brings_on(sum, b, c, 0.5);
    found(sum, c, c_found);
    return sum;
}

// P(b | not a) = 0.1, P(b | a) = 1 - 0.9 * 0.2 = 0.82, P(c | b) = 0.5
// P(c) = 0.5 * (0.7 * 0.1 + 0.3 * 0.82) = 0.5 * (0.07 + 0.246) = 0.158
TEST(Frontier, AddsUpAChainWhoseEndIsFound) {
    const Shares shares = solve(chain(true));
    expect_sum(shares, 0.158);
    expect_share(shares, 0, {0.035, 0.123});
    expect_share(shares, 1, {0, 1});
    expect_share(shares, 2, {0, 1});
}

// What is left: P(not c) = 0.842, with a: 0.3 - 0.123, with b: 0.316 - 0.158
TEST(Frontier, AddsUpAChainWhoseEndIsAbsent) {
    const Shares shares = solve(chain(false));
    expect_sum(shares, 0.842);
    expect_share(shares, 0, {0.665, 0.177});
    expect_share(shares, 1, {0.684, 0.158});
}

// --- two causes of one sign

Sum two_causes() {
    Sum sum;
    const Var a = sum.add({0.9, 0.1});
    const Var b = sum.add({0.8, 0.2});
    const Var sign = sum.add({0.95, 0.05});
    brings_on(sum, a, sign, 0.9);
    brings_on(sum, b, sign, 0.6);
    found(sum, sign, true);
    return sum;
}

// Not seen: neither 0.72 * 0.95 = 0.684, a alone 0.08 * 0.095 = 0.0076, b alone 0.18 * 0.38 =
// 0.0684, both 0.02 * 0.038 = 0.00076; together 0.76076.
TEST(Frontier, AddsUpANoisyOrOfTwoCauses) {
    const Shares shares = solve(two_causes());
    expect_sum(shares, 0.23924);
    expect_share(shares, 0, {0.1476, 0.09164});  // a: 0.1 - 0.0076 - 0.00076
    expect_share(shares, 1, {0.1084, 0.13084});  // b: 0.2 - 0.0684 - 0.00076
}

// With b known a has less to explain: 0.02 - 0.00076 of 0.2 - 0.06916.
TEST(Frontier, LetsOneCauseExplainTheOtherAway) {
    Sum sum = two_causes();
    found(sum, 1, true);
    const Shares shares = solve(sum);
    expect_sum(shares, 0.13084);
    expect_share(shares, 0, {0.1116, 0.01924});
}

// --- one cause of two signs

// P(first | not a) = 0.1, P(first | a) = 1 - 0.9 * 0.2 = 0.82;
// P(second | not a) = 0.2, P(second | a) = 1 - 0.8 * 0.5 = 0.6
TEST(Frontier, AddsUpASharedCauseOfTwoSigns) {
    Sum sum;
    const Var a = sum.add({0.99, 0.01});
    const Var first = sum.add({0.9, 0.1});
    const Var second = sum.add({0.8, 0.2});
    brings_on(sum, a, first, 0.8);
    brings_on(sum, a, second, 0.5);
    found(sum, first, true);
    const Shares one = solve(sum);  // nothing is known of the second
    expect_sum(one, 0.1072);
    expect_share(one, a, {0.099, 0.0082});
    expect_share(one, second, {0.0792 + 0.00328, 0.0198 + 0.00492});

    found(sum, second, true);
    const Shares both = solve(sum);
    expect_sum(both, 0.02472);
    expect_share(both, a, {0.0198, 0.00492});
}

// --- more than two values

// The leak draws a level, the cause draws one, the higher is seen. With the cause: at most 0:
// 0.9 * 0.5 = 0.45; at most 1: 0.97 * 0.8 = 0.776; so 0.45, 0.326, 0.224.
TEST(Frontier, AddsUpALevelOfThreeValues) {
    Sum sum;
    const Var cause = sum.add({0.8, 0.2});
    const Var level = sum.add({0.9, 0.07, 0.03}, {.base = 3, .digits = 1});
    sum.link(level, {cause}, {1, 0, 0, 0.5, 0.3, 0.2});
    const Shares unseen = solve(sum);
    expect_sum(unseen, 1);
    expect_share(unseen, level, {0.72 + 0.09, 0.056 + 0.0652, 0.024 + 0.0448});

    sum.weigh({level}, {0, 1, 0.5});  // surely raised, level 2 only half believed
    const Shares seen = solve(sum);
    expect_sum(seen, 0.1556);  // 0.8 * (0.07 + 0.015) + 0.2 * (0.326 + 0.112)
    expect_share(seen, cause, {0.068, 0.0876});
    expect_share(seen, level, {0, 0.1212, 0.0344});
}

// A second cause beside it, at most 0 with 0.6 and at most 1 surely. Raised, level 2 half believed:
// neither 0.085, the first 0.438, the second 0.43 + 0.015, both (0.776 - 0.27) + 0.112 = 0.618.
TEST(Frontier, AddsUpALevelThatTwoCausesRaise) {
    Sum sum;
    const Var first = sum.add({0.8, 0.2});
    const Var second = sum.add({0.5, 0.5});
    const Var level = sum.add({0.9, 0.07, 0.03}, {.base = 3, .digits = 1});
    sum.link(level, {first}, {1, 0, 0, 0.5, 0.3, 0.2});
    sum.link(level, {second}, {1, 0, 0, 0.6, 0.4, 0});
    sum.weigh({level}, {0, 1, 0.5});
    const Shares shares = solve(sum);
    expect_sum(shares, 0.3176);  // 0.4 * 0.085 + 0.1 * 0.438 + 0.4 * 0.445 + 0.1 * 0.618
    expect_share(shares, first, {0.034 + 0.178, 0.0438 + 0.0618});
    expect_share(shares, second, {0.034 + 0.0438, 0.178 + 0.0618});
}

// Two bits in one variable. Always: the first bit with 0.5. The cause, if there: both bits 0.1, the
// second 0.2, the first 0.3, none 0.4. With the cause: none 0.4 * 0.5, the first 0.4 * 0.5 + 0.3,
// the second 0.2 * 0.5, both 0.2 * 0.5 + 0.1.
TEST(Frontier, JoinsTheBitsOfOneVariable) {
    Sum sum;
    const Var cause = sum.add({0.5, 0.5});
    const Var bits = sum.add({1, 0, 0, 0}, {.base = 2, .digits = 2});
    sum.link(bits, {cause}, {1, 0, 0, 0, 0.4, 0.3, 0.2, 0.1});
    sum.link(bits, {}, {0.5, 0.5, 0, 0});
    const Shares shares = solve(sum);
    expect_sum(shares, 1);
    expect_share(shares, bits, {0.25 + 0.1, 0.25 + 0.25, 0.05, 0.1});

    sum.weigh({bits}, {0, 0, 0, 1});
    expect_share(solve(sum), cause, {0, 1});
}

// 0.5 * (0.4 + 1.2) + 0.3 * (1.2 + 2.4) + 0.2 * (2.0 + 3.6) = 0.8 + 1.08 + 1.12
TEST(Frontier, WeighsTwoVariablesTogether) {
    Sum sum;
    const Var a = sum.add({0.5, 0.3, 0.2});
    const Var b = sum.add({0.4, 0.6});
    sum.weigh({a, b}, {1, 2, 3, 4, 5, 6});
    const Shares shares = solve(sum);
    expect_sum(shares, 3);
    expect_share(shares, a, {0.8, 1.08, 1.12});
    expect_share(shares, b, {0.96, 2.04});
}

// A cause brings on another only under the second choice, and that choice does so by itself too:
// 0.5 * (0.2 * 0.1) + 0.5 * (0.8 * 0.4 + 0.2 * 0.7) = 0.01 + 0.23
TEST(Frontier, LinksFromTwoSourcesTheFirstSlowest) {
    Sum sum;
    const Var choice = sum.add({0.5, 0.5});
    const Var cause = sum.add({0.8, 0.2});
    const Var other = sum.add({1, 0});
    sum.link(other, {choice, cause}, {1, 0, 0.9, 0.1, 0.6, 0.4, 0.3, 0.7});
    found(sum, other, true);
    const Shares shares = solve(sum);
    expect_sum(shares, 0.24);
    expect_share(shares, choice, {0.01, 0.23});
    expect_share(shares, cause, {0.16, 0.08});
}

// What is surely absent is folded into the rows: 0.8 * 1 + 0.2 * 0.25
TEST(Frontier, TakesRowsThatDoNotSumToOne) {
    Sum sum;
    const Var cause = sum.add({0.8, 0.2});
    const Var sign = sum.add({1, 0});
    sum.link(sign, {cause}, {1, 0, 0.25, 0});
    const Shares shares = solve(sum);
    expect_sum(shares, 0.85);
    expect_share(shares, cause, {0.8, 0.05});
}

// --- the whole

TEST(Frontier, MultipliesWhatDoesNotHangTogether) {
    Sum sum = two_causes();
    const Var alone = sum.add({0.6, 0.4});
    sum.weigh({alone}, {0.5, 1});
    sum.weigh({}, {0.125});
    const Shares shares = solve(sum);
    expect_sum(shares, 0.23924 * 0.7 * 0.125);
    expect_share(shares, 0, {0.1476, 0.09164});
    expect_share(shares, alone, {0.3, 0.4});
}

TEST(Frontier, OfNothingIsTheFactor) {
    Sum sum;
    sum.factor = 0.25;
    expect_sum(solve(sum), 0.25);
}

TEST(Frontier, SaysWhatIsImpossible) {
    Sum contradicted = chain(true);
    found(contradicted, 1, false);
    EXPECT_FALSE(solve(contradicted).possible);

    Sum nothing_left = chain(true);
    nothing_left.factor = 0;
    EXPECT_FALSE(solve(nothing_left).possible);
}

// Two hundred findings of one in a hundred thousand: 1e-1000 is no double, its logarithm is.
TEST(Frontier, KeepsItsDigitsWhereTheSumIsTooSmallForANumber) {
    Sum sum;
    const Var cause = sum.add({0.25, 0.75});
    for (int i = 0; i < 200; ++i) {
        const Var sign = sum.add({1, 1});
        sum.weigh({cause, sign}, {1e-5, 0, 0, 1e-5});
    }
    const Shares shares = solve(sum);
    ASSERT_TRUE(shares.possible);
    EXPECT_NEAR(shares.log_sum, -1000 * std::log(10.0), 1e-9);
    expect_share(shares, cause, {0.25, 0.75});
}

}  // namespace
}  // namespace knockwell
