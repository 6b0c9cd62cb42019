// What changes with time, on shops that are made so.
#include "job/time_text.hpp"
#include "review/trends.hpp"

#include <gtest/gtest.h>

#include <numeric>

namespace knockwell {
namespace {

Summary on_day(const std::string& date, const std::string& cause, int house) {
    Summary summary;
    summary.area = "here";
    summary.installation = std::to_string(house);
    summary.opened = *parse_time(date + "T12:00:00Z");
    summary.closed = summary.opened;
    summary.outcome = "cured";
    summary.causes = {{cause, "seen"}};
    return summary;
}

std::string date_of(int year, int month, int day) {
    const auto two = [](int n) { return (n < 10 ? "0" : "") + std::to_string(n); };
    return std::to_string(year) + "-" + two(month) + "-" + two(day);
}

const Trend* trend_of(const TimeReview& review, const ShopBook& book, TrendKind kind,
                      const std::string& cause) {
    for (const Trend& trend : review.trends)
        if (trend.kind == kind && book.causes[trend.cause] == cause)
            return &trend;
    return nullptr;
}

/// Six years, ten steady jobs a month; `more` says how many of another cause a month brings.
template <class More>
ShopBook shop(More more) {
    ShopBook book;
    int house = 0;
    for (int year = 2020; year < 2026; ++year)
        for (int month = 1; month <= 12; ++month) {
            for (int i = 0; i < 10; ++i)
                book.add(on_day(date_of(year, month, 3 + 2 * i), "steady", ++house));
            for (int i = 0; i < more(year, month); ++i)
                book.add(on_day(date_of(year, month, 4 + 2 * i), "other", ++house));
        }
    return book;
}

TEST(Trends, MonthsAreCountedByTheCalendar) {
    EXPECT_EQ(month_of(*parse_time("1970-01-01T00:00:00Z")), 12 * 1970);
    EXPECT_EQ(month_of(*parse_time("2026-11-30T23:59:59Z")), 12 * 2026 + 10);
    EXPECT_EQ(month_of(*parse_time("1969-12-31T23:59:59Z")), 12 * 1970 - 1);
}

TEST(Trends, WhatRisesFromYearToYearIsSeen) {
    const ShopBook book =
        shop([](int year, int month) { return month % 2 == 0 ? year - 2020 : 0; });
    const TimeReview review = review_time(book);
    const Trend* rise = trend_of(review, book, TrendKind::rise, "other");
    ASSERT_NE(rise, nullptr);
    EXPECT_LT(rise->adjusted, 0.001);
    EXPECT_GT(trend_of(review, book, TrendKind::rise, "steady")->adjusted, 0.1);
}

// Six years less some days are five whole ones: what is before them is in none, not in the first.
TEST(Trends, EveryYearIsAWholeOne) {
    const ShopBook book = shop([](int, int month) { return month % 3 == 0 ? 1 : 0; });
    const TimeReview review = review_time(book);
    const Trend* rise = trend_of(review, book, TrendKind::rise, "steady");
    ASSERT_NE(rise, nullptr);
    ASSERT_EQ(rise->by_year.size(), 5U);
    for (const std::uint64_t year : rise->by_year)
        EXPECT_NEAR(static_cast<double>(year), 120, 2);
    EXPECT_EQ(rise->all,
              std::accumulate(rise->by_year.begin(), rise->by_year.end(), std::size_t{0}));
    EXPECT_EQ(trend_of(review, book, TrendKind::season, "steady")->all, 720U);
    ASSERT_TRUE(review.years_from);
    EXPECT_EQ(*review.years_from, review.last - 5 * year_seconds);
}

TEST(Trends, ExactlySoManyYearsLeaveNothingOut) {
    ShopBook book;
    for (int i = 0; i <= 4; ++i) {
        Summary summary = on_day("2020-01-01", "steady", i);
        summary.opened += i * year_seconds / 2;
        book.add(summary);
    }
    const TimeReview review = review_time(book);
    EXPECT_FALSE(review.years_from);
    EXPECT_EQ(review.trends.front().by_year, (std::vector<std::uint64_t>{2, 3}));
}

TEST(Trends, WhatKeepsToASeasonIsSeen) {
    const ShopBook book = shop([](int, int month) { return month <= 3 ? 2 : 0; });
    const TimeReview review = review_time(book);
    const Trend& first = review.trends.front();
    EXPECT_EQ(first.kind, TrendKind::season);
    EXPECT_EQ(book.causes[first.cause], "other");
    EXPECT_EQ(first.from, 1);
    EXPECT_EQ(first.to, 3);
    EXPECT_EQ(first.observed, 36U);
    EXPECT_GT(trend_of(review, book, TrendKind::rise, "other")->adjusted, 0.1);
}

TEST(Trends, AnOutbreakIsSeenAtItsMonths) {
    const ShopBook book = shop([](int year, int month) {
        return year == 2023 && month >= 6 && month <= 8 ? 6 : month % 3 == 0 ? 1 : 0;
    });
    const TimeReview review = review_time(book);
    const Trend* outbreak = trend_of(review, book, TrendKind::outbreak, "other");
    ASSERT_NE(outbreak, nullptr);
    EXPECT_LT(outbreak->adjusted, 0.001);
    EXPECT_EQ(outbreak->from, 12 * 2023 + 5);
    EXPECT_EQ(outbreak->to, 12 * 2023 + 7);
    EXPECT_EQ(outbreak->observed, 18U);
}

// A busy summer of everything is no outbreak of anything.
TEST(Trends, MoreJobsOfEverythingAreNoTrend) {
    ShopBook book;
    int house = 0;
    for (int year = 2020; year < 2026; ++year)
        for (int month = 1; month <= 12; ++month)
            for (int i = 0; i < (year == 2023 && month == 7 ? 27 : 4); ++i)
                book.add(on_day(date_of(year, month, 1 + i), i % 3 == 0 ? "one" : "two", ++house));
    for (const Trend& trend : review_time(book).trends)
        EXPECT_GT(trend.adjusted, 0.1);
}

TEST(Trends, OneHouseAgainAndAgainIsOneJobAYear) {
    ShopBook book;
    for (int i = 1; i <= 20; ++i)
        book.add(on_day(date_of(2024, 3, i), "port", 1));
    book.add(on_day("2025-06-01", "bladder", 2));
    const TimeReview review = review_time(book);
    for (const Trend& trend : review.trends)
        EXPECT_EQ(trend.all, 1U);
    EXPECT_EQ(review_time(ShopBook()).trends.size(), 0U);
}

}  // namespace
}  // namespace knockwell
