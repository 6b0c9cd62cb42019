// Which events stand.
#include "job/job.hpp"
#include "job/story.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

std::vector<std::uint32_t> numbers_standing(const Job& job) {
    std::vector<std::uint32_t> numbers;
    for (const Event& event : standing(job))
        numbers.push_back(event.number);
    return numbers;
}

using Numbers = std::vector<std::uint32_t>;

TEST(Job, AnUndoTakesBackTheEventThatItNames) {
    const Job job = story({{EventKind::note, "", "a"},
                           {EventKind::note, "", "b"},
                           {EventKind::undo, "1", ""},
                           {EventKind::note, "", "c"}});
    EXPECT_EQ(numbers_standing(job), (Numbers{2, 4}));
}

TEST(Job, AnUndoThatNamesAnUndoALaterEventOrNothingTakesNothingBack) {
    EXPECT_EQ(
        numbers_standing(story(
            {{EventKind::note, "", "a"}, {EventKind::undo, "1", ""}, {EventKind::undo, "2", ""}})),
        (Numbers{}));
    EXPECT_EQ(numbers_standing(story({{EventKind::undo, "2", ""}, {EventKind::note, "", "a"}})),
              (Numbers{2}));
    for (const char* what : {"", "0", "01", "-1", "1x", "9", "4294967296", " 1"})
        EXPECT_EQ(
            numbers_standing(story({{EventKind::note, "", "a"}, {EventKind::undo, what, ""}})),
            (Numbers{1}))
            << what;
}

TEST(Job, IsClosedWhileItsClosingStands) {
    EXPECT_FALSE(is_closed(story({{EventKind::note, "", "a"}})));
    EXPECT_TRUE(is_closed(story({{EventKind::closed, "", "cured"}})));
    EXPECT_FALSE(is_closed(story({{EventKind::closed, "", "cured"}, {EventKind::undo, "1", ""}})));
}

TEST(Job, EveryKindOfEventHasAWordThatReadsBack) {
    ASSERT_EQ(event_kinds().size(), 16U);
    for (const EventKind kind : event_kinds())
        EXPECT_EQ(event_kind(to_text(kind)), kind);
    EXPECT_EQ(event_kind("Found"), std::nullopt);
    EXPECT_EQ(event_kind(""), std::nullopt);
}

// What was typed wrongly is put right where it stands: before the repair and not after it.
TEST(Job, AnInsteadHoldsAtThePlaceOfWhatItCorrects) {
    const std::vector<StoryEvent> events = {{EventKind::found, "system-pressure", "21 psi"},
                                            {EventKind::did, "clear-switch-port", ""},
                                            {EventKind::instead, "1", "12 psi"}};
    Job job = job_with(events);
    job.events[2].minutes = 4;
    ASSERT_EQ(standing(job).size(), 2U);
    EXPECT_EQ(standing(job)[0].value, "12 psi");
    EXPECT_EQ(standing(job)[0].minutes, 4);
    EXPECT_EQ(standing(job)[0].number, 1U);
    EXPECT_EQ(standing(job)[1].kind, EventKind::did);
    job.events[2].minutes = 0;  // 0: the minutes stay
    job.events[0].minutes = 7;
    EXPECT_EQ(standing(job)[0].minutes, 7);
}

TEST(Job, TheLastInsteadCountsAndAnUndoOfItRestores) {
    std::vector<StoryEvent> events = {{EventKind::found, "system-pressure", "21 psi"},
                                      {EventKind::instead, "1", "12 psi"},
                                      {EventKind::instead, "1", "13 psi"}};
    EXPECT_EQ(standing(job_with(events))[0].value, "13 psi");
    events.push_back({EventKind::undo, "3", ""});
    EXPECT_EQ(standing(job_with(events))[0].value, "12 psi");
    events.push_back({EventKind::undo, "2", ""});
    EXPECT_EQ(standing(job_with(events))[0].value, "21 psi");
    events.push_back({EventKind::undo, "1", ""});
    EXPECT_TRUE(standing(job_with(events)).empty());
    // One that names a later entry, or itself, corrects nothing.
    EXPECT_EQ(
        standing(job_with({{EventKind::instead, "2", "x"}, {EventKind::note, "", "a"}}))[0].value,
        "a");
}

}  // namespace
}  // namespace knockwell
