// Rows joined by the products of single digits, against every pair of values joined one by one.
#include "beliefs/join_rows.hpp"

#include <boost/random/mersenne_twister.hpp>
#include <boost/random/uniform_01.hpp>
#include <gtest/gtest.h>

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

std::uint32_t values_of(const Join& join) {
    std::uint32_t values = 1;
    for (std::uint32_t d = 0; d < join.digits; ++d)
        values *= join.base;
    return values;
}

void expect_same(const std::vector<double>& ours, const std::vector<double>& plain) {
    ASSERT_EQ(ours.size(), plain.size());
    for (std::size_t i = 0; i < ours.size(); ++i)
        EXPECT_NEAR(ours[i] / plain[i], 1, 1e-13) << "value " << i;
}

class JoinByDigits : public testing::TestWithParam<Join> {};

TEST_P(JoinByDigits, IsEveryPairJoined) {
    const Join join = GetParam();
    const std::uint32_t values = values_of(join);
    boost::random::mt19937 dice(4100 + values);
    const auto from = spread_out(values, dice);
    const auto row = spread_out(values, dice);
    std::vector<double> plain(values, 0.0);
    for (std::uint32_t a = 0; a < values; ++a)
        for (std::uint32_t b = 0; b < values; ++b)
            plain[join(a, b)] += from[a] * row[b];
    std::vector<double> ours(values, -1.0);
    std::vector<double> room(room_of(join));
    join_into(ours.data(), from.data(), row.data(), values, join, room.data());
    expect_same(ours, plain);
}

TEST_P(JoinByDigits, ItsSlopeIsThatOfEveryPair) {
    const Join join = GetParam();
    const std::uint32_t values = values_of(join);
    boost::random::mt19937 dice(4200 + values);
    const auto from = spread_out(values, dice);
    const auto by = spread_out(values, dice);
    std::vector<double> plain(values, 0.5);  // it is added to what is there
    for (std::uint32_t a = 0; a < values; ++a)
        for (std::uint32_t b = 0; b < values; ++b)
            plain[b] += from[a] * by[join(a, b)];
    std::vector<double> ours(values, 0.5);
    std::vector<double> room(room_of(join));
    slope_of_join(ours.data(), from.data(), by.data(), values, join, room.data());
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
