// What recurs where, on shops small enough to count by hand.
#include "review/areas.hpp"
#include "review/causes.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

Summary visit(const std::string& area, const std::string& house, const std::string& cause,
              const std::string& pump = "", const std::string& how = "seen") {
    Summary summary;
    summary.area = area;
    summary.installation = house;
    summary.closed = 1;
    summary.outcome = "cured";
    if (!cause.empty())
        summary.causes = {{cause, how}};
    if (!pump.empty())
        summary.settings["pump"] = pump;
    return summary;
}

/// Knowledge with a setting `pump`, so that it is allowed for.
Knowledge pumps() {
    Knowledge knowledge;
    Setting pump;
    pump.head.id = "pump";
    pump.states = {"submersible", "jet"};
    knowledge.settings.push_back(pump);
    return knowledge;
}

const AreaCell* cell_of(const AreaReview& review, const ShopBook& book, const std::string& area,
                        const std::string& cause) {
    for (const AreaCell& cell : review.cells)
        if (book.areas[cell.area] == area && book.causes[cell.cause] == cause)
            return &cell;
    return nullptr;
}

TEST(Areas, NineVisitsToOneHouseAreOneHouse) {
    ShopBook book;
    for (int i = 0; i < 9; ++i)
        book.add(visit("here", "H-1", "port"));
    book.add(visit("here", "H-2", "bladder"));
    for (int i = 0; i < 8; ++i)
        book.add(visit("there", "T-" + std::to_string(i), "bladder"));
    const AreaReview review = review_areas(book, {});
    EXPECT_EQ(review.houses, 10U);
    EXPECT_EQ(review.jobs, 18U);
    const AreaCell* cell = cell_of(review, book, "here", "port");
    ASSERT_NE(cell, nullptr);
    EXPECT_EQ(cell->observed, 1U);
    EXPECT_NEAR(cell->expected, 0.2, 1e-12);  // two houses, one house in ten had it
    EXPECT_NEAR(cell->p, poisson_at_least(1, 0.2), 1e-15);
    EXPECT_EQ(cell_of(review, book, "there", "port"), nullptr);
}

// Two ways to write a road are no two roads, and a house on it is no two houses.
TEST(Areas, ARoadIsOneHoweverItIsSpelled) {
    ShopBook book;
    for (const char* road : {"Mill  Rd.", "mill rd", "Mill Rd", "mill rd"})
        book.add(visit(road, "H-1", "port"));
    book.add(visit("Mill Rd", "H-2", "port"));
    for (int i = 0; i < 8; ++i)
        book.add(visit("mill road", "T-" + std::to_string(i), "bladder"));
    EXPECT_EQ(book.areas.size(), 2U);
    const AreaReview review = review_areas(book, {});
    EXPECT_EQ(review.houses, 10U);
    const AreaCell* cell = cell_of(review, book, "Mill Rd", "port");
    ASSERT_NE(cell, nullptr) << "of two spellings as usual the first in the alphabet";
    EXPECT_EQ(cell->observed, 2U);
}

// Ten jets here, all with the cause that jets have; among equals there is nothing special.
TEST(Areas, TheMixOfSettingsIsAllowedFor) {
    ShopBook book;
    for (int i = 0; i < 10; ++i) {
        const std::string house = std::to_string(i);
        book.add(visit("here", "H-" + house, i < 5 ? "foot-valve" : "bladder", "jet"));
        book.add(visit("there", "T-" + house, i < 5 ? "foot-valve" : "bladder", "jet"));
        book.add(visit("there", "S-" + house, "bladder", "submersible"));
        book.add(visit("there", "U-" + house, "bladder", "submersible"));
    }
    const AreaReview plain = review_areas(book, {});
    const AreaReview allowed = review_areas(book, pumps());
    EXPECT_NEAR(cell_of(plain, book, "here", "foot-valve")->expected, 10 * 10 / 40.0, 1e-12);
    EXPECT_NEAR(cell_of(allowed, book, "here", "foot-valve")->expected, 5, 1e-12);
    // Over the areas as much is expected as was found.
    EXPECT_NEAR(cell_of(allowed, book, "there", "foot-valve")->expected, 5, 1e-12);
}

// The kind of pump was written down on one road only.
TEST(Areas, HousesThatNobodyCanBeComparedWithAreCounted) {
    ShopBook book;
    for (int i = 0; i < 7; ++i) {
        const std::string house = std::to_string(i);
        book.add(visit("here", "H-" + house, "vent"));
        book.add(visit("there", "T-" + house, "bladder", "submersible"));
    }
    book.add(visit("here", "H-8", "vent", "submersible"));
    const AreaReview review = review_areas(book, pumps());
    const AreaCell* cell = cell_of(review, book, "here", "vent");
    ASSERT_NE(cell, nullptr);
    EXPECT_EQ(cell->observed, 8U);
    EXPECT_EQ(cell->alone, 7U);
    EXPECT_NEAR(cell->expected, 7 + 1 / 8.0, 1e-12) << "they explain themselves";
    EXPECT_EQ(cell_of(review_areas(book, {}), book, "here", "vent")->alone, 0U);
}

TEST(Areas, SurenessOpenJobsAndJobsWithoutACause) {
    ShopBook book;
    Summary open = visit("here", "H-1", "port");
    open.closed.reset();
    book.add(open);
    book.add(visit("here", "H-2", ""));
    book.add(visit("here", "H-3", "port", "", "guessed"));
    book.add(visit("there", "T-1", "port", "", "guessed"));
    book.add(visit("there", "T-1", "port", "", "seen"));
    book.add(visit("there", "T-2", "bladder"));
    const AreaReview review = review_areas(book, {});
    EXPECT_EQ(review.jobs, 5U);
    EXPECT_EQ(review.without_cause, 1U);
    EXPECT_EQ(review.houses, 3U);
    EXPECT_EQ(cell_of(review, book, "here", "port")->guessed, 1U);
    EXPECT_EQ(cell_of(review, book, "there", "port")->guessed, 0U) << "it was seen once";
}

// Nobody knows which road they are on, so they are no road, and no road is held against them.
TEST(Areas, JobsWithoutAnAreaAreNoRoad) {
    ShopBook book;
    for (int i = 0; i < 6; ++i) {
        const std::string house = std::to_string(i);
        book.add(visit("here", house, i < 3 ? "port" : "bladder"));
        book.add(visit("there", house, "bladder"));
        book.add(visit("", house, "port"));
    }
    book.add(visit("", "7", ""));
    const AreaReview review = review_areas(book, {});
    EXPECT_EQ(review.jobs, 19U);
    EXPECT_EQ(review.without_area, 7U);
    EXPECT_EQ(review.without_cause, 0U);
    EXPECT_EQ(review.houses, 12U);
    EXPECT_EQ(cell_of(review, book, "", "port"), nullptr);
    EXPECT_NEAR(cell_of(review, book, "here", "port")->expected, 6 * 3 / 12.0, 1e-12);
}

TEST(Areas, TheDrawnRatioHasLimitsOfItsOwn) {
    ShopBook book;
    for (int area = 0; area < 12; ++area)
        for (int i = 0; i < 10; ++i)
            book.add(visit("a" + std::to_string(area), std::to_string(i),
                           i < (area % 4 == 0 ? 8 - area / 2 : 0) ? "port" : "bladder"));
    const AreaReview review = review_areas(book, {});
    const AreaCell* cell = cell_of(review, book, "a0", "port");
    ASSERT_NE(cell, nullptr);
    EXPECT_LT(cell->shrunk_limits.low, cell->shrunk);
    EXPECT_GT(cell->shrunk_limits.high, cell->shrunk);
    const Limits again = shrunk_limits(review.spread, cell->observed, cell->expected);
    EXPECT_EQ(again.high, cell->shrunk_limits.high);
}

TEST(Areas, TheSameCodeInTwoAreasIsTwoHouses) {
    ShopBook book;
    book.add(visit("here", "1", "port"));
    book.add(visit("there", "1", "port"));
    EXPECT_EQ(review_areas(book, {}).houses, 2U);
    EXPECT_TRUE(review_areas(ShopBook(), {}).cells.empty());
}

TEST(Causes, JobsHousesAndCallBacks) {
    ShopBook book;
    constexpr std::int64_t year = 31557600;
    for (int i = 0; i < 4; ++i) {
        Summary summary =
            visit("here", i < 3 ? "H-1" : "H-2", "port", "", i == 0 ? "guessed" : "seen");
        summary.opened = i * year;
        summary.minutes = i == 3 ? 0 : 20;
        if (i == 1)
            summary.call_back_of = "another";
        book.add(summary);
    }
    const CauseReview review = review_causes(book);
    ASSERT_EQ(review.lines.size(), 1U);
    const CauseLine& line = review.lines[0];
    EXPECT_EQ(line.jobs, 4U);
    EXPECT_EQ(line.houses, 2U);
    EXPECT_EQ(line.again, 2U);
    EXPECT_EQ(line.call_backs, 1U);
    EXPECT_EQ(line.guessed, 1U);
    EXPECT_EQ(line.timed, 3U);
    EXPECT_NEAR(line.minutes, 20, 1e-9);
    EXPECT_NEAR(line.rate, 4 / 3.0, 1e-9);
    EXPECT_NEAR(line.limits.high, poisson_limits(4).high / 3, 1e-9);
}

TEST(Causes, OneGuessedBesideOneSeenIsTheOnlyOneGuessed) {
    ShopBook book;
    Summary summary = visit("here", "H-1", "port");
    summary.causes.push_back({"worn-pump", "guessed"});
    book.add(summary);
    const CauseReview review = review_causes(book);
    ASSERT_EQ(review.lines.size(), 2U);
    for (const CauseLine& line : review.lines)
        EXPECT_EQ(line.guessed, book.causes[line.cause] == "worn-pump" ? 1U : 0U);
}

TEST(Causes, APartOfAYearMakesNoFigureOfAYear) {
    ShopBook book;
    for (int i = 0; i < 5; ++i) {
        Summary summary = visit("here", "H-" + std::to_string(i), "port");
        summary.opened = i * 22LL * 86400;
        book.add(summary);
    }
    const CauseReview review = review_causes(book);
    EXPECT_FALSE(review.by_the_year());
    EXPECT_NEAR(review.years, 88 / 365.25, 1e-9);
    EXPECT_EQ(review.lines.at(0).rate, 5);
    EXPECT_EQ(review.lines[0].limits.high, poisson_limits(5).high);
}

}  // namespace
}  // namespace knockwell
