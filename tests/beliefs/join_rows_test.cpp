// Rows joined by the products of single digits, against every pair of values joined one by one.
#include "beliefs/join_rows.hpp"

#include <boost/random/mersenne_twister.hpp>
#include <boost/random/uniform_01.hpp>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <string>
#include <vector>

namespace knockwell {
namespace {

// Chances of very different size, so that nothing may be lost beside what is large.
std::vector<double> spread_out(std::uint32_t values, boost::random::mt19937& dice) {
    boost::random::uniform_01<double> even;
    std::vector<double> all;
    for (std::uint32_t i = 0; i < values; ++i)
        all.push_back(std::pow(10.0, -30 * even(dice)));
    return all;
}

void expect_same(const std::vector<double>& ours, const std::vector<double>& plain) {
    ASSERT_EQ(ours.size(), plain.size());
    for (std::size_t i = 0; i < ours.size(); ++i)
        EXPECT_NEAR(ours[i] / plain[i], 1, 1e-13) << "value " << i;
}

class JoinByDigits : public testing::TestWithParam<Join> {
protected:
    JoinByDigits() {
        for (std::uint32_t d = 0; d < join_.digits; ++d)
            values_ *= join_.base;
        boost::random::mt19937 dice(4100 + values_);
        from_ = spread_out(values_, dice);
        other_ = spread_out(values_, dice);
    }

    /// The higher digit of each place.
    [[nodiscard]] std::uint32_t joined(std::uint32_t a, std::uint32_t b) const {
        std::uint32_t value = 0;
        for (std::uint32_t place = 1; place < values_; place *= join_.base)
            value += place * std::max(a / place % join_.base, b / place % join_.base);
        return value;
    }

    Join join_ = GetParam();
    std::uint32_t values_ = 1;
    std::vector<double> from_, other_;
    std::vector<double> room_ = std::vector<double>(room_of(join_));
};

TEST_P(JoinByDigits, IsEveryPairJoined) {
    std::vector<double> plain(values_, 0.0);
    for (std::uint32_t a = 0; a < values_; ++a)
        for (std::uint32_t b = 0; b < values_; ++b)
            plain[joined(a, b)] += from_[a] * other_[b];
    std::vector<double> ours(values_, -1.0);
    join_into(ours.data(), from_.data(), other_.data(), values_, join_, room_.data());
    expect_same(ours, plain);
}

TEST_P(JoinByDigits, ItsSlopeIsThatOfEveryPair) {
    std::vector<double> plain(values_, 0.0);
    std::vector<double> ours = plain;
    for (std::uint32_t a = 0; a < values_; ++a)
        for (std::uint32_t b = 0; b < values_; ++b)
            plain[b] += from_[a] * other_[joined(a, b)];
    slope_of_join(ours.data(), from_.data(), other_.data(), values_, join_, room_.data());
    expect_same(ours, plain);
    // It is added to what is there.
    slope_of_join(ours.data(), from_.data(), other_.data(), values_, join_, room_.data());
    for (double& slope : plain)
        slope *= 2;
    expect_same(ours, plain);
}

INSTANTIATE_TEST_SUITE_P(Of, JoinByDigits,
                         testing::Values(Join{1, 1}, Join{2, 1}, Join{5, 1}, Join{2, 2}, Join{2, 3},
                                         Join{2, 6}, Join{3, 2}, Join{3, 3}, Join{5, 2},
                                         Join{4, 3}),
                         [](const auto& it) {
                             return "Base" + std::to_string(it.param.base) + "Digits" +
                                    std::to_string(it.param.digits);
                         });

}  // namespace
}  // namespace knockwell
