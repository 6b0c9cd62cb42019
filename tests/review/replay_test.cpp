// Closed jobs told again: nothing that was learned later is in the forecast.
#include "review/replay.hpp"
#include "review/two_causes.hpp"

#include <gtest/gtest.h>

#include <random>

namespace knockwell {
namespace {

using enum EventKind;

const std::vector<StoryEvent>& a_job() {
    static const std::vector<StoryEvent> events = {{said, "no-water", "yes"},
                                                   {found, "dull", "yes@knock-on-tank"},
                                                   {found, "stuck", "no@turn-valve"},
                                                   {did, "mend-leak", ""},
                                                   {found, "dull", "no@knock-on-tank"},
                                                   {cause, "leak", "seen"},
                                                   {closed, "", "cured"}};
    return events;
}

Replayed told(const Job& job) {
    const Knowledge& knowledge = two_causes();
    const Network network = compile(knowledge);
    auto again = replay({&knowledge, &network}, job);
    EXPECT_TRUE(std::holds_alternative<Replayed>(again));
    return std::get<Replayed>(std::move(again));
}

NotReplayed not_told(const std::vector<StoryEvent>& events) {
    const Knowledge& knowledge = two_causes();
    const Network network = compile(knowledge);
    const auto again = replay({&knowledge, &network}, job_with(events));
    EXPECT_TRUE(std::holds_alternative<NotReplayed>(again));
    return std::get<NotReplayed>(again);
}

// Bayes by hand. On the phone: no-water was reported.
//   neither 0.9 * 0.8 * 0 = 0, leak alone 0.1 * 0.8 * 0.8 = 0.064, valve alone 0.9 * 0.2 * 0.5 =
//   0.09, both 0.1 * 0.2 * (1 - 0.2 * 0.5) = 0.018; sum 0.172
// Dull found, by a test that misses 1 in 10 of each way to make it: without the leak 0.05 * 0.9 =
//   0.045; with it 1 - (1 - 0.045)(1 - 0.9 * 0.9) = 0.81855. Not stuck: with the valve 0.3
//   leak alone 0.064 * 0.81855, valve alone 0.09 * 0.045 * 0.3, both 0.018 * 0.81855 * 0.3
TEST(Replay, GivesTheChancesJustBeforeTheCauseWasKnown) {
    const Replayed again = told(job_with(a_job()));
    EXPECT_NEAR(again.on_phone[0], (0.064 + 0.018) / 0.172, 1e-12);
    EXPECT_NEAR(again.on_phone[1], (0.09 + 0.018) / 0.172, 1e-12);
    const double leak = 0.064 * 0.81855;
    const double valve = 0.09 * 0.045 * 0.3;
    const double both = 0.018 * 0.81855 * 0.3;
    EXPECT_NEAR(again.p[0], (leak + both) / (leak + valve + both), 1e-12);
    EXPECT_NEAR(again.p[1], (valve + both) / (leak + valve + both), 1e-12);
    EXPECT_EQ(again.confirmed, std::vector<CauseId>{CauseId{0}});
    // The valve was first on the phone, and the knock changed that; the valve's test did not.
    EXPECT_EQ(best_place(again.on_phone, again.confirmed), 2U);
    EXPECT_EQ(best_place(again.p, again.confirmed), 1U);
    ASSERT_EQ(again.looks.size(), 2U);
    EXPECT_TRUE(again.looks[0].changed_first);
    EXPECT_FALSE(again.looks[1].changed_first);
    const double knocked = (0.064 + 0.018) * 0.81855;
    const double after_knock = knocked / (knocked + 0.09 * 0.045);
    EXPECT_NEAR(again.looks[0].bits, std::log2(after_knock / again.on_phone[0]), 1e-12);
    EXPECT_NEAR(again.looks[1].bits, std::log2(again.p[0] / after_knock), 1e-12);
}

// Whatever is written down from the repair on, and whatever correction is made then, the forecast
// is the same to the last bit.
TEST(Replay, NothingThatWasLearnedLaterIsInTheForecast) {
    const Replayed plain = told(job_with(a_job()));
    std::mt19937 dice(5);
    const std::vector<StoryEvent> later = {{found, "dull", "no@knock-on-tank"},
                                           {found, "stuck", "yes@turn-valve"},
                                           {said, "no-water", "no"},
                                           {instead, "2", "no@knock-on-tank"},
                                           {undo, "3", ""},
                                           {did, "open-valve", ""},
                                           {found, "leak", "no"},
                                           {note, "", "later"}};
    for (int round = 0; round < 200; ++round) {
        std::vector<StoryEvent> events(a_job().begin(), a_job().begin() + 4);
        for (std::size_t i = dice() % 6; i > 0; --i)
            events.push_back(later[dice() % later.size()]);
        events.insert(events.end(), {{cause, "leak", "seen"}, {closed, "", "cured"}});
        const Replayed again = told(job_with(events));
        ASSERT_EQ(again.p, plain.p) << "round " << round;
        ASSERT_EQ(again.on_phone, plain.on_phone);
        ASSERT_EQ(again.evidence, plain.evidence);
    }
}

TEST(Replay, StopsAtWhateverGivesTheCauseAway) {
    const auto kept = [](std::vector<StoryEvent> events) {
        events.insert(events.begin(), {said, "no-water", "yes"});
        return before_the_cause(two_causes(), job_with(events)).events.size();
    };
    EXPECT_EQ(kept({{found, "dull", "yes"}, {cause, "leak", "seen"}}), 2U);
    EXPECT_EQ(kept({{found, "leak", "yes"}, {found, "dull", "yes"}}), 1U);
    EXPECT_EQ(kept({{did, "mend-leak", ""}, {found, "dull", "yes"}}), 1U);
    EXPECT_EQ(kept({{closed, "", "cured"}, {found, "dull", "yes"}}), 1U);
    // Even where it was taken back: who wrote it knew something.
    EXPECT_EQ(kept({{did, "mend-leak", ""}, {undo, "2", ""}, {found, "dull", "yes"}}), 1U);
    // A slip that was put right before then counts as put right.
    const Replayed again = told(job_with({{said, "no-water", "yes"},
                                          {found, "dull", "no"},
                                          {instead, "2", "yes"},
                                          {cause, "leak", "seen"},
                                          {closed, "", "cured"}}));
    ASSERT_EQ(again.evidence.findings.size(), 2U);
    EXPECT_EQ(again.evidence.findings[1].value, std::optional<std::size_t>{1});
}

TEST(Replay, SaysWhyAJobCannotBeJudged) {
    const StoryEvent call = {said, "no-water", "yes"};
    const StoryEvent end = {closed, "", "cured"};
    EXPECT_EQ(not_told({call, end}), NotReplayed::no_cause);
    EXPECT_EQ(not_told({call, {cause, "leak", "guessed"}, end}), NotReplayed::only_guessed);
    EXPECT_EQ(not_told({call, {cause, "ghost", "seen"}, end}), NotReplayed::lacking);
    // Without any cause there can be no report of this.
    EXPECT_EQ(not_told({{found, "stuck", "yes@turn-valve"},
                        {found, "stuck", "no"},
                        {cause, "leak", "seen"},
                        end}),
              NotReplayed::impossible);
}

TEST(Replay, TiesAreInTheOrderOfTheText) {
    EXPECT_EQ(best_place({0.2, 0.5, 0.2}, {CauseId{2}}), 3U);
    EXPECT_EQ(best_place({0.2, 0.5, 0.2}, {CauseId{0}}), 2U);
    EXPECT_EQ(best_place({0.2, 0.5, 0.2}, {CauseId{2}, CauseId{1}}), 1U);
}

}  // namespace
}  // namespace knockwell
