// A job in short.
#include "job/story.hpp"
#include "job/summary.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

using Words = std::vector<std::string>;

TEST(Summary, AsFoundIsBeforeTheFirstRepairAndAsLeftAfterTheLast) {
    const Summary summary =
        summary_of(job_with({{EventKind::found, "system-pressure", "12 psi@read-gauge"},
                             {EventKind::found, "pump-runs", "yes"},
                             {EventKind::did, "clear-switch-port", ""},
                             {EventKind::found, "system-pressure", "30 psi@read-gauge"},
                             {EventKind::found, "pump-runs", "no"},
                             {EventKind::did, "set-switch", ""},
                             {EventKind::found, "system-pressure", "58 psi@read-gauge"}}));
    EXPECT_EQ(summary.readings.at("system-pressure"), (FoundAndLeft{"12 psi", "58 psi"}));
    EXPECT_EQ(summary.readings.at("pump-runs"), (FoundAndLeft{"yes", std::nullopt}))
        << "nobody looked after the last repair";
    EXPECT_EQ(summary.repairs, (Words{"clear-switch-port", "set-switch"}));
}

TEST(Summary, ATestThatFoundNothingWasInVain) {
    const Summary summary =
        summary_of(job_with({{EventKind::found, "system-pressure", "12 psi@read-gauge"},
                             {EventKind::did_test, "knock-on-tank", ""},
                             {EventKind::pass, "test:look-at-contacts", "not-sure"},
                             {EventKind::pass, "test:open-panel", "cannot"},
                             {EventKind::did_test, "read-gauge", ""}}));
    EXPECT_EQ(summary.tests, (Words{"read-gauge", "knock-on-tank", "look-at-contacts"}));
    EXPECT_EQ(summary.in_vain, (Words{"knock-on-tank", "look-at-contacts"}));
}

TEST(Summary, HasWhatHoldsOfTheJobNow) {
    Job job = job_with({{EventKind::set, "pump", "submersible"},
                        {EventKind::said, "no-water", "no"},
                        {EventKind::said, "short-cycling", "yes"},
                        {EventKind::about, "area", "quarry-lane"},
                        {EventKind::about, "call-back-of", "a0b1c2d3-e4f5-4678-8a9b-ba9876543210"},
                        {EventKind::about, "knowledge", "2026.12 (00aa11bb22cc)"},
                        {EventKind::cause, "worn-contacts", "guessed"},
                        {EventKind::closed, "", "cured"},
                        {EventKind::instead, "7", "seen"}});
    job.events[0].minutes = 2;
    job.events[6].minutes = 3.5;
    const Summary summary = summary_of(job);
    EXPECT_EQ(summary.area, "quarry-lane");
    EXPECT_EQ(summary.installation, "HB-17");
    EXPECT_EQ(summary.call_back_of, "a0b1c2d3-e4f5-4678-8a9b-ba9876543210");
    EXPECT_EQ(summary.knowledge, (Words{"2026.11 (3f9c0a12bd77)", "2026.12 (00aa11bb22cc)"}));
    EXPECT_EQ(summary.complaint, "short-cycling");
    EXPECT_EQ(summary.settings.at("pump"), "submersible");
    EXPECT_EQ(summary.causes, (std::vector<ConfirmedCause>{{"worn-contacts", "seen"}}));
    EXPECT_EQ(summary.outcome, "cured");
    EXPECT_EQ(summary.closed, job.events[7].at);
    EXPECT_EQ(summary.minutes, 5.5);
    EXPECT_TRUE(summary.clashes.empty());
}

TEST(Summary, ACallBackCanBeTakenBackAndAnOpenJobHasNoOutcome) {
    const Summary summary = summary_of(
        job_with({{EventKind::about, "call-back-of", "a0b1c2d3-e4f5-4678-8a9b-ba9876543210"},
                  {EventKind::about, "call-back-of", ""}}));
    EXPECT_EQ(summary.call_back_of, std::nullopt);
    EXPECT_EQ(summary.closed, std::nullopt);
    EXPECT_EQ(summary.outcome, "");
}

// As two trucks that both closed it bring it about.
TEST(Summary, WhatContradictsItselfIsSaid) {
    const Summary summary = summary_of(job_with({{EventKind::cause, "worn-contacts", "guessed"},
                                                 {EventKind::closed, "", "not-cured"},
                                                 {EventKind::cause, "worn-contacts", "seen"},
                                                 {EventKind::closed, "", "cured"}}));
    EXPECT_EQ(summary.clashes, (Words{"worn-contacts is confirmed as guessed and as seen",
                                      "it is closed as not-cured and as cured"}));
    EXPECT_EQ(summary.outcome, "cured");
}

}  // namespace
}  // namespace knockwell
