#include "cli/show_text.hpp"
#include "cli/words.hpp"
#include "support/knowledge_of.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace knockwell {
namespace {

TEST(Words, Ranges) {
    EXPECT_EQ(range_words({0.2, 0.6}), "between 20 and 60 %");
    EXPECT_EQ(range_words({0.004, 0.02}), "between 0.4 and 2 %");
    EXPECT_EQ(range_words({0.0002, 0.02}), "at most 2 %");
    EXPECT_EQ(range_words({0.95, 0.9999}), "at least 95 %");
    EXPECT_EQ(range_words({0.5, 0.5}), "about 50 %");
    EXPECT_EQ(range_words({0, 0.0004}), "under 0.1 %");
    EXPECT_EQ(range_words({0.0002, 0.0005}), "under 0.1 %");
    EXPECT_EQ(range_words({0.9995, 1}), "over 99.9 %");
}

TEST(Words, WhatAStopStandsOn) {
    const Knowledge knowledge = knowledge_of(R"(
        [symptom.runs]
        title = "Runs"
        [symptom.dry]
        title = "Dry"
        [stop.one]
        title  = "One"
        when   = { runs = "yes" }
        do_now = "Off."
        blocks = "all"
        [stop.both]
        title  = "Both"
        when   = { runs = "yes", dry = "yes" }
        do_now = "Off."
        blocks = "all"
    )");
    Finding runs;
    runs.what = SignId(0);
    runs.value = 1;
    const auto words = [&](std::size_t stop) {
        StopNow now{StopId(stop)};
        now.shown_by = {runs};
        now.enough = 0.05;
        return stands_words(knowledge, now);
    };
    EXPECT_EQ(words(0), "Found: Runs: yes. One such finding is enough; of a reading, 5 % in the "
                        "danger.");
    EXPECT_EQ(words(1), "Found: Runs: yes. Together they are enough; of a reading, 5 % in the "
                        "danger.");
}

TEST(Words, Minutes) {
    EXPECT_EQ(minutes_words(0.4), "under a minute");
    EXPECT_EQ(minutes_words(1), "1 minute");
    EXPECT_EQ(minutes_words(89.4), "89 minutes");
    EXPECT_EQ(minutes_words(90), "1 h 30 min");
    EXPECT_EQ(minutes_words(120), "2 h");
}

TEST(Words, AReferIsHandedOverOrOwnWork) {
    EXPECT_EQ(deed(StepKind::refer), "Hand over");
    EXPECT_EQ(deed(StepKind::refer, true), "Own work");
}

TEST(Words, WeightsAreGradedAsTheyArePrinted) {
    EXPECT_EQ(weight_words(0.4), "says nothing");
    EXPECT_EQ(weight_words(-0.4), "says nothing");
    EXPECT_EQ(weight_words(4.4), "speaks a little for it");
    EXPECT_EQ(weight_words(-6), "speaks against it");
    EXPECT_EQ(weight_words(9.6), "speaks strongly for it") << "printed as 10";
    EXPECT_EQ(weight_words(16), "speaks very strongly for it");
    EXPECT_EQ(weight_words(25), "speaks all but decisively for it");
    EXPECT_EQ(weight_words(-std::numeric_limits<double>::infinity()), "decides alone against it");
    EXPECT_EQ(weight_words(std::nan("")), "cannot be told");
}

TEST(Words, MisfitIsSilentWhereFindingsFit) {
    EXPECT_EQ(misfit_words(0), "");
    EXPECT_EQ(misfit_words(1e-12), "") << "rounding";
    EXPECT_EQ(misfit_words(-3), "");
    EXPECT_EQ(misfit_words(std::nan("")),
              "Whether the findings fit together cannot be worked out.");
    EXPECT_EQ(misfit_words(1), "The findings fit together only loosely.");
    EXPECT_NE(misfit_words(std::log(20)).find("20 times less likely"), std::string::npos);
    EXPECT_NE(misfit_words(100).find("times and more"), std::string::npos);
}

TEST(Words, SignalWordFollowsTheHazard) {
    EXPECT_EQ(signal_word(Caution{{}, "", {Hazard::live}}), "WARNING");
    EXPECT_EQ(signal_word(Caution{{}, "", {}}), "CAUTION");
}

// Two findings can lean against each other where all of them, and a third, go well together.
TEST(Words, NoFindingIsCalledOutWhereAllFitTogether) {
    const Knowledge knowledge = knowledge_of(R"(
        [symptom.dry]
        title = "Dry"
    )");
    AnswerNow answer;
    Finding dry;
    dry.what = SignId(0);
    dry.value = 1;
    answer.course.evidence.findings.push_back(dry);
    const auto told = [&](double all, double each) {
        Known known;
        known.misfit = all;
        known.misfit_of_each = {each};
        answer.says = std::move(known);
        Page page(PageStyle{});
        show_reasons(page, {&knowledge, nullptr}, answer, {});
        return page.all();
    };
    EXPECT_NE(told(-1, 2).find("The findings fit together."), std::string::npos);
    EXPECT_EQ(told(-1, 2).find("does not sit easily"), std::string::npos) << told(-1, 2);
    EXPECT_NE(told(1, 2).find("Dry: yes: does not sit easily"), std::string::npos) << told(1, 2);
    EXPECT_EQ(told(1, -2).find("does not sit easily"), std::string::npos);
}

// A recheck and a card stand without the preparations of a step.
TEST(Words, WhatIsSetDeadIsToldBeforeThePower) {
    Step clamp;
    clamp.how = "Pump called: read.";
    EXPECT_EQ(how_by_itself(clamp), "Pump called: read.");
    clamp.set_dead = "Set the clamp";
    EXPECT_EQ(how_by_itself(clamp), "Locked out and proved dead: Set the clamp. Then power on, "
                                    "hands off. Pump called: read.");
}

}  // namespace
}  // namespace knockwell
