// The sentences of the review: what to carry, what is left out, which figure to believe.
#include "cli/review_words.hpp"
#include "support/knowledge_of.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>

namespace knockwell {
namespace {

constexpr std::string_view spinning_pump = R"(
[setting.pump]
title   = "Pump"
ask     = "Which?"
choices = { submersible = "7 in 10", jet = "3 in 10" }
[cause.no-arrestor]
title   = "No torque arrestor"
present = "10 in 1000"
only_if = { pump = "submersible" }
[part.cable]
title = "Cable, flat, with ground"
[part.pump]
title = "Pump"
[part.splice]
title = "Splice kit"
[part.jet]
title = "Jet"
[part.arrestor]
title = "Torque arrestor"
[part.bleach]
title = "Bleach"
[repair.replace-pump]
title   = "Replace the pump"
how     = "Replace it."
minutes = 240
parts   = { pump = 1, cable = 1, splice = 1 }
fixes   = { no-arrestor = "8 in 10" }
[repair.replace-cable]
title   = "Replace the cable"
how     = "Replace it."
minutes = 240
parts   = { cable = 1, splice = 1 }
fixes   = { no-arrestor = "2 in 10" }
[repair.replace-jet]
title   = "Replace the jet"
how     = "Replace it."
minutes = 240
only_if = { pump = "jet" }
parts   = { jet = 1 }
fixes   = { no-arrestor = "99 in 100" }
[repair.turn-up]
title   = "Turn it up"
how     = "Turn it."
minutes = 10
fixes   = { no-arrestor = "1 in 10" }
[repair.fit-arrestor]
title   = "Fit an arrestor"
how     = "Fit it."
minutes = 120
parts   = { arrestor = 1, bleach = 1 }
fixes   = { no-arrestor = "97 in 100" }
)";

std::string carried(const std::string& toml) {
    const auto lines = what_follows(knowledge_of(toml), "no-arrestor", "there");
    const auto line = std::find_if(lines.begin(), lines.end(), [](const std::string& one) {
        return one.starts_with("Carry there: ");
    });
    return line == lines.end() ? "" : *line;
}

// The surest first, whole, whatever the order of the files; what fits nowhere there is not carried.
TEST(ReviewWords, CarryAllOfTheSurestRepairFirst) {
    EXPECT_EQ(carried(std::string(spinning_pump)),
              "Carry there: Torque arrestor and Bleach; or for 'Replace the pump': Pump, 'Cable, "
              "flat, with ground' and Splice kit; and 1 more repair with parts.");
}

TEST(ReviewWords, SayWhereTheSurestRepairNeedsNothing) {
    std::string toml(spinning_pump);
    toml.replace(toml.find("\"1 in 10\""), 9, "\"98 in 100\"");
    EXPECT_EQ(carried(toml), "Carry there: nothing for 'Turn it up'; or for 'Fit an arrestor': "
                             "Torque arrestor and Bleach; and 2 more repairs with parts.");
}

TEST(ReviewWords, JobsWithoutAnAreaAreTold) {
    AreaReview review;
    review.without_area = 2;
    EXPECT_EQ(knockwell::opening_words(review).at(1), "2 jobs have no area and are left out here.");
    review.without_area = 1;
    EXPECT_EQ(knockwell::opening_words(review).at(1), "1 job has no area and is left out here.");
}

TEST(ReviewWords, OfTwoRatiosOneIsToBeBelieved) {
    const Knowledge knowledge = knowledge_of(spinning_pump);
    ShopBook book;
    book.areas.number_of("mill-race");
    book.causes.number_of("no-arrestor");
    const ReviewScene scene{&knowledge, &book, 0.1, 10, nullptr};
    AreaReview review;
    review.allowed_for[0] = {};
    AreaCell cell;
    cell.observed = 24;
    cell.expected = 3;
    cell.limits = {5.3, 12};
    cell.shrunk = 2.8;
    cell.shrunk_limits = {1.9, 3.9};
    EXPECT_EQ(cell_sentences(scene, review, cell).at(2),
              "By its own houses alone 5.3 to 12 times as often (95 %); drawn towards the other "
              "roads, 2.8 times (1.9 to 3.9): so unlike the others is this road that the first is "
              "nearer to the truth. Chance after all that was looked at: 100 %.");
    cell.shrunk_limits.high = 5.4;
    EXPECT_NE(cell_sentences(scene, review, cell).at(2).find("plan by the second"),
              std::string::npos);
    cell.shrunk_limits = {2.8, 2.8};
    EXPECT_NE(cell_sentences(scene, review, cell).at(2).find("2.8 times (all roads alike): so"),
              std::string::npos);
}

TEST(ReviewWords, MinutesSayOfHowManyJobsTheyAre) {
    CauseLine line;
    line.jobs = line.timed = 131;
    line.minutes = 73;
    EXPECT_EQ(each_minutes_words(line), "73 minutes each");
    line.timed = 40;
    EXPECT_EQ(each_minutes_words(line), "73 minutes each in the 40 jobs that say");
    line.timed = 1;
    EXPECT_EQ(each_minutes_words(line), "73 minutes each in the one job that says");
}

}  // namespace
}  // namespace knockwell
