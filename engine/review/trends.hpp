// review/trends.hpp
//
// What changes with time: for every cause of the shop whether it rises over the years, falls in one
// season, or broke out in some months.
//
// Given    closed jobs; of several at one house with one cause within a year the first alone
// Idea     jobs of a cause against its share of all jobs of the same time, so that a busy month is
//          no outbreak. Rise: exact test of the score by whole years, counted back from the last
//          job; jobs of an incomplete first one are in the other tests only. Season: exact tail of
//          a quarter's share. Outbreak: Poisson CUSUM by months towards three and towards ten times
//          as many, the chances of both added. One false discovery rate over all of them
// Source   see statistics.hpp
// Held by  tests/review/trends_test.cpp, tests/review/shops_test.cpp
#pragma once
#include "review/shop_book.hpp"

#include <cstdint>
#include <optional>
#include <vector>

namespace knockwell {

enum class TrendKind { rise, season, outbreak };

struct Trend {
    TrendKind kind = TrendKind::rise;
    std::uint32_t cause = 0;
    std::uint64_t observed = 0;  // rise: in the last year; season: in the quarter; outbreak: in its
                                 // months
    double expected = 0;         // of the same
    std::uint64_t all = 0;       // jobs of the cause; rise: in the whole years
    int from = 0;  // season: first month of the quarter, 1 to 12. outbreak: months since the year 0
    int to = 0;    // the last month, likewise
    std::vector<std::uint64_t> by_year;  // jobs of the cause in whole years, the oldest first
    std::vector<double> expected_by_year;
    double p = 1;
    double adjusted = 1;
};

struct TimeReview {
    std::vector<Trend> trends;  // smallest p first
    std::size_t tested = 0;
    std::int64_t first = 0;  // moments of the first and the last job
    std::int64_t last = 0;
    std::optional<std::int64_t> years_from;  // where the whole years begin; nothing where no job is
                                             // before that
    std::uint64_t jobs = 0;
};

[[nodiscard]] TimeReview review_time(const ShopBook& book);

/// Months since the year 0 of a moment: 12 * year + month - 1.
[[nodiscard]] int month_of(std::int64_t moment);

}  // namespace knockwell
