// The guided conversation: what is typed into a pipe, what is shown, what is kept.
#include "cli/keys.hpp"
#include "cli/support.hpp"
#include "job/job.hpp"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <fstream>
#include <random>
#include <set>
#include <sstream>

namespace knockwell {
namespace {

using Json = nlohmann::ordered_json;

constexpr const char* opening_call =
    "knockwell open --area heron-bottom --installation HB-17 --set pump=submersible "
    "--says water-comes-back";

/// One visit in which this is typed, a line each.
Printed visit(Stage& stage, const std::vector<std::string>& lines,
              const std::string& command = "knockwell visit") {
    std::string typed;
    for (const std::string& line : lines)
        typed += line + "\n";
    std::istringstream in(typed);
    stage.here.in = &in;
    Printed printed = stage.type(command);
    stage.here.in = nullptr;
    return printed;
}

Json job_of(Stage& stage, const std::string& id = "") {
    return Json::parse(stage.type("knockwell jobs show --json " + id).out);
}

/// "found tank-sounds-dull = yes@knock-on-tank" for each entry, those taken back left out.
std::vector<std::string> entries(Stage& stage, const std::string& id = "") {
    std::vector<std::string> all;
    const Json job = job_of(stage, id);
    for (const Json& entry : job["entries"])
        if (entry["stands"].get<bool>())
            all.push_back(entry["kind"].get<std::string>() + " " +
                          entry["what"].get<std::string>() + " = " +
                          entry["value"].get<std::string>());
    return all;
}

bool is_kept(Stage& stage, const std::string& entry, const std::string& id = "") {
    const auto all = entries(stage, id);
    return std::find(all.begin(), all.end(), entry) != all.end();
}

/// What was shown after the last line that was typed.
std::string last_turn(const std::string& out) {
    const std::size_t at = out.rfind("\n> ");
    const std::size_t before = at == std::string::npos ? at : out.rfind("\n> ", at - 1);
    return before == std::string::npos ? out : out.substr(before);
}

const std::vector<std::string> qualified = {"4", "0", "0", "1"};

std::vector<std::string> after_arrival(std::vector<std::string> more) {
    std::vector<std::string> all = qualified;
    all.insert(all.end(), more.begin(), more.end());
    return all;
}

TEST(Visit, KeepsEveryAnswerAtOnceAndTheEndOfTheInputKeepsTheJob) {
    Stage stage(small_well());
    const Printed first =
        visit(stage, {"1", "0", "2"}, "knockwell visit --area heron-bottom --installation HB-17");
    ASSERT_EQ(first.status, 0) << first.err;
    EXPECT_NE(first.out.find("is kept; go on with:"), std::string::npos);
    EXPECT_TRUE(is_kept(stage, "person  = owner"));
    EXPECT_TRUE(is_kept(stage, "said pump-never-stops = no")) << "none of these dangers";
    const std::size_t before = entries(stage).size();
    const Printed again = visit(stage, {"1"});
    EXPECT_NE(again.out.find("Goes on after " + std::to_string(before) + " entries"),
              std::string::npos);
    EXPECT_EQ(entries(stage).size(), before + 1);
    EXPECT_EQ(visit(stage, {}).status, 0) << "nothing at all is typed";
    EXPECT_EQ(entries(stage).size(), before + 1);
    EXPECT_EQ(stage.type("knockwell visit").status, 0) << "there is no input";
}

TEST(Visit, IsAlsoAskedOfAJobThatIsNotThereOrClosed) {
    Stage stage(small_well());
    EXPECT_EQ(visit(stage, {"1"}).status, 1);
    EXPECT_EQ(visit(stage, {"1"}, "knockwell visit --area heron-bottom").status, 2);
    ASSERT_EQ(stage.type(opening_call).status, 0);
    EXPECT_EQ(visit(stage, {"1"}, "knockwell visit --json").status, 2);
    const std::string id = job_of(stage)["job"];
    ASSERT_EQ(stage.type("knockwell close --not-cured" + std::string(all_seen_to)).status, 0);
    const Printed closed = visit(stage, {"1"}, "knockwell visit --job " + id);
    EXPECT_EQ(closed.status, 2);
    EXPECT_NE(closed.err.find("jobs reopen"), std::string::npos);
}

// What the one before had made safe must not be used before it is said who is there now.
TEST(Visit, NothingIsToldBeforeItIsSaidWhoIsThere) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_call).status, 0);
    const std::size_t before = entries(stage).size();
    const Printed shown = visit(stage, {"t", "o", "u", "l", "b", "7", "x"});
    EXPECT_EQ(entries(stage).size(), before);
    EXPECT_EQ(shown.out.find("MOST LIKELY"), std::string::npos);
}

TEST(Visit, APipeFullOfOneKeyHasABottom) {
    for (const char* key : {"p", "t", "o", "l", "d", "u", "w", "1", "0"}) {
        Stage stage(small_well());
        ASSERT_EQ(stage.type(opening_call).status, 0);
        std::vector<std::string> typed = {"1"};
        typed.insert(typed.end(), 20, key);
        EXPECT_EQ(visit(stage, typed).status, 0) << key;
    }
}

TEST(Visit, AsksForDangersBeforeAnythingElse) {
    Stage stage(small_well());
    const Printed shown =
        visit(stage, {"1"}, "knockwell visit --area heron-bottom --installation HB-17");
    EXPECT_TRUE(in_order(shown.out, "WHO IS THERE?", "DANGER FIRST: READ THIS OUT"));
    EXPECT_NE(shown.out.find("1  Pump never stops"), std::string::npos);
    EXPECT_EQ(shown.out.find("MOST LIKELY"), std::string::npos);
    const Printed next = visit(stage, {"1", "0"});
    EXPECT_TRUE(in_order(next.out, "READ THIS OUT", "WHAT IS THE TROUBLE?"));
}

// What is seen at half of all houses anyway is common, and no reason to call.
TEST(Visit, OffersWhatTroubleBringsUpBeforeWhatIsSeenAnyway) {
    const auto stage = Stage::apart(small_well());
    std::ofstream("kb/signs.toml", std::ios::app) << R"(
[symptom.snow-cleared]
title = "Snow was cleared over the line"
ask   = "Was snow cleared where the line lies?"
seen_anyway = "5 in 10"
)";
    const Printed shown =
        visit(*stage, {"1", "0"}, "knockwell visit --area heron-bottom --installation HB-17");
    const std::string questions = shown.out.substr(shown.out.find("WHAT IS THE TROUBLE?"));
    EXPECT_TRUE(in_order(questions, "No water at all", "Snow was cleared")) << questions;
}

// Help and the end are known where licences are asked for, too.
TEST(Visit, LicencesAreAskedWithTheKeysOfEveryPrompt) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_call).status, 0);
    const Printed shown = visit(stage, {"4", "?", "q"});
    EXPECT_EQ(shown.out.find("none of the answers here"), std::string::npos) << shown.out;
    const std::string after = shown.out.substr(shown.out.find("Which licences?"));
    EXPECT_EQ(after.find("STOP CHECK"), std::string::npos) << "it is over";
    EXPECT_FALSE(is_kept(stage, "person  = qualified"));
}

// A stop comes first and alone; who may not lift it is not offered to; it is lifted by one key.
TEST(Visit, ADangerStandsAloneUntilWhoMayLiftsIt) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_call).status, 0);
    const Printed owner = visit(stage, {"1", "1", "1", "o", "w"});
    const std::string after = owner.out.substr(owner.out.find("DANGER: The pump runs on"));
    EXPECT_TRUE(is_kept(stage, "said pump-never-stops = yes"));
    EXPECT_EQ(after.find("MOST LIKELY"), std::string::npos) << after;
    EXPECT_EQ(after.find("Check:"), std::string::npos) << after;
    EXPECT_NE(after.find("Nobody here can lift it"), std::string::npos);
    EXPECT_EQ(after.find("It is lifted, seen to"), std::string::npos);
    EXPECT_NE(after.find("Nothing but the danger"), std::string::npos) << "no other steps";
    // A helper may open a drain, but not while nobody qualified has locked out.
    const Printed helper = visit(stage, {"3", "1"});
    EXPECT_EQ(helper.out.find("It is lifted, seen to"), std::string::npos);
    const Printed told = visit(stage, {"3", "t", "1", "drain", "1"});
    EXPECT_NE(told.out.find("only who may make that look can tell it"), std::string::npos);
    EXPECT_FALSE(is_kept(stage, "found pressure-proved-zero = yes"));
    const Printed lifted = visit(stage, {"4", "0", "1"});
    EXPECT_TRUE(is_kept(stage, "found pressure-proved-zero = yes"));
    EXPECT_NE(last_turn(lifted.out).find("FIRST ON ARRIVAL"), std::string::npos) << lifted.out;
}

TEST(Visit, ADangerIsNotUndoneByASlip) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_call).status, 0);
    const Printed kept = visit(stage, {"1", "1", "u", "2"});
    EXPECT_NE(kept.out.find("That would take back a danger"), std::string::npos);
    EXPECT_TRUE(is_kept(stage, "said pump-never-stops = yes"));
    visit(stage, {"1", "u", "1"});
    EXPECT_FALSE(is_kept(stage, "said pump-never-stops = yes"));
}

// The place of the look in the list of other steps.
std::string place_of_the_contacts(Stage& stage) {
    const Printed first = visit(stage, after_arrival({"o"}));
    for (const std::string& line : lines_of(last_turn(first.out)))
        if (line.find("Look at the contacts") != std::string::npos)
            return line.substr(line.find_first_not_of(' '), 1);
    return "";
}

// Preparations one by one: there, off and proved dead, cover off, power on again for the look.
TEST(Visit, LeadsToALookAtLivePartsOneSafeStepAfterTheOther) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_call).status, 0);
    const std::string place = place_of_the_contacts(stage);
    ASSERT_FALSE(place.empty());
    const Printed walked = visit(stage, after_arrival({"o", place, "1", "1", "1", "1", "1"}));
    EXPECT_TRUE(in_order(walked.out, "Reach: Tank", "First: Switch the power off"));
    EXPECT_TRUE(in_order(walked.out, "First: Switch the power off", "Reach: Switch cover off"));
    EXPECT_TRUE(in_order(walked.out, "Reach: Switch cover off", "restore the power"));
    EXPECT_TRUE(in_order(walked.out, "restore the power", "Do: Restore power, stand clear"));
    EXPECT_TRUE(is_kept(stage, "state power = off"));
    EXPECT_TRUE(is_kept(stage, "state power = on"));
    EXPECT_TRUE(is_kept(stage, "found contacts-stay-open = yes@look-at-contacts")) << walked.out;
}

// A reset that is under way ends where a finding comes in that would trip it again.
TEST(Visit, AResetEndsWhenWhatTrippedItIsAsGoodAsKnown) {
    const auto stage = Stage::apart(small_well());
    std::ofstream("kb/trip.toml") << R"([cause.grounded]
title   = "Winding grounded"
present = "5 in 1000"
shows   = { megohms-low = "99 in 100" }

[cause.tripped]
title         = "Breaker tripped"
present       = "4 in 1000"
brought_on_by = { grounded = "9 in 10" }
shows         = { breaker-out = "99 in 100" }

[symptom.breaker-out]
title       = "Breaker is out"
seen_anyway = "1 in 10000"

[observation.megohms-low]
title       = "Megohms low"
seen_anyway = "1 in 1000"

[test.megohms]
title   = "Megohms to ground"
how     = "Measure."
reveals = ["megohms-low"]
minutes = 90

[repair.reset-it]
title   = "Reset it once"
how     = "Off, then on."
fixes   = { tripped = "9 in 10" }
minutes = 1
resets  = true
)";
    ASSERT_EQ(stage->type("knockwell open --area a --installation b --says breaker-out").status, 0);
    const Printed before = visit(*stage, after_arrival({}));
    EXPECT_NE(before.out.find("Repair: Reset it once"), std::string::npos) << before.out;
    EXPECT_EQ(before.out.find("Held back"), std::string::npos) << before.out;
    const Printed told = visit(*stage, after_arrival({"t", "1", "megohms", "1", "1"}));
    EXPECT_TRUE(is_kept(*stage, "found megohms-low = yes")) << told.out;
    EXPECT_TRUE(in_order(told.out, "Repair: Reset it once",
                         "Held back: Reset it once: first what tripped it"))
        << told.out;
}

// What is set dead is set once: the power that then comes back does not ask for it anew.
TEST(Visit, SetsDeadWhatIsToBeSetDeadBeforeThePower) {
    const auto stage = Stage::apart(small_well());
    std::string steps = text_of_file("kb/steps.toml");  // of the stage: its folder is the current
    const std::string head = "[test.look-at-contacts]\n";
    ASSERT_NE(steps.find(head), std::string::npos);
    steps.insert(steps.find(head) + head.size(), "set_dead = \"Set the camera\"\n");
    std::ofstream("kb/steps.toml") << steps;
    ASSERT_EQ(stage->type(opening_call).status, 0);
    const std::string place = place_of_the_contacts(*stage);
    ASSERT_FALSE(place.empty());
    const Printed walked = visit(*stage, after_arrival({"o", place, "1", "1", "1", "1", "1", "1"}));
    EXPECT_TRUE(in_order(walked.out, "Reach: Switch cover off", "First: Set the camera"));
    EXPECT_TRUE(in_order(walked.out, "done: it is set", "restore the power"));
    EXPECT_TRUE(in_order(walked.out, "restore the power", "Do: Restore power, stand clear"));
    EXPECT_TRUE(is_kept(*stage, "found contacts-stay-open = yes@look-at-contacts")) << walked.out;
}

TEST(Visit, PowerOffIsNotRememberedAcrossAVisitNorABreakNorAnUndo) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_call).status, 0);
    const std::vector<std::string> lock_off = {"t", "5", "3"};
    visit(stage, after_arrival(lock_off));
    ASSERT_TRUE(is_kept(stage, "state power = off"));
    EXPECT_NE(stage.type("knockwell next").out.find("on site, power off"), std::string::npos);
    visit(stage, {"4", "0"});
    EXPECT_EQ(stage.type("knockwell next").out.find("on site, power off"), std::string::npos);
    // Taking back that somebody came brings nothing back.
    ASSERT_EQ(stage.type("knockwell undo").status, 0);
    EXPECT_EQ(stage.type("knockwell next").out.find("on site, power off"), std::string::npos);
    visit(stage, after_arrival(lock_off));
    visit(stage, after_arrival({"b"}));
    EXPECT_EQ(stage.type("knockwell next").out.find("on site, power off"), std::string::npos);
    EXPECT_TRUE(is_kept(stage, "left  = "));
    const Printed again = visit(stage, {"4", "0"});
    EXPECT_NE(again.out.find("do not count"), std::string::npos);
}

TEST(Visit, OnlyAQualifiedPersonTellsThatPowerIsOff) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_call).status, 0);
    for (const char* who : {"1", "2", "3"}) {
        const Printed shown = visit(stage, {who, "0", "1", "t", "5"});
        EXPECT_EQ(shown.out.find("every leg proved dead by me"), std::string::npos) << who;
    }
    EXPECT_NE(visit(stage, {"4", "0", "0", "1", "t", "5"}).out.find("every leg proved dead by me"),
              std::string::npos);
}

TEST(Visit, UndoTakesBackTheAnswerAndAsksItAgain) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_call).status, 0);
    const Printed shown = visit(stage, {"1", "0", "1", "u"});
    EXPECT_NE(shown.out.find("Taken back: "), std::string::npos);
    const Json job = job_of(stage);
    EXPECT_EQ(job["entries"].back()["kind"], "undo");
    EXPECT_EQ(stage.type("knockwell visit --now yesterday").status, 2);
}

TEST(Visit, TheStopCheckIsTakenBack) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_call).status, 0);
    visit(stage, {"1", "0"});
    const auto checked = entries(stage);
    EXPECT_GT(std::count_if(checked.begin(), checked.end(),
                            [](const std::string& entry) { return entry.ends_with(" = no"); }),
              0);
    Stage again(small_well());
    ASSERT_EQ(again.type(opening_call).status, 0);
    visit(again, {"1", "0", "u"});
    for (const std::string& entry : entries(again))
        EXPECT_FALSE(entry.ends_with(" = no")) << entry;
}

TEST(Visit, WhatCannotBeDoneOrLeftOneUnsureIsNotOfferedAgain) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_call).status, 0);
    const Printed shown = visit(stage, {"1", "0", "c", "n", "c", "c", "c", "c"});
    std::set<std::string> passed;
    const Json job = job_of(stage);
    for (const Json& entry : job["entries"])
        if (entry["kind"] == "pass") {
            EXPECT_TRUE(passed.insert(entry["what"]).second) << entry["what"] << shown.out;
        }
    EXPECT_GE(passed.size(), 3U);
}

TEST(Visit, FreeOrderFindsSignsFactsRepairsAndWhatTheTruckLacks) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_call).status, 0);
    visit(stage, after_arrival({"t",
                                "1",
                                "dull",
                                "1",
                                "1",
                                "t",
                                "2",
                                "range",
                                "1",
                                "2",
                                "t",
                                "3",
                                "replace the tank",
                                "1",
                                "t",
                                "4",
                                "nipple",
                                "1",
                                "t",
                                "6",
                                "well cap is sound"}));
    EXPECT_TRUE(is_kept(stage, "found tank-sounds-dull = yes"));
    EXPECT_TRUE(is_kept(stage, "set switch-range = 40/60"));
    EXPECT_TRUE(is_kept(stage, "did replace-tank = "));
    EXPECT_TRUE(is_kept(stage, "state lacks = part:nipple"));
    EXPECT_TRUE(is_kept(stage, "note  = well cap is sound"));
}

TEST(Visit, ReadingsAreTypedAsNumbersAndNonsenseIsSaidToBeSo) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_call).status, 0);
    const Printed wrong = visit(stage, after_arrival({"t", "1", "gauge", "1", "3 volts"}));
    EXPECT_NE(wrong.out.find("volts where psi is wanted"), std::string::npos) << wrong.out;
    visit(stage, after_arrival({"t", "1", "gauge", "1", "38"}));
    EXPECT_TRUE(is_kept(stage, "found system-pressure = 38 psi"));
    visit(stage, after_arrival({"t", "1", "gauge", "1", "r", "2"}));
    EXPECT_TRUE(is_kept(stage, "found system-pressure = below-cut-in"));
}

// Common practice, no source: a job is left by its list, and what is not so keeps it open.
TEST(Visit, LeavingGoesThroughTheListAndKeepsWhatIsLeft) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_call).status, 0);
    const Printed stays = visit(stage, after_arrival({"l", "1", "1", "2"}));
    EXPECT_NE(stays.out.find("See to it first. The job stays open."), std::string::npos);
    EXPECT_FALSE(job_of(stage)["closed"]);
    // "covers" was said already, but a repair came after it. Precharge first shows the contrary.
    std::vector<std::string> leaving = {"t", "3", "clear", "1", "l", "1"};
    for (const char* line :
         {"1", "4", "the tank is rusted shut", "1", "1", "1", "1", "38", "58psi", "1", "volts"})
        leaving.emplace_back(line);
    const Printed stuck = visit(stage, after_arrival(leaving));
    EXPECT_NE(stuck.out.find("no number"), std::string::npos) << stuck.out;
    EXPECT_FALSE(job_of(stage)["closed"]);
    // What was said holds: the list goes on at the amps.
    leaving = {"l", "1", "1", "7.5", "3", "1", "0psi", "1", "1", "1", "1", "1", "2", "0"};
    const std::string id = job_of(stage)["job"];
    const Printed closed = visit(stage, after_arrival(leaving));
    EXPECT_NE(closed.out.find("is closed."), std::string::npos) << closed.out;
    EXPECT_TRUE(in_order(closed.out, "WARNING: Line voltage kills", "Running amps of each leg"));
    EXPECT_EQ(closed.out.find("Every cover is on"), std::string::npos) << "that was said";
    EXPECT_NE(closed.out.find("As left: cut-in 38 psi, cut-out 58 psi, amps 7.5 A"),
              std::string::npos);
    EXPECT_NE(closed.out.find("Left without precharge, because: the tank is rusted shut"),
              std::string::npos);
    EXPECT_NE(closed.out.find("Does not apply here: relief"), std::string::npos);
    EXPECT_NE(closed.out.find("FOR THE CUSTOMER"), std::string::npos);
    EXPECT_NE(closed.out.find("FOR THE INVOICE"), std::string::npos);
    const Json job = Json::parse(stage.type("knockwell jobs show --json " + id).out);
    EXPECT_TRUE(job["closed"]);
    EXPECT_EQ(job["summary"]["outcome"], "cured");
    EXPECT_EQ(job["summary"]["causes"][0]["how"], "fixed-it");
}

TEST(Visit, BeginsAJobItselfWhereNoneIsOpen) {
    Stage stage(small_well());
    const Printed nothing = visit(stage, {""}, "knockwell visit");
    EXPECT_EQ(nothing.status, 1);
    EXPECT_NE(nothing.err.find("knockwell visit --area heron-bottom --installation HB-17"),
              std::string::npos)
        << nothing.err;
    const Printed begun = visit(stage, {"heron-bottom", "HB-17", "1", "0"}, "knockwell visit");
    EXPECT_EQ(begun.status, 0) << begun.err;
    EXPECT_NE(begun.out.find("WHAT IS THE TROUBLE?"), std::string::npos) << begun.out;
    EXPECT_EQ(job_of(stage)["area"], "heron-bottom");
    EXPECT_EQ(job_of(stage)["installation"], "HB-17");
    const Printed goes_on = visit(stage, {"1"}, "knockwell visit");
    EXPECT_NE(goes_on.out.find("Goes on after"), std::string::npos) << "no second job";
}

TEST(Visit, IsNotLeftAsCuredWhileADangerStands) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_call).status, 0);
    const Printed shown = visit(stage, {"1", "1", "l"});
    EXPECT_EQ(shown.out.find("cured, and it was watched"), std::string::npos);
    const std::string id = job_of(stage)["job"];
    visit(stage, {"1", "l", "2", ""});
    EXPECT_FALSE(job_of(stage)["closed"]) << "nobody said who knows of it";
    visit(stage, {"1", "l", "2", "breaker off, owner told"});
    EXPECT_FALSE(is_kept(stage, "note  = closed despite a stop: breaker off, owner told"))
        << "the input ended before it was closed";
    visit(stage, {"1", "l", "2", std::string(longest_value, 'x'), "0"});
    EXPECT_FALSE(job_of(stage)["closed"]) << "too long to be kept";
    visit(stage, {"1", "l", "2", "breaker off, owner told", "0"});
    EXPECT_TRUE(is_kept(stage, "note  = closed despite a stop: breaker off, owner told", id));
    EXPECT_EQ(job_of(stage, id)["summary"]["outcome"], "handed-over");
}

TEST(Visit, LeavesNoReadingsThatCannotBeBesideADanger) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_call).status, 0);
    const std::string id = job_of(stage)["job"];
    // Kept, though it does not close the job.
    ASSERT_EQ(stage.type("knockwell close --as-left cut-in=38psi --as-left cut-out=20psi").status,
              1);
    visit(stage, {"1", "1"});  // a danger
    const Printed shown = visit(stage, {"1", "l", "2", "breaker off, owner told", "0"});
    EXPECT_FALSE(job_of(stage, id)["closed"]) << shown.out;
    EXPECT_NE(shown.out.find("cut-out 20 psi is not above cut-in 38 psi"), std::string::npos)
        << shown.out;
    ASSERT_EQ(stage.type("knockwell close --as-left cut-out=58psi").status, 1);
    visit(stage, {"1", "l", "2", "breaker off, owner told", "0"});
    EXPECT_TRUE(job_of(stage, id)["closed"]);
}

// The second confirmation takes the place of the first; so where a visit ended before the closing.
TEST(Visit, ACauseConfirmedTwiceDoesNotClash) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(std::string(opening_call) + " --found pump-never-stops").status, 0);
    const std::string id = job_of(stage)["job"];
    const std::vector<std::string> to_the_causes = {"1", "l", "2", "breaker off, owner told"};
    const auto confirm = [&](const std::string& how) {
        std::vector<std::string> lines = to_the_causes;
        lines.insert(lines.end(), {"1", how});
        return visit(stage, lines);
    };
    (void)confirm("3");
    (void)confirm("1");
    const Json summary = job_of(stage, id)["summary"];
    ASSERT_EQ(summary["causes"].size(), 1U) << summary;
    EXPECT_EQ(summary["causes"][0]["how"], "seen");
    EXPECT_EQ(summary["clashes"].size(), 0U) << summary;
}

TEST(Visit, WhyTellsWhatEachOutcomeWouldChange) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_call).status, 0);
    const Printed why = visit(stage, {"1", "0", "w"});
    EXPECT_NE(why.out.find("WHAT EACH OUTCOME WOULD CHANGE"), std::string::npos);
    EXPECT_NE(why.out.find("first would be"), std::string::npos);
}

// ---- whatever is typed

/// How often each rule of `expect_safe` had something to judge.
struct Judged {
    int power_off = 0;
    int pressure_zero = 0;
    int cover_off = 0;
    int contacts = 0;
    int proved_zero = 0;
};

/// The safety of the small well, told by hand and checked on the entries alone: not by the filter
/// that chose the steps.
void expect_safe(const Json& job, const std::string& printed_all, Judged& judged) {
    std::string who = "owner";
    bool off = false;
    bool zero = false;
    for (const Json& entry : job["entries"]) {
        const std::string kind = entry["kind"];
        const std::string what = entry["what"];
        const std::string value = entry["value"];
        if (kind == "person") {
            who = value.substr(0, value.find(' '));
            off = zero = false;
        } else if (kind == "left" || kind == "resumed") {
            off = zero = false;
        } else if (kind == "state" && what == "power") {
            off = value == "off";
            zero = zero && off;
            judged.power_off += off ? 1 : 0;
            EXPECT_TRUE(!off || who == "qualified") << who << printed_all;
        } else if (kind == "state" && what == "pressure") {
            zero = value == "zero";
            judged.pressure_zero += zero ? 1 : 0;
            EXPECT_TRUE(!zero || who != "owner") << printed_all;
        } else if (kind == "state" && what == "access" && value == "switch-cover-off") {
            ++judged.cover_off;
            EXPECT_EQ(who, "qualified") << printed_all;
        } else if (kind == "found" && value.find("@look-at-contacts") != std::string::npos) {
            ++judged.contacts;
            EXPECT_EQ(who, "qualified") << printed_all;
        } else if (kind == "found" && what == "pressure-proved-zero" && value != "no") {
            ++judged.proved_zero;
            EXPECT_TRUE(who == "qualified" || (who == "helper" && off)) << who << printed_all;
        }
    }
}

/// Forty lines: whatever comes, or of somebody who works on, mostly by the first answer.
std::vector<std::string> lines_typed(std::uint32_t seed, bool works_on) {
    const std::vector<std::string> keys = {
        "0",  "1",      "1",     "1",    "2",       "3",        "4",    "5",    "6",   "c", "n",
        "u",  "w",      "o",     "t",    "d",       "p",        "?",    "r",    "l",   "x", "",
        "38", "-7 psi", "1e999", "9999", "\x1b[2J", "\xFF\xFE", "dull", "pump", "tank"};
    std::mt19937 random(seed);
    std::vector<std::string> typed;
    if (works_on)
        typed = {std::to_string(1 + random() % 4), "0"};
    while (typed.size() < 40)
        typed.push_back(works_on && random() % 4 != 0 ? "1" : keys[random() % keys.size()]);
    return typed;
}

TEST(Visit, WhateverIsTypedEndsIsHarmlessAndSafe) {
    Judged judged;
    for (std::uint32_t seed = 1; seed <= 24; ++seed) {
        Stage stage(small_well());
        ASSERT_EQ(stage.type(opening_call).status, 0);
        const std::string id = job_of(stage)["job"];
        const Printed shown = visit(stage, lines_typed(seed, seed > 12));
        EXPECT_EQ(shown.status, 0) << "seed " << seed << "\n" << shown.err;
        EXPECT_TRUE(harmless(shown.out)) << "seed " << seed;
        const Json job = Json::parse(stage.type("knockwell jobs show --json " + id).out);
        expect_safe(job, "\nseed " + std::to_string(seed) + "\n" + shown.out, judged);
        EXPECT_EQ(stage.type("knockwell ledger verify").status, 0);
    }
    EXPECT_GT(judged.power_off, 0);
    EXPECT_GT(judged.pressure_zero, 0);
    EXPECT_GT(judged.cover_off, 0);
    EXPECT_GT(judged.contacts, 0);
    EXPECT_GT(judged.proved_zero, 0);
}

// Every "Do:" has the cautions of its step between it and what was typed before.
TEST(Visit, CautionsStandBeforeEachStep) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_call).status, 0);
    const Printed shown =
        visit(stage, after_arrival({"1", "1", "1", "1", "1", "1", "1", "1", "1", "1", "1", "1"}));
    std::size_t steps = 0;
    std::size_t from = 0;
    for (std::size_t at = shown.out.find("\n> "); at != std::string::npos;
         at = shown.out.find("\n> ", from)) {
        const std::string turn = shown.out.substr(from, at - from);
        from = at + 3;
        for (const char* deed_word : {"Do: Knock", "Do: Shut all", "Do: Restore power"})
            if (turn.find(deed_word) != std::string::npos) {
                EXPECT_TRUE(in_order(turn, "CAUTION: Stand on a dry floor.", deed_word));
                ++steps;
            }
        if (turn.find("Do: Restore power") != std::string::npos) {
            EXPECT_TRUE(in_order(turn, "WARNING: With the power on again", "Do: Restore power"));
        }
    }
    EXPECT_GE(steps, 1U) << shown.out;
}

TEST(Keys, ALineIsANumberAKeyOrWords) {
    EXPECT_EQ(reply_of(" 12 ").number, std::size_t{12});
    EXPECT_EQ(reply_of("U").key, 'u');
    EXPECT_EQ(reply_of("?").key, '?');
    EXPECT_EQ(reply_of("12 psi").text, "12 psi");
    EXPECT_FALSE(reply_of("12 psi").number.has_value());
    EXPECT_FALSE(reply_of("12345").number.has_value()) << "no such answer, but a reading";
    EXPECT_EQ(reply_of("12345").text, "12345");
    EXPECT_EQ(reply_of("\x1b[2J").text, "[2J");
    std::istringstream in(std::string(100000, 'a') + "\n2");
    Keys keys(&in);
    EXPECT_EQ(keys.next().text.size(), 4000U) << "cut at what an entry can hold";
    EXPECT_EQ(keys.next().number, std::size_t{2}) << "the last line has no end";
    EXPECT_TRUE(keys.next().end);
    EXPECT_TRUE(Keys(nullptr).next().end);
}

}  // namespace
}  // namespace knockwell
