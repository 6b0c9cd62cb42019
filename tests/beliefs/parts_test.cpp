// A part that is added up case by case gives what it gives as a whole, and is so added up where
// that is cheaper.
#include "beliefs/parts.hpp"
#include "beliefs/whole.hpp"

#include <gtest/gtest.h>

#include <cstdint>
#include <string>
#include <vector>

namespace knockwell {
namespace {

constexpr std::uint32_t kinds = 3;

/// A setting of three kinds; for each kind a knot of bits that are there with that kind alone, each
/// two with a weight; all of them bring one sign.
Sum knots(std::uint32_t bits) {
    Sum sum;
    const Var hub = sum.add({0.5, 0.3, 0.2});
    const Var sign = sum.add({0.99, 0.01});
    for (std::uint32_t kind = 0; kind < kinds; ++kind) {
        std::vector<Var> knot;
        for (std::uint32_t i = 0; i < bits; ++i) {
            const Var bit = sum.add({1, 0});
            const double chance = 0.1 + 0.05 * i;
            std::vector<double> rows;
            for (std::uint32_t a = 0; a < kinds; ++a)
                rows.insert(rows.end(), {a == kind ? 1 - chance : 1, a == kind ? chance : 0});
            sum.link(bit, std::span(&hub, 1), rows);
            sum.shape.requirements.push_back({bit, hub, std::uint64_t{1} << kind});
            sum.link(sign, {bit}, {1, 0, 0.4, 0.6});
            for (const Var other : knot)
                sum.weigh({other, bit}, {1, 0.9, 0.8, 1.3});
            // In two of three cases all of it is known.
            if (knot.empty())
                sum.weigh({hub, bit}, {0.9, 1.2, 0.7, 1.1, 0.8, 0.6});
            knot.push_back(bit);
        }
    }
    sum.weigh({sign}, {0, 1});
    return sum;
}

Sum without_requirements(Sum sum) {
    sum.shape.requirements.clear();
    return sum;
}

TEST(PartCases, AreTakenWhereTheyAreCheaper) {
    const Sum sum = knots(6);
    PlanCache plans;
    const SumParts parts = parts_of(sum, plans, Runs::many);
    ASSERT_EQ(parts.parts.size(), 1U);
    ASSERT_NE(parts.parts[0].cases, nullptr);
    EXPECT_EQ(parts.parts[0].cases->cases.size(), kinds);
    const SumParts whole = parts_of(without_requirements(sum), plans, Runs::many);
    EXPECT_LT(parts.cost(), whole.cost() / 2);
    EXPECT_LT(parts.width(), whole.width());
}

TEST(PartCases, AreNotTakenWhereTheyAreNot) {
    PlanCache plans;
    EXPECT_EQ(parts_of(knots(1), plans, Runs::many).parts.at(0).cases, nullptr);
}

TEST(PartCases, GiveWhatTheWholeGives) {
    for (std::uint32_t bits = 1; bits < 6; ++bits) {
        SCOPED_TRACE(std::to_string(bits) + " bits");
        const Sum sum = knots(bits);
        PlanCache cases(PlanCache::Ways::wherever_possible);
        const SumParts in_cases = parts_of(sum, cases);
        ASSERT_NE(in_cases.parts.at(0).cases, nullptr);
        PlanCache plain;
        const Sum other = without_requirements(sum);
        const Shares shares = shares_of(sum, in_cases);
        const Shares right = shares_of(other, parts_of(other, plain));
        EXPECT_NEAR(shares.log_sum, right.log_sum, 1e-13);
        ASSERT_EQ(shares.share.size(), right.share.size());
        for (std::size_t i = 0; i < shares.share.size(); ++i)
            EXPECT_NEAR(shares.share[i], right.share[i], 1e-13) << i;
    }
}

// A case that the numbers rule out has no share of anything.
TEST(PartCases, MayBeImpossible) {
    Sum sum = knots(2);
    sum.weigh({0}, {0, 1, 0});
    PlanCache cases(PlanCache::Ways::wherever_possible);
    const Shares shares = shares_of(sum, parts_of(sum, cases));
    ASSERT_TRUE(shares.possible);
    EXPECT_DOUBLE_EQ(shares.of(0, 1), 1);
    EXPECT_EQ(shares.of(2, 1), 0);
    EXPECT_GT(shares.of(4, 1), 0);
    sum.weigh({0}, {1, 0, 1});
    EXPECT_FALSE(shares_of(sum, parts_of(sum, cases)).possible);
}

}  // namespace
}  // namespace knockwell
