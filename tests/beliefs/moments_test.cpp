// Bounds from moments hold for whatever has these moments, and are narrow where few values are
// taken.
#include "beliefs/moments.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <vector>

namespace knockwell {
namespace {

struct Mass {
    double at = 0;  // the chance
    double share = 0;
};

Moments moments_of(const std::vector<Mass>& masses, double least, double most, std::size_t count) {
    Moments moments{least, most, count, {}, {}};
    for (const Mass& it : masses)
        for (std::size_t n = 0; n <= count; ++n) {
            moments.mean[n] += it.share * std::pow((it.at - least) / (most - least), n);
            moments.off[n] += 1e-15 * it.share;
        }
    return moments;
}

double entropy(double p) { return p > 0 ? -p * std::log2(p) : 0; }

double height(double p, const Curve& curve) {
    if (curve.of == Curve::Of::alarm)
        return entropy(1 - p) + entropy(curve.alarm) - entropy(1 - p + curve.alarm);
    return entropy(p) + (curve.of == Curve::Of::both ? entropy(1 - p) : 0);
}

double entropy(const std::vector<Mass>& masses, const Curve& curve) {
    double sum = 0;
    for (const Mass& it : masses)
        sum += it.share * height(it.at, curve);
    return sum;
}

testing::AssertionResult encloses(const Range& bounds, double truth) {
    if (bounds.low <= truth + 1e-15 && truth - 1e-15 <= bounds.high)
        return testing::AssertionSuccess();
    return testing::AssertionFailure()
           << truth << " is not between " << bounds.low << " and " << bounds.high;
}

constexpr Curve curves[] = {{Curve::Of::one}, {Curve::Of::both}, {Curve::Of::alarm, 0.01}};

TEST(MeanEntropy, IsEnclosedWhateverTheChanceIs) {
    std::mt19937_64 engine(1);
    const auto dice = [&] { return static_cast<double>(engine() >> 11U) * 0x1.0p-53; };
    double width = 0;
    for (int round = 0; round < 5000; ++round) {
        const double least = round % 3 == 0 ? 0 : dice() / 2;
        const double most = round % 5 == 0 ? 1 : least + dice() * (1 - least);
        std::vector<Mass> masses(1 + engine() % 12);
        double all = 0;
        for (Mass& it : masses) {
            // Now anywhere, now at an end, now crowded near one.
            const double where[] = {dice(), 0, 1, std::pow(dice(), 8)};
            it = {least + (most - least) * where[engine() % 4], dice()};
            all += it.share;
        }
        for (Mass& it : masses)
            it.share /= all * (round % 2 == 0 ? 1 : 4);
        for (const std::size_t count : {1U, 3U, 5U, 7U})
            for (const Curve& curve : curves) {
                const Range bounds = mean_entropy(moments_of(masses, least, most, count), curve);
                ASSERT_TRUE(encloses(bounds, entropy(masses, curve)))
                    << "round " << round << ", " << count << " moments";
                width += count == 7 ? bounds.high - bounds.low : 0;
            }
    }
    EXPECT_LT(width / 15000, 0.002) << "bounds that say nothing hold as well";
}

// One value less than there are points, and all that is left of a rule is exact.
TEST(MeanEntropy, IsExactForAFewValues) {
    const std::vector<std::vector<Mass>> few = {
        {{0.3, 1}},
        {{0, 1}},
        {{1, 1}},
        {{0, 0.5}, {1, 0.5}},
        {{0, 0.25}, {0.7, 0.75}},
        {{0.01, 0.9}, {0.5, 0.1}},
        {{0.01, 0.9}, {0.5, 0.05}, {0.8, 0.05}},
        {{0.5, 0}},
    };
    for (const std::vector<Mass>& masses : few)
        for (const Curve& curve : curves) {
            const Range bounds = mean_entropy(moments_of(masses, 0, 1, 7), curve);
            const double truth = entropy(masses, curve);
            EXPECT_TRUE(encloses(bounds, truth));
            EXPECT_NEAR(bounds.low, truth, 1e-7);
            EXPECT_NEAR(bounds.high, truth, 1e-7);
        }
}

TEST(MeanEntropy, OfAChanceThatCannotVaryIsItsOwn) {
    const Range bounds = mean_entropy({0.11, 0.11, 7, {1}, {}}, {Curve::Of::both});
    EXPECT_NEAR(bounds.low, 0.49991595, 1e-8);
    EXPECT_NEAR(bounds.high, 0.49991595, 1e-8);
    EXPECT_EQ(mean_entropy({0, 0, 7, {1}, {}}, {Curve::Of::one}).low, 0);
}

// With one moment: the chord below, the mean's own entropy above (Jensen).
TEST(MeanEntropy, OfOneMomentLiesBetweenChordAndJensen) {
    const Range bounds = mean_entropy({0, 1, 1, {1, 0.25}, {}}, {Curve::Of::both});
    EXPECT_NEAR(bounds.low, 0, 1e-12);
    EXPECT_NEAR(bounds.high, 0.81127812, 1e-8);
}

}  // namespace
}  // namespace knockwell
