#include "learning/learn.hpp"
#include "learning/taught.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace knockwell {
namespace {

constexpr std::string_view well = R"(
    [cause.worn]
    title   = "Worn"
    present = "10 in 1000"
    shows   = { no-water = "8 in 10", noise = "5 in 10", gauge = { empty = "6 in 10", low = "3 in 10" } }

    [cause.tripped]
    title   = "Tripped"
    present = "20 in 1000"
    shows   = { no-water = "9 in 10" }

    [symptom.no-water]
    title = "No water"

    [observation.noise]
    title       = "Noise"
    seen_anyway = "1 in 20"

    [observation.gauge]
    title  = "Gauge"
    levels = { low = ["low", "empty"], normal = "fair" }
)";

TEST(Coins, AreTheNumbersWithAPlaceAndACount) {
    const Pupil pupil(R"(
        [setting.pump]
        title   = "Pump"
        ask     = "Which?"
        choices = { submersible = "7 in 10", jet = "3 in 10" }
        [cause.worn]
        title          = "Worn"
        present        = "10 in 1000"
        raised_by      = [{ when = { pump = "jet" }, times = 2 }]
        brought_on_by  = { tripped = "1 in 4" }
        masks          = { noise = "3 in 10" }
        comes_and_goes = "2 in 10"
        shows          = { no-water = "always", noise = 0.5, gauge = { empty = "6 in 10", low = "never" } }
        [cause.tripped]
        title   = "Tripped"
        present = 0.1
        shows   = { no-water = "9 in 10" }
        [symptom.no-water]
        title = "No water"
        [observation.noise]
        title       = "Noise"
        seen_anyway = "1 in 20"
        [observation.gauge]
        title    = "Gauge"
        levels   = { low = ["low", "empty"], normal = "fair" }
        seen_anyway = { low = "1 in 10" }
    )");
    std::vector<std::string> names;
    for (const Coin& coin : pupil.coins)
        for (const CoinSide& side : coin.sides)
            names.push_back(side.name);
    EXPECT_EQ(names, (std::vector<std::string>{
                         "cause.worn.present", "cause.worn.brought_on_by.tripped",
                         "cause.worn.comes_and_goes", "cause.tripped.shows.no-water",
                         "observation.noise.seen_anyway", "cause.worn.masks.noise",
                         "observation.gauge.seen_anyway.low", "cause.worn.shows.gauge.empty"}));
    EXPECT_GT(pupil.coins[0].spread, 0) << "a rate that somebody judged is known to a factor";
    EXPECT_DOUBLE_EQ(pupil.coins[1].cases(), 4);
}

// With everything looked at and seen, a count is cases that came before: k + k' in n + n'.
TEST(Learn, CompleteJobsAddToTheCounts) {
    Pupil pupil(well);
    // A worn pump each time; noise in 6 of 20, the gauge empty in 9, low in 5.
    for (std::size_t i = 0; i < 20; ++i)
        pupil.book.add(job_of(i, {{EventKind::said, "no-water", "yes"},
                                  {EventKind::found, "worn", "yes"},
                                  {EventKind::found, "tripped", "no"},
                                  {EventKind::found, "gauge",
                                   i < 9    ? "empty"
                                   : i < 14 ? "low"
                                            : "fair"}}));
    const LearnedNumbers learned = pupil.learned();
    EXPECT_NEAR(learned.strengths[pupil.strength("cause.worn.shows.gauge.empty")], (6 + 9) / 30.0,
                1e-12);
    EXPECT_NEAR(learned.strengths[pupil.strength("cause.worn.shows.gauge.low")], (3 + 5) / 30.0,
                1e-12);
    const auto [coin, side] = pupil.at("cause.worn.shows.gauge.empty");
    EXPECT_NEAR(learned.coins[coin].cases, 30, 1e-9);
    EXPECT_NEAR(learned.coins[coin].fallen[side], 9, 1e-12);
    EXPECT_EQ(learned.coins[coin].jobs, 20U);
}

// Nobody listened and nobody looked at the gauge: their counts stay, to the last bit.
TEST(Learn, WhatNobodyLookedAtStays) {
    Pupil pupil(well);
    for (std::size_t i = 0; i < 50; ++i)
        pupil.book.add(
            job_of(i, {{EventKind::said, "no-water", "yes"}, {EventKind::cause, "worn", "seen"}}));
    const LearnedNumbers learned = pupil.learned();
    for (const char* name : {"cause.worn.shows.noise", "cause.worn.shows.gauge.low",
                             "observation.noise.seen_anyway"}) {
        const auto [coin, side] = pupil.at(name);
        const StrengthIndex at = pupil.coins[coin].sides[side].strength;
        EXPECT_EQ(learned.strengths[at], pupil.network.point[at]) << name;
        EXPECT_EQ(learned.coins[coin].cases, pupil.coins[coin].cases()) << name;
        EXPECT_EQ(learned.coins[coin].jobs, 0U) << name;
    }
}

// A complaint alone that two causes explain: n grows by less than a case a job, but never shrinks.
TEST(Learn, CasesGrowByWhatIsToldAlone) {
    Pupil surely(well);
    Pupil open(well);
    for (std::size_t i = 0; i < 50; ++i) {
        surely.book.add(job_of(i, {{EventKind::said, "no-water", "yes"},
                                   {EventKind::found, "noise", "yes"},
                                   {EventKind::cause, "worn", "seen"}}));
        open.book.add(
            job_of(i, {{EventKind::said, "no-water", "yes"}, {EventKind::found, "noise", "yes"}}));
    }
    const auto cases = [](const Pupil& pupil) {
        return pupil.learned().coins[pupil.at("cause.worn.shows.noise").first].cases;
    };
    EXPECT_GT(cases(surely), 50) << "nearly one a job: it might have been noise of another kind";
    EXPECT_LT(cases(open), cases(surely));
    EXPECT_GE(cases(open), 10);
}

// The variance of Beta(3, 7) once it is known with the chance w alone that the case fell so, worked
// out from the mixture w Beta(4, 7) + (1 - w) Beta(3, 8): mean (3 + w) / 11, E p^2 = (20 w + 12
// (1 - w)) / 132, n = m (1 - m) / v - 1.
TEST(Learn, CasesHaveTheVarianceOfTheMixture) {
    Pupil pupil(R"(
        [cause.event]
        title   = "Event"
        present = "always"
        shows   = { report = "3 in 10" }
        [observation.report]
        title = "Report"
        [symptom.calls]
        title       = "Calls"
        seen_anyway = "always"
        [test.look]
        title       = "Look"
        how         = "Look."
        reveals     = ["report"]
        minutes     = 1
        misses      = "0.1 in 1"
        false_alarm = "0.3 in 1"
    )");
    pupil.book.add(
        job_of(1, {{EventKind::said, "calls", "yes"}, {EventKind::found, "report", "yes@look"}}));
    HowToLearn how;
    how.most_rounds = 0;  // the numbers as they are written
    const LearnedNumbers learned = pupil.learned(how);
    // Counts of less than a half are lifted: misses 0.5 in 1.4, false alarm 0.5 in 1.2.
    const double a = 0.5 / 1.2;
    const double m = 0.5 / 1.4;
    const double fired = 0.3 * (1 - (1 - a) * m);
    const double not_fired = 0.7 * a;
    const double w = fired / (fired + not_fired);
    const double mean = (3 + w) / 11;
    const double square = (w * 20 + (1 - w) * 12) / 132;
    const double n = mean * (1 - mean) / (square - mean * mean) - 1;
    const auto [coin, side] = pupil.at("cause.event.shows.report");
    EXPECT_NEAR(learned.coins[coin].fallen[side], w, 1e-12);
    EXPECT_NEAR(learned.coins[coin].cases, std::max(n, 10.0), 1e-9);
}

// What nobody speaks of in a job that cannot be teaches nothing either.
TEST(Learn, TellsWhichJobsCannotBe) {
    constexpr std::string_view two_pumps = R"(
        [setting.pump]
        title   = "Pump"
        ask     = "Which?"
        choices = { submersible = "7 in 10", jet = "3 in 10" }
        [cause.prime]
        title   = "Lost prime"
        present = "10 in 1000"
        only_if = { pump = "jet" }
        shows   = { no-water = "8 in 10" }
        [cause.worn]
        title   = "Worn"
        present = "20 in 1000"
        shows   = { noise = "8 in 10" }
        [symptom.no-water]
        title       = "No water"
        seen_anyway = "1 in 100"
        [observation.noise]
        title = "Noise"
    )";
    Pupil pupil(two_pumps);
    Pupil without(two_pumps);
    pupil.book.add(job_of(1, {{EventKind::set, "pump", "submersible"},
                              {EventKind::said, "no-water", "yes"},
                              {EventKind::cause, "prime", "seen"}}));
    for (Pupil* of : {&pupil, &without})
        of->book.add(
            job_of(2, {{EventKind::set, "pump", "jet"}, {EventKind::said, "no-water", "yes"}}));
    const LearnedNumbers learned = pupil.learned();
    EXPECT_EQ(learned.strengths, without.learned().strengths);
    EXPECT_EQ(learned.log_after, without.learned().log_after);
    EXPECT_EQ(learned.jobs, 1U);
    EXPECT_EQ(learned.impossible, (std::vector<std::string>{job_of(1, {}).id}));
    Pupil nothing(well);
    const LearnedNumbers none = nothing.learned();
    EXPECT_EQ(none.strengths, nothing.network.point);
    EXPECT_EQ(none.jobs, 0U);
}

}  // namespace
}  // namespace knockwell
