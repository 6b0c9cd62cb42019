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
    ASSERT_EQ(event_kinds().size(), 14U);
    for (const EventKind kind : event_kinds())
        EXPECT_EQ(event_kind(to_text(kind)), kind);
    EXPECT_EQ(event_kind("Found"), std::nullopt);
    EXPECT_EQ(event_kind(""), std::nullopt);
}

}  // namespace
}  // namespace knockwell
