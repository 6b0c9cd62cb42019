// What must be true before one leaves: which lines are open, what is said of them, and readings as
// left. The lines are common practice, no source.
#include "beliefs/small_well.hpp"
#include "job/course.hpp"
#include "job/leaving.hpp"
#include "job/story.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>

namespace knockwell {
namespace {

using enum EventKind;

const StoryEvent hands = {person, "", "qualified"};
const StoryEvent mended = {did, "clear-port", ""};

std::vector<std::string> words_open(const std::vector<StoryEvent>& told, bool cured = true) {
    std::vector<std::string> words;
    for (const OpenLine& line : still_open(small_well::knowledge(), job_with(told), cured))
        words.push_back(line.word);
    return words;
}

bool is_open(const std::vector<StoryEvent>& told, const std::string& word) {
    const auto words = words_open(told);
    return std::find(words.begin(), words.end(), word) != words.end();
}

std::vector<std::string> all_words() {
    std::vector<std::string> words;
    for (const LeavingCheck& check : leaving_checks())
        words.emplace_back(check.word);
    return words;
}

TEST(StillOpen, EveryLineUntilSomethingIsSaidOfIt) {
    auto all = all_words();
    std::erase(all, "recheck");  // the small well's repair names no test for it
    EXPECT_EQ(words_open({hands, mended}), all);
    EXPECT_FALSE(is_open({hands, mended, {about, "leaving:covers", "checked"}}, "covers"));
    EXPECT_FALSE(is_open({hands, mended, {about, "leaving:relief", "not-here"}}, "relief"));
    EXPECT_FALSE(
        is_open({hands, mended, {about, "leaving:amps", "without: no clamp meter"}}, "amps"));
    EXPECT_TRUE(
        is_open({hands, mended, {about, "leaving:covers", "checked"}, {undo, "3", ""}}, "covers"));
}

TEST(StillOpen, WhereNothingIsCuredOnlyThatThePlaceIsSafe) {
    EXPECT_EQ(
        words_open({hands}, false),
        (std::vector<std::string>{"covers", "valves", "power", "relief", "water", "customer"}));
    EXPECT_EQ(words_open({}, false), (std::vector<std::string>{"relief", "water", "customer"}))
        << "an owner on the phone opens nothing";
    EXPECT_EQ(words_open({{person, "", "owner"}}),
              (std::vector<std::string>{"cycles", "relief", "water", "customer"}));
    EXPECT_TRUE(is_open({{did_test, "look-at-contacts", ""}}, "covers"))
        << "somebody had the cover off, whoever it was";
    EXPECT_TRUE(is_open({{found, "contacts-open", "yes@look-at-contacts"}}, "covers"));
    EXPECT_TRUE(is_open({{state, "power", "off"}}, "covers"));
}

TEST(StillOpen, AReadingIsWantedAndMustBearTheLineOut) {
    const StoryEvent in = {about, "left:cut-in", "40 psi"};
    const auto with = [&](std::vector<StoryEvent> more) {
        more.insert(more.begin(), {hands, mended, in});
        return more;
    };
    EXPECT_TRUE(is_open(with({}), "cut-in-out")) << "cut-out is missing";
    EXPECT_FALSE(is_open(with({{about, "left:cut-out", "60 psi"}}), "cut-in-out"));
    EXPECT_TRUE(is_open(with({{about, "left:cut-out", "39 psi"}}), "cut-in-out"));
    EXPECT_FALSE(is_open(with({{about, "left:precharge", "38 psi"}}), "precharge"));
    EXPECT_TRUE(is_open(with({{about, "left:precharge", "40 psi"}}), "precharge"))
        << "a tank charged to cut-in or more runs dry before the pump starts";
    EXPECT_FALSE(is_open(with({{about, "left:leak-down", "1 psi"}}), "leak-down"));
    EXPECT_TRUE(is_open(with({{about, "left:leak-down", "6 psi"}}), "leak-down"));
    EXPECT_FALSE(
        is_open(with({{about, "left:leak-down", "6 psi"},
                      {about, "leaving:leak-down", "without: the toilet runs, owner knows"}}),
                "leak-down"))
        << "what is known and said is no secret";
    EXPECT_NE(against_leaving(event_of({about, "leaving:cut-in-out", "checked"}, 1)), "");
}

TEST(StillOpen, APressureNearTheKnownPlateIsNoneToLeaveWith) {
    Knowledge knowledge = small_well::knowledge();
    const auto open = [&](const std::string& plate, const std::string& cut_out) {
        std::vector<StoryEvent> told = {
            hands, mended, {about, "left:cut-in", "40 psi"}, {about, "left:cut-out", cut_out}};
        if (!plate.empty())
            told.push_back({set, "plate", plate});
        const auto lines = still_open(knowledge, job_with(told), true);
        return std::any_of(lines.begin(), lines.end(),
                           [](const OpenLine& line) { return line.word == "cut-in-out"; });
    };
    Setting& plate =
        knowledge.settings.emplace_back(small_well::choices("plate", "", "", {"low", "high"}));
    plate.gives = {{{"lowest-rating", 75}}, {{"lowest-rating", 125}}};
    EXPECT_FALSE(open("", "70 psi")) << "nobody knows the plate";
    EXPECT_TRUE(open("low", "70 psi")) << "within a tenth of it";
    EXPECT_FALSE(open("low", "60 psi"));
    EXPECT_FALSE(open("high", "70 psi"));
}

TEST(StillOpen, AmpsOfAMotorThatStandsAreNone) {
    EXPECT_TRUE(is_open({hands, mended, {about, "left:amps", "0 A"}}, "amps"));
    EXPECT_FALSE(is_open({hands, mended, {about, "left:amps", "7 A"}}, "amps"));
}

// What is not there cannot be read; the settings are those of the knowledge that comes with it.
TEST(StillOpen, ALineThatAKnownSettingExcludesIsNotAsked) {
    Knowledge knowledge = small_well::knowledge();
    knowledge.settings.push_back(small_well::choices("tank-kind", "", "", {"bladder", "plain"}));
    knowledge.settings.push_back(
        small_well::choices("drive", "", "", {"fixed", "pressure-valve", "variable-speed"}));
    const auto asked = [&](const std::string& setting, const std::string& value,
                           const std::string& word) {
        const auto open =
            still_open(knowledge, job_with({hands, mended, {set, setting, value}}), true);
        return std::any_of(open.begin(), open.end(),
                           [&](const OpenLine& line) { return line.word == word; });
    };
    EXPECT_FALSE(asked("tank-kind", "plain", "precharge"));
    EXPECT_TRUE(asked("tank-kind", "bladder", "precharge"));
    EXPECT_TRUE(asked("tank-kind", "plain", "cut-in-out"));
    EXPECT_FALSE(asked("drive", "variable-speed", "cut-in-out"));
    EXPECT_TRUE(asked("drive", "pressure-valve", "cut-in-out"));
    EXPECT_TRUE(asked("drive", "variable-speed", "precharge"));
}

// Salt in a softener moves no needle of the pump; whoever locked out, let pressure out or came near
// pump, tank or switch has the whole list.
TEST(StillOpen, WhatTheRepairWasFarFromIsNotAsked) {
    Knowledge knowledge = small_well::knowledge();
    knowledge.causes.resize(1);
    knowledge.repairs[0].fixes = {{CauseId(std::size_t{0}), {}}};
    Step& step = knowledge.repairs[0].step;
    std::string& part = knowledge.causes[0].part;
    part = "treatment";
    using Words = std::set<std::string>;
    const auto open = [&](const std::vector<StoryEvent>& more) {
        std::vector<StoryEvent> told = {hands, mended};
        told.insert(told.end(), more.begin(), more.end());
        Words words;
        for (const OpenLine& line : still_open(knowledge, job_with(told), true))
            words.insert(line.word);
        return words;
    };
    const Words few = {"customer", "cycles", "killer", "leak-down",
                       "power",    "relief", "valves", "water"};
    Words all = few;
    all.insert({"amps", "covers", "cut-in-out", "precharge"});
    EXPECT_EQ(open({}), few);
    EXPECT_EQ(open({{state, "power", "off"}}), all);
    EXPECT_EQ(open({{state, "tank", "drained"}}), all) << "under a lock-out";
    EXPECT_EQ(open({{did, "what-is-gone", ""}}), all) << "nobody knows what that was";
    EXPECT_EQ(open({{about, "left:leak-down", "6 psi"}}), few) << "it does not hold";
    Words contradicted = few;
    contradicted.insert("precharge");
    EXPECT_EQ(open({{about, "left:cut-in", "40 psi"}, {about, "left:precharge", "70 psi"}}),
              contradicted);

    knowledge.accesses[0].hazards = {Hazard::live};
    EXPECT_EQ(open({{state, "access", knowledge.accesses[0].head.id}}), all);
    EXPECT_EQ(open({}), few);
    step.needs.skill = Skill::qualified;
    step.needs.pressure = Pressure::zero;
    EXPECT_EQ(open({}), all) << "under a lock-out";
    step.needs.pressure = Pressure::any;
    EXPECT_EQ(open({}), few);
    step.hazards = {Hazard::live};
    EXPECT_EQ(open({}), all);
    step.hazards = {};
    part = "control";
    EXPECT_EQ(open({}), all) << "a drive's settings";
}

TEST(StillOpen, ReadingsThatCannotBeAreReadAgainHoweverTheJobIsClosed) {
    const std::vector<StoryEvent> read = {{about, "left:cut-in", "38 psi"},
                                          {about, "left:cut-out", "20 psi"}};
    const auto open = [&](std::vector<StoryEvent> told) {
        told.insert(told.end(), read.begin(), read.end());
        const auto words = words_open(told, false);
        return std::find(words.begin(), words.end(), "cut-in-out") != words.end();
    };
    EXPECT_TRUE(open({hands}));
    EXPECT_TRUE(open({})) << "by an owner too";
    EXPECT_FALSE(open({hands, {about, "leaving:cut-in-out", "without: the gauge sticks"}}));
    EXPECT_EQ(misread(leaving_of(job_with(read))),
              "cut-out 20 psi is not above cut-in 38 psi: read both again");
    const auto bad_but_true = words_open(
        {hands, {about, "left:leak-down", "6 psi"}, {about, "left:precharge", "40 psi"}}, false);
    EXPECT_EQ(bad_but_true, words_open({hands}, false)) << "what is not mended may be so";
}

TEST(StillOpen, WhatWasSaidBeforeTheLastRepairOrLockOutOrReopeningIsAskedAgain) {
    const StoryEvent covers = {about, "leaving:covers", "checked"};
    const StoryEvent amps = {about, "left:amps", "8 A"};
    for (const StoryEvent& change :
         {mended, StoryEvent{state, "power", "off"}, StoryEvent{state, "pressure", "zero"},
          StoryEvent{state, "tank", "drained"}}) {
        EXPECT_TRUE(is_open({hands, covers, change}, "covers")) << change.value;
        EXPECT_TRUE(is_open({hands, amps, change}, "amps")) << change.value;
        EXPECT_FALSE(is_open({hands, change, covers}, "covers")) << change.value;
    }
    EXPECT_FALSE(is_open({hands, covers, {state, "power", "on"}}, "covers"));
    EXPECT_TRUE(is_open({hands, covers, {closed, "", "cured"}, {undo, "3", ""}}, "covers"))
        << "reopened";
    EXPECT_FALSE(is_open({hands, covers, {closed, "", "cured"}}, "covers"));
}

TEST(StillOpen, ARepairIsLookedAtOnceMore) {
    Knowledge knowledge = small_well::knowledge();
    knowledge.repairs[0].recheck = {TestId{0}, TestId{2}};
    const auto open = [&](const std::vector<StoryEvent>& told) {
        for (const OpenLine& line : still_open(knowledge, job_with(told), true))
            if (line.word == "recheck")
                return line.says;
        return std::string();
    };
    EXPECT_NE(open({hands, mended}).find("Test read-gauge and Test try-faucet"), std::string::npos);
    EXPECT_NE(open({hands, mended, {found, "flow", "full@try-faucet"}}).find(": Test read-gauge."),
              std::string::npos);
    EXPECT_EQ(
        open({hands, mended, {found, "flow", "full@try-faucet"}, {did_test, "read-gauge", ""}}),
        "");
    EXPECT_NE(open({hands, {did_test, "read-gauge", ""}, mended}), "") << "looked at too early";
    EXPECT_EQ(open({hands}), "");
}

TEST(LeftReadings, AreKeptInTheirUnit) {
    const Knowledge knowledge = small_well::knowledge();
    const auto kept = [&](const std::string& word, const std::string& value) {
        return spelled_out(knowledge, event_of({about, "left:" + word, value}, 1)).value;
    };
    // 1 bar = 100000 Pa, 1 psi = 6894.757 Pa (NIST SP 811, appendix B.8).
    EXPECT_EQ(kept("cut-in", "2.7bar"), "39.1602 psi");
    EXPECT_EQ(kept("cut-out", "60"), "60 psi");
    EXPECT_EQ(kept("amps", "8500mA"), "8.5 A");
    const auto job = job_with({{about, "left:cut-in", "38 psi"}, {about, "left:flow", "9.5 gpm"}});
    EXPECT_EQ(leaving_of(job).readings,
              (std::map<std::string, double>{{"cut-in", 38}, {"flow", 9.5}}));
}

TEST(LeftReadings, WhatCannotBeIsRefused) {
    const auto against = [](const std::string& what, const std::string& value) {
        return refusal(small_well::knowledge(), job_with({}), event_of({about, what, value}, 1));
    };
    EXPECT_EQ(against("left:cut-in", "38 psi"), "");
    EXPECT_NE(against("left:cut-in", "3 volts"), "");
    EXPECT_NE(against("left:cut-in", "-1 psi"), "");
    EXPECT_NE(against("left:cut-in", "500 psi"), "");
    EXPECT_NE(against("left:cut-in", ""), "");
    EXPECT_NE(against("left:height", "3 ft"), "");
    EXPECT_EQ(against("leaving:covers", "checked"), "");
    EXPECT_NE(against("leaving:covers", "perhaps"), "");
    EXPECT_NE(against("leaving:covers", "without:  "), "");
    EXPECT_NE(against("leaving:everything", "checked"), "");
}

// Jobs that were closed before these entries had a kind of their own.
TEST(LeavingNow, ReadsTheNotesOfTheFirstVersion) {
    const LeavingNow now = leaving_of(
        job_with({{note, "", "as left: cut-in = 38 psi"},
                  {note, "", "as left: cut-in = much"},
                  {note, "", "checked before leaving: covers"},
                  {note, "", "checked before leaving: relief (there is no such thing here)"},
                  {note, "", "the owner has a dog"}}));
    EXPECT_EQ(now.readings, (std::map<std::string, double>{{"cut-in", 38}}));
    EXPECT_EQ(now.said,
              (std::map<std::string, std::string>{{"covers", "checked"}, {"relief", "not-here"}}));
    EXPECT_EQ(leaving_of(job_with({{note, "", "checked before leaving: all"}})).said.size(),
              leaving_checks().size());
}

TEST(LeavingNow, TheLastWordOnALineHolds) {
    const LeavingNow now = leaving_of(job_with({{about, "leaving:amps", "without: no meter"},
                                                {about, "leaving:water", "checked"},
                                                {about, "leaving:water", "not-here"},
                                                {about, "leaving:amps", "not-here"},
                                                {about, "left:amps", "8 A"},
                                                {instead, "5", "9 A"}}));
    EXPECT_TRUE(now.without.empty());
    EXPECT_EQ(now.said,
              (std::map<std::string, std::string>{{"amps", "not-here"}, {"water", "not-here"}}));
    EXPECT_EQ(now.readings.at("amps"), 9) << "corrected at its place";
}

}  // namespace
}  // namespace knockwell
