// Made-up shops with planted truths: the review finds what was planted, and of what it names no
// more is chance than it promises.
#include "job/course.hpp"
#include "job/summary.hpp"
#include "knowledge/read.hpp"
#include "review/areas.hpp"
#include "review/demo_shop.hpp"
#include "review/trends.hpp"
#include "support/cases.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <iostream>

namespace knockwell {
namespace {

constexpr double promised = 0.1;

/// What is promised, with room for chance where few shops are asked: two standard deviations of a
/// share.
double bar_for(std::uint64_t shops) {
    return promised + (shops < 200
                           ? 2 * std::sqrt(promised * (1 - promised) / static_cast<double>(shops))
                           : 0);
}

const Knowledge& shipped() {
    static const Knowledge knowledge = read_knowledge(gather_sources(KNOCKWELL_KB_DIR)).knowledge;
    return knowledge;
}

struct Played {
    ShopBook book;
    DemoTruths truths;
};

Played play(std::uint64_t seed, std::size_t jobs, bool planted) {
    Played played;
    DemoPlan plan;
    plan.seed = seed;
    plan.jobs = jobs;
    plan.planted = planted;
    played.truths =
        demo_shop(shipped(), plan, [&](const Job& job) { played.book.add(summary_of(job)); });
    return played;
}

bool is_planted(const DemoTruths& truths, bool of_time, const std::string& area,
                const std::string& cause) {
    return std::any_of(
        truths.planted.begin(), truths.planted.end(), [&](const PlantedTruth& truth) {
            const bool here = truth.areas.empty() || area.empty() || truth.areas.contains(area);
            return truth.of_time == of_time && here && truth.causes.contains(cause);
        });
}

/// What a review named, and how much of it was not planted.
struct Tally {
    double named = 0;
    double wrong = 0;
    [[nodiscard]] double share() const { return named > 0 ? wrong / named : 0; }
};

Tally areas_named(const Played& played, const AreaReview& areas) {
    Tally tally;
    for (const AreaCell& cell : areas.cells) {
        if (cell.adjusted > promised)
            continue;
        ++tally.named;
        if (!is_planted(played.truths, false, played.book.areas[cell.area],
                        played.book.causes[cell.cause]))
            ++tally.wrong;
    }
    return tally;
}

/// What changes with time is, besides the planted outbreak, the mud that began in one year.
Tally trends_named(const Played& played, const TimeReview& time) {
    Tally tally;
    for (const Trend& trend : time.trends) {
        if (trend.adjusted > promised)
            continue;
        ++tally.named;
        const std::string& cause = played.book.causes[trend.cause];
        const bool right = is_planted(played.truths, true, "", cause) ||
                           is_planted(played.truths, false, "heron-bottom", cause);
        tally.wrong += right ? 0 : 1;
    }
    return tally;
}

TEST(DemoShop, IsTheSameForTheSameSeedAndItsJobsCanBeRead) {
    std::vector<Job> once;
    std::vector<Job> again;
    DemoPlan plan;
    plan.jobs = 200;
    (void)demo_shop(shipped(), plan, [&](const Job& job) { once.push_back(job); });
    (void)demo_shop(shipped(), plan, [&](const Job& job) { again.push_back(job); });
    EXPECT_EQ(once, again);
    ASSERT_EQ(once.size(), 200U);
    for (const Job& job : once) {
        EXPECT_TRUE(is_closed(job));
        const Course course = course_of(shipped(), job);
        EXPECT_TRUE(course.lost.empty()) << course.lost.front();
    }
    plan.seed = 2;
    again.clear();
    (void)demo_shop(shipped(), plan, [&](const Job& job) { again.push_back(job); });
    EXPECT_NE(once, again);
}

// 200 shops of 3,000 jobs in six years (a tenth of them here).
TEST(Shops, WhatIsPlantedIsFoundAndOfTheRestNoMoreThanPromised) {
    double false_shares = 0;
    double false_trends = 0;
    double found = 0;
    double planted = 0;
    const std::uint64_t shops = cases(200);
    for (std::uint64_t seed = first_seed(1); seed < first_seed(1) + shops; ++seed) {
        const Played played = play(seed, 3000, true);
        const AreaReview areas = review_areas(played.book, shipped());
        const TimeReview time = review_time(played.book);
        false_shares += areas_named(played, areas).share();
        false_trends += trends_named(played, time).share();
        for (const PlantedTruth& truth : played.truths.planted) {
            ++planted;
            const bool seen_where =
                std::any_of(areas.cells.begin(), areas.cells.end(), [&](const AreaCell& cell) {
                    return !truth.of_time && cell.adjusted <= promised &&
                           truth.areas.contains(played.book.areas[cell.area]) &&
                           truth.causes.contains(played.book.causes[cell.cause]);
                });
            const bool seen_when =
                std::any_of(time.trends.begin(), time.trends.end(), [&](const Trend& trend) {
                    return truth.of_time && trend.kind == TrendKind::outbreak &&
                           trend.adjusted <= promised &&
                           truth.causes.contains(played.book.causes[trend.cause]);
                });
            found += seen_where || seen_when ? 1 : 0;
        }
    }
    const auto n = static_cast<double>(shops);
    RecordProperty("found", std::to_string(found / planted));
    RecordProperty("false_shares", std::to_string(false_shares / n));
    std::cout << "planted truths found: " << found / planted << "; false: areas "
              << false_shares / n << ", trends " << false_trends / n << "\n";
    EXPECT_GE(found / planted, 0.8);
    EXPECT_LE(false_shares / n, bar_for(shops));
    EXPECT_LE(false_trends / n, bar_for(shops));
}

// Where nothing is planted, a shop with any name at all is a false discovery.
TEST(Shops, WhereNothingIsPlantedFewShopsNameAnything) {
    double areas = 0;
    double trends = 0;
    const std::uint64_t shops = cases(200);
    for (std::uint64_t seed = first_seed(1001); seed < first_seed(1001) + shops; ++seed) {
        const Played played = play(seed, 3000, false);
        areas += areas_named(played, review_areas(played.book, shipped())).named > 0 ? 1 : 0;
        trends += trends_named(played, review_time(played.book)).named > 0 ? 1 : 0;
    }
    std::cout << "shops that named something without ground: areas " << areas << ", trends "
              << trends << " of " << shops << "\n";
    const auto n = static_cast<double>(shops);
    EXPECT_LE(areas / n, bar_for(shops));
    EXPECT_LE(trends / n, bar_for(shops));
}

}  // namespace
}  // namespace knockwell
