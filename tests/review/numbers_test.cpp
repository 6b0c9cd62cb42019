// The numbers against the jobs: counted by hand, and jobs drawn from the knowledge itself, whose
// chances must come true.
#include "review/numbers.hpp"
#include "review/two_causes.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

namespace knockwell {
namespace {

using enum EventKind;

struct TimedEvent {
    StoryEvent told;
    double minutes = 0;
};

Job numbered(int number, const std::vector<TimedEvent>& events) {
    std::vector<StoryEvent> told;
    for (const TimedEvent& one : events)
        told.push_back(one.told);
    Job job = job_with(told);
    job.id = "job-" + std::to_string(number);
    for (std::size_t i = 0; i < events.size(); ++i)
        job.events[i].minutes = events[i].minutes;
    return job;
}

NumbersReview reviewed(const std::vector<Job>& jobs, std::size_t most = 3000) {
    const Knowledge& knowledge = two_causes();
    const Network network = compile(knowledge);
    NumbersBook book(knowledge, most);
    for (const Job& job : jobs)
        book.add(job);
    return book.review({&knowledge, &network});
}

/// A job with both looks, drawn from the law of the knowledge; nothing where nobody calls.
std::optional<Job> drawn_job(int number, std::mt19937_64& dice) {
    const auto happens = [&](double p) { return std::bernoulli_distribution(p)(dice); };
    const bool leak = happens(0.1);
    const bool valve = happens(0.2);
    const bool no_water = (leak && happens(0.8)) || (valve && happens(0.5));
    const bool dull = (leak && happens(0.9 * 0.9)) || happens(0.05 * 0.9);
    const bool stuck = valve && happens(0.7);
    if (!no_water)
        return std::nullopt;
    std::vector<TimedEvent> events = {
        {{said, "no-water", "yes"}, 0},
        {{found, "dull", dull ? "yes@knock-on-tank" : "no@knock-on-tank"}, 3},
        {{found, "stuck", stuck ? "yes@turn-valve" : "no@turn-valve"}, 4}};
    if (leak)
        events.push_back({{cause, "leak", "seen"}, 0});
    if (valve)
        events.push_back({{cause, "valve", "fixed-it"}, 0});
    events.push_back({{closed, "", "cured"}, 0});
    return numbered(number, events);
}

// What is said of jobs that follow the knowledge comes true: every class of the table holds its
// share within limits that one in a thousand would miss, and the scores fall apart as they should.
TEST(Numbers, ChancesOfJobsThatFollowTheKnowledgeComeTrue) {
    std::mt19937_64 dice(11);
    std::vector<Job> jobs;
    for (int i = 0; jobs.size() < 3000; ++i)
        if (auto job = drawn_job(i, dice))
            jobs.push_back(*std::move(job));
    const NumbersReview review = reviewed(jobs);
    EXPECT_EQ(review.replayed, 3000U);
    EXPECT_EQ(review.exact.cases, 6000);
    ASSERT_GE(review.classed.rows.size(), 4U);
    for (const CalibrationRow& row : review.classed.rows) {
        const auto cases = static_cast<std::uint64_t>(std::llround(row.cases));
        const auto came = static_cast<std::uint64_t>(std::llround(row.happened * row.cases));
        const Limits wide = share_limits(came, cases, 0.999);
        EXPECT_LE(wide.low, row.said);
        EXPECT_GE(wide.high, row.said);
    }
    const Scores& scores = review.classed;
    EXPECT_NEAR(scores.brier, scores.reliability - scores.resolution + scores.uncertainty, 1e-12);
    EXPECT_LT(scores.reliability, 0.002);
    EXPECT_GT(scores.resolution, 0.05);
    // Looking tells more than the telephone.
    EXPECT_LT(review.bits, review.bits_on_phone);
    EXPECT_GT(review.guesses[0].first, review.guesses[0].first_on_phone);
    EXPECT_EQ(review.guesses[0].jobs, 3000U);
    EXPECT_EQ(review.guesses[0].three, 3000U) << "of two causes each is among the first three";
    for (const StrengthCell& cell : review.strengths)
        EXPECT_GT(cell.adjusted, 0.01);
    for (const TestLine& line : review.tests)
        EXPECT_FALSE(line.never_paid()) << line.test;
}

// The same jobs in any order, of many or of few drawn, say the same.
TEST(Numbers, DoNotHangOnTheOrderOfTheJobs) {
    std::mt19937_64 dice(12);
    std::vector<Job> jobs;
    for (int i = 0; jobs.size() < 200; ++i)
        if (auto job = drawn_job(i, dice))
            jobs.push_back(*std::move(job));
    const NumbersReview once = reviewed(jobs, 50);
    std::shuffle(jobs.begin(), jobs.end(), dice);
    const NumbersReview again = reviewed(jobs, 50);
    EXPECT_EQ(once.drawn, 50U);
    EXPECT_EQ(once.jobs, 200U);
    EXPECT_EQ(once.exact.brier, again.exact.brier);
    EXPECT_EQ(once.bits, again.bits);
    EXPECT_EQ(once.guesses[0].first, again.guesses[0].first);
    EXPECT_NE(once.exact.brier, reviewed(jobs, 51).exact.brier);
    EXPECT_EQ(reviewed(jobs, 0).drawn, 0U);
}

Job mended(int number, const std::string& repair, double minutes,
           const std::string& call_back_of = "") {
    std::vector<TimedEvent> events = {{{said, "no-water", "yes"}, 0},
                                      {{did, repair, ""}, minutes},
                                      {{cause, "leak", "seen"}, 0},
                                      {{closed, "", "cured"}, 0}};
    if (!call_back_of.empty())
        events.push_back({{about, "call-back-of", call_back_of}, 0});
    return numbered(number, events);
}

// Ten leaks mended, three of them called back to (one of these twice); twenty valves, none.
TEST(Numbers, CallBacksAreCountedAtTheRepairTheyCameFrom) {
    std::vector<Job> jobs;
    for (int i = 0; i < 10; ++i)
        jobs.push_back(mended(i, "mend-leak", 60));
    for (int i = 10; i < 30; ++i)
        jobs.push_back(mended(i, "open-valve", 10));
    for (const char* back : {"job-0", "job-1", "job-2", "job-2", "job-elsewhere"})
        jobs.push_back(numbered(100 + static_cast<int>(jobs.size()),
                                {{{about, "call-back-of", back}, 0}, {{closed, "", "cured"}, 0}}));
    const NumbersReview review = reviewed(jobs);
    ASSERT_EQ(review.repairs.size(), 2U);
    EXPECT_EQ(review.repairs[0].repair, "mend-leak");
    EXPECT_EQ(review.repairs[0].jobs, 10U);
    EXPECT_EQ(review.repairs[0].call_backs, 3U);
    EXPECT_EQ(review.repairs[1].call_backs, 0U);
    EXPECT_EQ(review.call_backs, 3U);
    // P(3 or more of 10 | 3 of 30): 1 - 0.9^10 - 10 * 0.1 * 0.9^9 - 45 * 0.01 * 0.9^8
    EXPECT_NEAR(review.repairs[0].p,
                1 - std::pow(0.9, 10) - std::pow(0.9, 9) - 0.45 * std::pow(0.9, 8), 1e-12);
    // Minutes: written 30, spent 60 each time; written 10, spent 10.
    ASSERT_EQ(review.minutes.size(), 2U);
    EXPECT_EQ(review.minutes[0].step, "mend-leak");
    EXPECT_TRUE(review.minutes[0].repair);
    EXPECT_NEAR(review.minutes[0].ratio, 2, 1e-12);
    EXPECT_LT(review.minutes[0].adjusted, 1e-6);
    EXPECT_NEAR(review.minutes[1].ratio, 1, 1e-12);
    EXPECT_NEAR(review.minutes[1].p, 1, 1e-12);
    EXPECT_NEAR(review.all_spent.minutes, 800, 1e-9);
    EXPECT_NEAR(review.minutes_written, 500, 1e-9);
}

// It is known when it is opened.
TEST(Numbers, ACallBackThatIsStillOpenCounts) {
    const Job back = numbered(1, {{{about, "call-back-of", "job-0"}, 0}});
    const NumbersReview review = reviewed({mended(0, "mend-leak", 60), back});
    EXPECT_EQ(review.jobs, 1U);
    EXPECT_EQ(review.call_backs, 1U);
    ASSERT_EQ(review.repairs.size(), 1U);
    EXPECT_EQ(review.repairs[0].call_backs, 1U);
}

// What was spent is what was written down, of a step made twice too, and of one nobody defined.
TEST(Numbers, TheSumOfMinutesIsOfEveryMaking) {
    Job job = mended(0, "mend-leak", 60);
    job.events.insert(job.events.begin() + 2, {10, 0, did, "mend-leak", "", 20});
    job.events.insert(job.events.begin() + 3, {11, 0, did, "pray", "", 7});
    job.events.insert(job.events.begin() + 4, {12, 0, EventKind::found, "no-water", "yes", 5});
    const NumbersReview review = reviewed({job});
    EXPECT_EQ(review.all_spent.makings, 2U);
    EXPECT_NEAR(review.all_spent.minutes, 80, 1e-9);
    EXPECT_NEAR(review.minutes_written, 60, 1e-9);
    EXPECT_EQ(review.unwritten.makings, 1U);
    EXPECT_NEAR(review.unwritten.minutes, 12, 1e-9) << "a finding of no test too";
    ASSERT_EQ(review.minutes.size(), 1U);
    EXPECT_EQ(review.minutes[0].times, 1U);
    EXPECT_NEAR(review.minutes[0].spent, 40, 1e-9);
}

// Two repairs on one job: each of them did not hold, but it is one job that was called back to.
TEST(Numbers, AJobOfTwoRepairsIsCalledBackToOnce) {
    Job both = mended(0, "mend-leak", 60);
    both.events.push_back({5, 0, did, "open-valve", "", 10});
    const Job back =
        numbered(1, {{{about, "call-back-of", both.id}, 0}, {{closed, "", "cured"}, 0}});
    const NumbersReview review = reviewed({both, back, mended(2, "open-valve", 10)});
    EXPECT_EQ(review.call_backs, 1U);
    ASSERT_EQ(review.repairs.size(), 2U);
    for (const RepairLine& line : review.repairs)
        EXPECT_EQ(line.call_backs, 1U) << line.repair;
    // Two of the three repairs: P(1 or more of 1 | 2 in 3), and of 2.
    EXPECT_NEAR(review.repairs[0].p, 2.0 / 3, 1e-12);
    EXPECT_NEAR(review.repairs[1].p, 8.0 / 9, 1e-12);
}

// A test whose outcome never changes anything: the valve's where the leak was seen for certain
// before.
TEST(Numbers, ATestThatNeverPaysIsNamed) {
    std::vector<Job> jobs;
    for (int i = 0; i < 12; ++i)
        jobs.push_back(numbered(i, {{{said, "no-water", "yes"}, 0},
                                    {{found, "stuck", "yes@turn-valve"}, 4},
                                    {{found, "stuck", "yes@turn-valve"}, 4},
                                    {{did_test, "knock-on-tank", ""}, 2},
                                    {{cause, "valve", "seen"}, 0},
                                    {{closed, "", "cured"}, 0}}));
    NumbersReview review = reviewed(jobs);
    ASSERT_EQ(review.tests.size(), 2U);
    // Knocked twelve times and nothing written down: in vain, but never told again.
    EXPECT_EQ(review.tests[0].test, "knock-on-tank");
    EXPECT_EQ(review.tests[0].in_vain, 12U);
    EXPECT_EQ(review.tests[0].replayed, 0U);
    EXPECT_FALSE(review.tests[0].never_paid());
    EXPECT_EQ(review.tests[1].made, 12U);
    EXPECT_EQ(review.tests[1].replayed, 12U);
    EXPECT_GT(review.tests[1].bits, 0);
    // Turned twice on each job, four minutes each time, as it is written.
    for (const MinutesLine& line : review.minutes)
        EXPECT_NEAR(line.ratio, 1, 1e-12) << line.step;
    for (Job& job : jobs)
        job.events[3] = {4, 0, found, "dull", "no@knock-on-tank", 2};
    // The valve is certain by then: the knock adds nothing to it.
    review = reviewed(jobs);
    EXPECT_EQ(review.tests[0].test, "knock-on-tank");
    EXPECT_TRUE(review.tests[0].never_paid());
    EXPECT_NEAR(review.tests[0].bits, 0, 1e-12);
    EXPECT_FALSE(review.tests[1].never_paid());
}

TEST(Numbers, WhatTheKnowledgeLacksIsToldWithItsFindings) {
    const std::vector<Job> jobs = {
        numbered(1, {{{said, "no-water", "yes"}, 0},
                     {{found, "dull", "no"}, 0},
                     {{cause, "frozen-line", "seen"}, 0},
                     {{closed, "", "cured"}, 0}}),
        numbered(2, {{{said, "no-water", "yes"}, 0},
                     {{cause, "frozen-line", "seen"}, 0},
                     {{closed, "", "cured"}, 0}}),
        numbered(3, {{{said, "no-water", "yes"}, 0}, {{closed, "", "handed-over"}, 0}}),
        numbered(4, {{{said, "no-water", "yes"}, 0}})};
    const NumbersReview review = reviewed(jobs);
    EXPECT_EQ(review.jobs, 3U) << "an open job says nothing";
    ASSERT_EQ(review.lacking.size(), 2U);
    EXPECT_EQ(review.lacking[0].cause, "frozen-line");
    EXPECT_EQ(review.lacking[0].jobs, 2U);
    ASSERT_EQ(review.lacking[0].with.size(), 2U);
    EXPECT_EQ(review.lacking[0].with[0], (std::pair<std::string, std::uint64_t>{"no-water", 2}));
    EXPECT_EQ(review.lacking[0].with[1], (std::pair<std::string, std::uint64_t>{"dull: no", 1}));
    EXPECT_EQ(review.lacking[1].cause, "");
    EXPECT_EQ(review.not_replayed.at(NotReplayed::lacking), 2U);
    EXPECT_EQ(review.not_replayed.at(NotReplayed::no_cause), 1U);
    EXPECT_EQ(review.replayed, 0U);
}

TEST(Numbers, OfNoJobsSayNothing) {
    const NumbersReview review = reviewed({});
    EXPECT_EQ(review.jobs, 0U);
    EXPECT_TRUE(review.repairs.empty());
    EXPECT_EQ(review.guesses.size(), 1U);
}

}  // namespace
}  // namespace knockwell
