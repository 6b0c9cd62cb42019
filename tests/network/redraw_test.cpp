// The counts drawn anew: many draws are compared with what is known of each distribution. The seed
// is fixed, so a test that passes always passes; bounds are four standard errors of the mean.
#include "network/network.hpp"

#include <boost/math/distributions/beta.hpp>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace knockwell {
namespace {

using Kind = StrengthLaw::Kind;
constexpr std::uint32_t draws = 4000;

Network network_with(std::vector<StrengthLaw> laws) {
    Network network;
    network.strengths = std::move(laws);
    return network;
}

/// [strength][draw]
std::vector<std::vector<double>> drawn(const Network& network) {
    std::vector<std::vector<double>> by_strength(network.strengths.size());
    for (std::uint32_t d = 0; d < draws; ++d) {
        const std::vector<double> values = redraw(network, 7, d);
        for (std::size_t i = 0; i < values.size(); ++i)
            by_strength[i].push_back(values[i]);
    }
    return by_strength;
}

double mean_of(const std::vector<double>& values) {
    double sum = 0;
    for (const double v : values)
        sum += v;
    return sum / static_cast<double>(values.size());
}

double variance_of(const std::vector<double>& values) {
    const double mean = mean_of(values);
    double sum = 0;
    for (const double v : values)
        sum += (v - mean) * (v - mean);
    return sum / static_cast<double>(values.size());
}

double share_where(const std::vector<double>& values, double low, double high) {
    const auto inside = std::count_if(values.begin(), values.end(),
                                      [&](double v) { return v >= low && v <= high; });
    return static_cast<double>(inside) / static_cast<double>(values.size());
}

/// A share of one variance, known to about sqrt(2 / draws) = 2.2 %: four of them, and a little for
/// tails that are not normal.
constexpr double variance_within = 0.12;

void expect_moments(const std::vector<double>& values, double mean, double variance) {
    EXPECT_NEAR(mean_of(values), mean, 4 * std::sqrt(variance / draws));
    EXPECT_NEAR(variance_of(values) / variance, 1, variance_within);
}

TEST(Redraw, LeavesExactNumbersAlone) {
    const Network network = network_with({{Kind::exact, 0.3, 0, 0, 0}, {Kind::exact, 4, 0, 0, 0}});
    EXPECT_EQ(redraw(network, 1, 0), (std::vector<double>{0.3, 4}));
    EXPECT_EQ(redraw(network, 2, 9), (std::vector<double>{0.3, 4}));
}

// Mean a/(a+b), variance ab / ((a+b)^2 (a+b+1)): NIST/SEMATECH e-Handbook of Statistical Methods,
// 1.3.6.6.17 (from memory).
TEST(Redraw, DrawsACountFromItsBeta) {
    const std::vector<std::vector<double>> values =
        drawn(network_with({{Kind::beta, 0.9, 9, 1, 0},
                            {Kind::beta, 0.9, 90, 10, 0},
                            {Kind::beta, 1. / 21, 0.5, 10, 0}}));
    expect_moments(values[0], 0.9, 9.0 / (100 * 11));
    expect_moments(values[1], 0.9, 900.0 / (10000 * 101));
    EXPECT_NEAR(mean_of(values[2]), 1. / 21, 4 * std::sqrt(5 / (110.25 * 11.5) / draws));
    EXPECT_EQ(share_where(values[0], 0, 1), 1);
    EXPECT_EQ(share_where(values[2], 0, 1), 1);
}

/// The largest distance of the share drawn up to x from what it should be (Kolmogorov-Smirnov).
double distance_from(const boost::math::beta_distribution<>& law, std::vector<double> values) {
    std::sort(values.begin(), values.end());
    double most = 0;
    for (std::size_t i = 0; i < values.size(); ++i) {
        const double at = boost::math::cdf(law, values[i]);
        const double low = static_cast<double>(i) / static_cast<double>(values.size());
        const double high = static_cast<double>(i + 1) / static_cast<double>(values.size());
        most = std::max({most, std::abs(at - low), std::abs(at - high)});
    }
    return most;
}

// Against Boost.Math's beta distribution: of draws from it the distance is above 1.95 / sqrt(n)
// once in 1,000 (Kolmogorov's distribution; from memory).
TEST(Redraw, DrawsTheWholeBetaAndNotOnlyItsMoments) {
    const std::vector<std::pair<double, double>> laws = {
        {9, 1}, {0.5, 10}, {0.5, 0.5}, {1, 1}, {1.5, 8.5}, {90, 10}, {2, 998}, {400, 600}};
    std::vector<StrengthLaw> all;
    all.reserve(laws.size());
    for (const auto& [a, b] : laws)
        all.push_back({Kind::beta, a / (a + b), a, b, 0});
    const std::vector<std::vector<double>> values = drawn(network_with(all));
    for (std::size_t i = 0; i < laws.size(); ++i)
        EXPECT_LT(distance_from({laws[i].first, laws[i].second}, values[i]),
                  1.95 / std::sqrt(static_cast<double>(draws)))
            << laws[i].first << " and " << laws[i].second;
}

// Each share of a Dirichlet with sum n is a Beta by itself: mean m, variance m (1 - m) / (n + 1).
TEST(Redraw, DrawsSharesThatLeaveTheRestToNormal) {
    const std::vector<std::vector<double>> values =
        drawn(network_with({{Kind::dirichlet, 0.3, 3, 0, 2}, {Kind::dirichlet, 0.5, 5, 0, 2}}));
    expect_moments(values[0], 0.3, 0.21 / 11);
    expect_moments(values[1], 0.5, 0.25 / 11);
    std::vector<double> rest;
    for (std::size_t d = 0; d < draws; ++d)
        rest.push_back(1 - values[0][d] - values[1][d]);
    expect_moments(rest, 0.2, 0.16 / 11);
    EXPECT_EQ(share_where(rest, 0, 1), 1);
}

TEST(Redraw, DrawsChoicesThatAreEverything) {
    const Network network = network_with({{Kind::dirichlet, 0.75, 75, 4, 0},
                                          {Kind::dirichlet, 0.18, 18, 4, 0},
                                          {Kind::dirichlet, 0.07, 7, 4, 0}});
    const std::vector<std::vector<double>> values = drawn(network);
    expect_moments(values[0], 0.75, 0.75 * 0.25 / 101);
    for (std::size_t d = 0; d < draws; ++d)
        ASSERT_NEAR(values[0][d] + values[1][d] + values[2][d], 1, 1e-12) << d;
}

// A share that is never leaves the others as they are.
TEST(Redraw, DrawsNothingForAShareThatIsNever) {
    const std::vector<std::vector<double>> with =
        drawn(network_with({{Kind::dirichlet, 0.3, 3, 0, 2},
                            {Kind::dirichlet, 0, 0, 0, 2},
                            {Kind::dirichlet, 0.5, 5, 0, 2}}));
    const std::vector<std::vector<double>> without =
        drawn(network_with({{Kind::dirichlet, 0.3, 3, 0, 2}, {Kind::dirichlet, 0.5, 5, 0, 2}}));
    EXPECT_EQ(with[0], without[0]);
    EXPECT_EQ(share_where(with[1], 0, 0), 1);
    EXPECT_EQ(with[2], without[1]);
}

// Two groups side by side are two draws: each is everything by itself.
TEST(Redraw, KeepsGroupsApart) {
    const Network network = network_with({{Kind::dirichlet, 0.5, 5, 0, 0},
                                          {Kind::dirichlet, 0.5, 5, 0, 0},
                                          {Kind::dirichlet, 0.5, 5, 1, 0},
                                          {Kind::dirichlet, 0.5, 5, 1, 0}});
    const std::vector<double> values = redraw(network, 1, 0);
    EXPECT_NEAR(values[0] + values[1], 1, 1e-12);
    EXPECT_NEAR(values[2] + values[3], 1, 1e-12);
    EXPECT_NE(values[0], values[2]);
}

// The written value is the median, and 95.45 % lie within two standard deviations of the logarithm
// (normal distribution, tables; from memory): that is what "give or take" says.
TEST(Redraw, DrawsAMultiplierToItsFactor) {
    const std::vector<double> times =
        drawn(network_with({{Kind::log_normal, 4, std::log(2.0) / 2, 0, 0}})).front();
    EXPECT_NEAR(share_where(times, 0, 4), 0.5, 4 * std::sqrt(0.25 / draws));
    EXPECT_NEAR(share_where(times, 2, 8), 0.9545, 4 * std::sqrt(0.9545 * 0.0455 / draws));
}

TEST(Redraw, DrawsAJudgedRateByItsOdds) {
    const double rate = 0.2;
    std::vector<double> odds =
        drawn(network_with({{Kind::log_normal_odds, rate, std::log(3.0) / 2, 0, 0}})).front();
    for (double& p : odds) {
        ASSERT_TRUE(p > 0 && p < 1) << p;
        p = p / (1 - p);
    }
    EXPECT_NEAR(share_where(odds, 0, 0.25), 0.5, 4 * std::sqrt(0.25 / draws));
    EXPECT_NEAR(share_where(odds, 0.25 / 3, 0.75), 0.9545, 4 * std::sqrt(0.9545 * 0.0455 / draws));
}

TEST(Redraw, LeavesACertainRateCertain) {
    const Network network = network_with(
        {{Kind::log_normal_odds, 0, 0.5, 0, 0}, {Kind::log_normal_odds, 1, 0.5, 0, 0}});
    EXPECT_EQ(redraw(network, 1, 0), (std::vector<double>{0, 1}));
}

TEST(Redraw, DependsOnSeedAndDrawAlone) {
    const Network network = network_with({{Kind::beta, 0.5, 5, 5, 0}});
    const double first = redraw(network, 1, 0).front();
    EXPECT_EQ(redraw(network, 1, 0).front(), first);
    std::set<double> others{first, redraw(network, 1, 1).front(), redraw(network, 2, 0).front(),
                            redraw(network, (std::uint64_t{1} << 32U) + 1, 0).front()};
    EXPECT_EQ(others.size(), 4U) << "the draw and both halves of the seed count";
}

// Two equal counts are two counts: with 4000 draws a correlation of independent ones stays within
// 4 / sqrt(4000).
TEST(Redraw, DrawsEqualCountsApart) {
    const std::vector<std::vector<double>> values =
        drawn(network_with({{Kind::beta, 0.5, 5, 5, 0}, {Kind::beta, 0.5, 5, 5, 0}}));
    double together = 0;
    for (std::size_t d = 0; d < draws; ++d)
        together += (values[0][d] - 0.5) * (values[1][d] - 0.5);
    const double correlation = together / draws / (0.25 / 11);
    EXPECT_NEAR(correlation, 0, 4 / std::sqrt(static_cast<double>(draws)));
}

}  // namespace
}  // namespace knockwell
