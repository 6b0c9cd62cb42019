// How contributions join, where weights go, and what tells two structures apart.
#include "beliefs/sum.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

TEST(Join, OfBitsIsOrDigitByDigit) {
    const Join bits{.base = 2, .digits = 3};
    EXPECT_EQ(bits(0b101, 0b011), 0b111U);
    EXPECT_EQ(bits(0b100, 0b001), 0b101U);
    EXPECT_EQ(Join{}(0, 1), 1U);
    EXPECT_EQ(Join{}(1, 1), 1U);
}

// The first digit is the fastest: 5 is (2, 1) and 7 is (1, 2), so the higher of each is (2, 2) = 8.
TEST(Join, OfLevelsIsTheHigherOfEach) {
    const Join levels{.base = 3, .digits = 2};
    EXPECT_EQ(levels(5, 7), 8U);
    EXPECT_EQ(levels(1, 6), 7U);
    const Join one_level{.base = 4, .digits = 1};
    EXPECT_EQ(one_level(1, 3), 3U);
}

TEST(Join, HasNoOrderAndNothingIsNeutral) {
    const Join join{.base = 3, .digits = 2};
    for (std::uint32_t a = 0; a < 9; ++a) {
        EXPECT_EQ(join(a, 0), a);
        EXPECT_EQ(join(a, a), a);
        for (std::uint32_t b = 0; b < 9; ++b) {
            EXPECT_EQ(join(a, b), join(b, a));
            for (std::uint32_t c = 0; c < 9; ++c)
                EXPECT_EQ(join(join(a, b), c), join(a, join(b, c)));
        }
    }
}

TEST(Weigh, OnNothingMultipliesTheFactor) {
    Sum sum;
    sum.weigh({}, {0.5});
    sum.weigh({}, {0.25});
    EXPECT_EQ(sum.factor, 0.125);
    EXPECT_TRUE(sum.weights.empty());
}

TEST(Weigh, OnOneVariableStaysWithIt) {
    Sum sum;
    const Var other = sum.add({0.5, 0.5});
    const Var var = sum.add({0.2, 0.3, 0.5});
    sum.weigh({var}, {1, 0.5, 0});
    sum.weigh({var}, {0.5, 0.5, 1});
    EXPECT_EQ(sum.variables[var].after, (std::vector<double>{0.5, 0.25, 0}));
    EXPECT_TRUE(sum.variables[other].after.empty());
    EXPECT_TRUE(sum.weights.empty());
}

TEST(Weigh, OnTwoVariablesIsAWeight) {
    Sum sum;
    const Var a = sum.add({0.5, 0.5});
    const Var b = sum.add({0.5, 0.5});
    sum.weigh({b, a}, {1, 2, 3, 4});
    ASSERT_EQ(sum.weights.size(), 1U);
    EXPECT_EQ(sum.weights[0].on, (std::vector<Var>{b, a}));
    EXPECT_EQ(sum.weights[0].table, (std::vector<double>{1, 2, 3, 4}));
}

/// Two bits of which one adds to the other, and a third that is weighed with the second.
Sum three_bits() {
    Sum sum;
    const Var a = sum.add({0.9, 0.1});
    const Var b = sum.add({0.8, 0.2});
    const Var c = sum.add({0.7, 0.3});
    sum.links.push_back({b, {a}, {1, 0, 0.5, 0.5}});
    sum.weigh({b, c}, {1, 2, 3, 4});
    return sum;
}

TEST(StructureOf, DoesNotSeeNumbers) {
    Sum other = three_bits();
    other.variables[0].start = {0.5, 0.5};
    other.links[0].rows = {1, 0, 0.1, 0.9};
    other.weights[0].table = {4, 3, 2, 1};
    other.weigh({}, {0.5});
    other.weigh({2}, {0, 1});
    EXPECT_EQ(structure_of(other), structure_of(three_bits()));
}

TEST(StructureOf, SeesWhoTouchesWhomAndHowLargeThingsAre) {
    const std::vector<std::uint32_t> plain = structure_of(three_bits());
    Sum other_target = three_bits();
    other_target.links[0].target = 2;
    EXPECT_NE(structure_of(other_target), plain);
    Sum other_source = three_bits();
    other_source.links[0].sources = {2};
    EXPECT_NE(structure_of(other_source), plain);
    Sum wider = three_bits();
    wider.variables[2].values = 3;
    EXPECT_NE(structure_of(wider), plain);
    Sum weighed_elsewhere = three_bits();
    weighed_elsewhere.weights[0].on = {0, 2};
    EXPECT_NE(structure_of(weighed_elsewhere), plain);
    Sum unlinked = three_bits();
    unlinked.links.clear();
    EXPECT_NE(structure_of(unlinked), plain);
    Sum more = three_bits();
    more.add({1.0, 0.0});
    EXPECT_NE(structure_of(more), plain);
}

}  // namespace
}  // namespace knockwell
