// How contributions join, where weights go, and what tells two structures apart.
#include "beliefs/join_rows.hpp"
#include "beliefs/sum.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdint>
#include <vector>

namespace knockwell {
namespace {

/// The value that two values join to, as rows are joined that have one of them each.
std::uint32_t joined(const Join& join, std::uint32_t a, std::uint32_t b) {
    std::uint32_t values = 1;
    for (std::uint32_t d = 0; d < join.digits; ++d)
        values *= join.base;
    const auto only = [&](std::uint32_t value) {
        std::vector<double> row(values, 0.0);
        row[value] = 1;
        return row;
    };
    std::vector<double> into(values, -1.0);
    std::vector<double> room(room_of(join));
    join_into(into.data(), only(a).data(), only(b).data(), values, join, room.data());
    EXPECT_EQ(std::count(into.begin(), into.end(), 0.0), values - 1);
    return static_cast<std::uint32_t>(std::find(into.begin(), into.end(), 1.0) - into.begin());
}

TEST(Join, OfBitsIsOrDigitByDigit) {
    const Join bits{.base = 2, .digits = 3};
    EXPECT_EQ(joined(bits, 0b101, 0b011), 0b111U);
    EXPECT_EQ(joined(bits, 0b100, 0b001), 0b101U);
    EXPECT_EQ(joined(Join{}, 0, 1), 1U);
    EXPECT_EQ(joined(Join{}, 1, 1), 1U);
}

// The first digit is the fastest: 5 is (2, 1) and 7 is (1, 2), so the higher of each is (2, 2) = 8.
TEST(Join, OfLevelsIsTheHigherOfEach) {
    const Join levels{.base = 3, .digits = 2};
    EXPECT_EQ(joined(levels, 5, 7), 8U);
    EXPECT_EQ(joined(levels, 1, 6), 7U);
    const Join one_level{.base = 4, .digits = 1};
    EXPECT_EQ(joined(one_level, 1, 3), 3U);
}

TEST(Join, HasNoOrderAndNothingIsNeutral) {
    const Join join{.base = 3, .digits = 2};
    for (std::uint32_t a = 0; a < 9; ++a) {
        EXPECT_EQ(joined(join, a, 0), a);
        EXPECT_EQ(joined(join, a, a), a);
        for (std::uint32_t b = 0; b < 9; ++b) {
            EXPECT_EQ(joined(join, a, b), joined(join, b, a));
            for (std::uint32_t c = 0; c < 9; ++c)
                EXPECT_EQ(joined(join, joined(join, a, b), c), joined(join, a, joined(join, b, c)));
        }
    }
}

std::vector<double> numbers(const Sum& sum, Slot first, std::size_t count) {
    return {sum.numbers.data() + first, sum.numbers.data() + first + count};
}

TEST(Weigh, OnNothingMultipliesTheFactor) {
    Sum sum;
    sum.weigh({}, {0.5});
    sum.weigh({}, {0.25});
    EXPECT_EQ(sum.factor, 0.125);
    EXPECT_TRUE(sum.shape.weights.empty());
}

TEST(Weigh, OnOneVariableStaysWithIt) {
    Sum sum;
    const Var other = sum.add({0.5, 0.5});
    const Var var = sum.add({0.2, 0.3, 0.5});
    sum.weigh({var}, {1, 0.5, 0});
    sum.weigh({var}, {0.5, 0.5, 1});
    EXPECT_EQ(numbers(sum, sum.shape.variables[var].after, 3), (std::vector{0.5, 0.25, 0.0}));
    EXPECT_EQ(numbers(sum, sum.shape.variables[other].after, 2), (std::vector{1.0, 1.0}));
    EXPECT_TRUE(sum.shape.weights.empty());
}

TEST(Weigh, OnTwoVariablesIsAWeight) {
    Sum sum;
    const Var a = sum.add({0.5, 0.5});
    const Var b = sum.add({0.5, 0.5});
    sum.weigh({b, a}, {1, 2, 3, 4});
    ASSERT_EQ(sum.shape.weights.size(), 1U);
    const SumWeight& weight = sum.shape.weights[0];
    EXPECT_TRUE(std::ranges::equal(sum.shape.on(weight), std::vector{b, a}));
    EXPECT_EQ(numbers(sum, weight.table, 4), (std::vector{1.0, 2.0, 3.0, 4.0}));
}

// Nothing, or the first level with 0.3, joined with the second level with 0.5: at most nothing 0.7
// * 0.5, at most the first 1 * 0.5.
TEST(Link, FromNothingJoinsTheStart) {
    Sum sum;
    const Var level = sum.add({0.7, 0.3, 0.0}, {.base = 3, .digits = 1});
    sum.link(level, {}, {0.5, 0.0, 0.5});
    EXPECT_TRUE(sum.shape.links.empty());
    EXPECT_EQ(numbers(sum, sum.shape.variables[level].start, 3), (std::vector{0.35, 0.15, 0.5}));
}

/// Two bits of which one adds to the other, and a third that is weighed with the second; or, with
/// other numbers, the same.
Shape three_bits(double number = 1, Var target = 1, Var source = 0, Var weighed = 1,
                 bool wider = false) {
    Sum sum;
    sum.add({0.9 * number, 0.1});
    sum.add({0.8, 0.2 * number});
    if (wider)
        sum.add({0.7, 0.2, 0.1});
    else
        sum.add({0.7, 0.3});
    const std::vector<double> rows(std::size_t{2} * sum.shape.variables[target].values,
                                   0.5 * number);
    const std::vector<Var> sources{source};
    sum.link(target, sources, rows);
    const std::vector<Var> on{weighed, 2};
    const std::vector<double> table(sum.shape.combinations(on), number);
    sum.weigh(on, table);
    return sum.shape;
}

TEST(StructureOf, DoesNotSeeNumbers) {
    EXPECT_EQ(structure_of(three_bits(0.5)), structure_of(three_bits()));
    Sum weighed;
    weighed.add({0.5, 0.5});
    const Structure plain = structure_of(weighed.shape);
    weighed.weigh({}, {0.5});
    weighed.weigh({0}, {0, 1});
    weighed.link(0, {}, {0.5, 0.5});
    EXPECT_EQ(structure_of(weighed.shape), plain);
}

TEST(StructureOf, SeesWhoTouchesWhomAndHowLargeThingsAre) {
    const Structure plain = structure_of(three_bits());
    EXPECT_NE(structure_of(three_bits(1, 2)), plain) << "another target";
    EXPECT_NE(structure_of(three_bits(1, 1, 2)), plain) << "another source";
    EXPECT_NE(structure_of(three_bits(1, 1, 0, 0)), plain) << "weighed elsewhere";
    EXPECT_NE(structure_of(three_bits(1, 1, 0, 1, true)), plain) << "more values";
    Shape unlinked = three_bits();
    unlinked.links.clear();
    EXPECT_NE(structure_of(unlinked), plain);
    Shape more = three_bits();
    more.add(2, {}, 0, 0);
    EXPECT_NE(structure_of(more), plain);
}

}  // namespace
}  // namespace knockwell
