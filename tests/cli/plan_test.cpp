// The truck list and the printed plan, as a person and as a program gets them.
#include "cli/support.hpp"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <fstream>
#include <set>
#include <sstream>

namespace knockwell {
namespace {

using Json = nlohmann::ordered_json;

constexpr const char* a_job =
    "knockwell open --area heron-bottom --installation HB-17 --set pump=submersible "
    "--says water-comes-back";

/// Every tag that is opened is closed again, in order; those that never are, left out.
testing::AssertionResult tags_fit(const std::string& html) {
    const std::set<std::string> alone = {"!DOCTYPE", "meta"};
    std::vector<std::string> open;
    for (std::size_t at = html.find('<'); at != std::string::npos; at = html.find('<', at + 1)) {
        const std::size_t end = html.find('>', at);
        if (end == std::string::npos)
            return testing::AssertionFailure() << "a tag is open at " << at;
        const std::string inside = html.substr(at + 1, end - at - 1);
        const std::string name = inside.substr(0, inside.find(' '));
        if (alone.contains(name))
            continue;
        if (name[0] != '/') {
            open.push_back(name);
        } else if (open.empty() || open.back() != name.substr(1)) {
            return testing::AssertionFailure() << name << " closes nothing";
        } else {
            open.pop_back();
        }
    }
    return open.empty() ? testing::AssertionSuccess()
                        : testing::AssertionFailure() << open.back() << " stays open";
}

TEST(Truck, IsAskedOfAJobOrOfWhatIsTold) {
    Stage stage(small_well());
    EXPECT_EQ(stage.type("knockwell truck").status, 1) << "there is no job";
    ASSERT_EQ(stage.type(a_job).status, 0);
    const Printed of_job = stage.type("knockwell truck");
    const Printed told =
        stage.type("knockwell truck --set pump=submersible --says water-comes-back");
    EXPECT_EQ(of_job.status, 0) << of_job.err;
    const std::size_t start = of_job.out.find("ROLL THE TRUCK?");
    ASSERT_NE(start, std::string::npos);
    EXPECT_EQ(of_job.out.substr(start), told.out.substr(told.out.find("ROLL THE TRUCK?")));
    EXPECT_EQ(stage.type("knockwell truck --job 1234 --says no-water").status, 2);
    EXPECT_EQ(stage.type("knockwell truck --cover 0").status, 2);
    EXPECT_EQ(stage.type("knockwell truck --says no-such-sign").status, 2);
    EXPECT_TRUE(in_order(told.out, "ON THE TRUCK", "FIRST ON ARRIVAL"));
    EXPECT_TRUE(in_order(told.out, "WARNING: Look before you touch", "(1) Stop check"));
}

TEST(Truck, SaysTheSameAsJson) {
    Stage stage(small_well());
    const Printed printed = stage.type(
        "knockwell truck --says water-comes-back --says pump-never-stops=no --cover 100 --json");
    const Json json = Json::parse(printed.out);
    EXPECT_EQ(json["roll"], "roll");
    EXPECT_EQ(json["stops"].size(), 0U);
    std::set<std::string> parts;
    for (const Json& part : json["truck"]["parts"]) {
        parts.insert(part["id"]);
        EXPECT_GT(part["used"], 0);
        EXPECT_LE(part["used"], 1);
    }
    EXPECT_TRUE(parts.contains("nipple"));
    EXPECT_NEAR(json["truck"]["covered"].get<double>(), 1, 1e-9);
    EXPECT_EQ(json["arrival"]["things"].size(), 3U);
    const std::string leak = "knockwell truck --set pump=submersible --says pump-never-stops";
    const std::string licence = " --who qualified --licence pump-installer";
    const Json others = Json::parse(stage.type(leak + " --json").out)["truck"];
    const Json own = Json::parse(stage.type(leak + licence + " --json").out)["truck"];
    EXPECT_GT(others["handed_over"].get<double>(), 0.05);
    EXPECT_EQ(others["own_licence"], 0);
    EXPECT_EQ(own["handed_over"], 0);
    EXPECT_EQ(own["own_licence"], others["handed_over"]);
    const Json danger = Json::parse(
        stage.type("knockwell truck --says water-comes-back --says pump-never-stops --json").out);
    EXPECT_EQ(danger["roll"], "danger-first");
    EXPECT_TRUE(danger["next"].is_null());
}

// What the card says of a danger, its JSON says too.
TEST(Plan, TellsADangerAsJsonWithWhatToDo) {
    Stage stage(small_well());
    const Json json = Json::parse(
        stage.type("knockwell plan --says water-comes-back --set pump=submersible --json").out);
    EXPECT_NE(json["dangers_first"].get<std::string>().find("Before anything"), std::string::npos);
    std::size_t told = 0;
    for (const Json& step : json["steps"]) {
        EXPECT_TRUE(step["needs"].is_array());
        for (const Json& outcome : step["outcomes"])
            for (const Json& stop : outcome["stops"]) {
                EXPECT_NE(stop["do_now"].get<std::string>(), "");
                ++told;
            }
    }
    EXPECT_GT(told, 0U);
}

// On paper a danger stands with what it was found by, as everywhere.
TEST(Plan, TellsADangerOnPaperWithWhatItStandsOn) {
    Stage stage(small_well());
    const std::string page = stage.type("knockwell plan --says pump-never-stops --html").out;
    EXPECT_TRUE(in_order(page, "DANGER: The pump runs on", "Found: Pump never stops: yes")) << page;
    EXPECT_TRUE(in_order(page, "Do now: ", "It is lifted by finding: pressure-proved-zero"))
        << page;
}

TEST(Plan, IsNumberedAndEveryNumberIsThere) {
    Stage stage(small_well());
    const Json json = Json::parse(
        stage.type("knockwell plan --says water-comes-back --set pump=submersible --json").out);
    ASSERT_GT(json["steps"].size(), 2U);
    for (const Json& step : json["steps"])
        for (const Json& outcome : step["outcomes"])
            if (!outcome["then"].is_null()) {
                EXPECT_GT(outcome["then"], step["number"]);
                EXPECT_LE(outcome["then"], json["steps"].size());
            }
    const Printed text =
        stage.type("knockwell plan --says water-comes-back --set pump=submersible --width 60");
    EXPECT_LE(widest_line(text.out), 60U);
    EXPECT_TRUE(in_order(text.out, "DANGER: Before anything", "1. "));
    EXPECT_EQ(stage.type("knockwell plan --depth 0").status, 2);
    EXPECT_EQ(stage.type("knockwell plan --says no-water --html --json").status, 2);
    EXPECT_EQ(stage.type("knockwell plan").status, 1) << "there is no job";
}

// Where a danger stands there is nothing to plan.
TEST(Plan, HasNoStepWhileADangerStands) {
    Stage stage(small_well());
    const Printed text = stage.type("knockwell plan --says pump-never-stops");
    EXPECT_EQ(text.status, 0);
    EXPECT_NE(text.out.find("DANGER: The pump runs on"), std::string::npos);
    EXPECT_EQ(text.out.find("1. "), std::string::npos) << text.out;
}

// Cautions stand before what is done in every card of the page.
TEST(Plan, PageIsWholeAndCautionsComeFirst) {
    Stage stage(small_well());
    const Printed page = stage.type(
        "knockwell plan --says water-comes-back --set pump=submersible --who qualified --html");
    ASSERT_EQ(page.status, 0) << page.err;
    EXPECT_TRUE(tags_fit(page.out));
    for (const char* outside : {"<script", "http:", "https:", "url(", "src=", "@import", "<img"}) {
        EXPECT_EQ(page.out.find(outside), std::string::npos) << outside;
    }
    std::size_t cards = 0;
    for (std::size_t at = page.out.find("<section"); at != std::string::npos;
         at = page.out.find("<section", at + 1)) {
        const std::string card = page.out.substr(at, page.out.find("</section>", at) - at);
        ++cards;
        for (const char* deed_word : {"Knock with", "Shut all faucets", "Restore power, stand"})
            if (card.find(deed_word) != std::string::npos) {
                EXPECT_TRUE(in_order(card, "CAUTION: Stand on a dry floor.", deed_word));
            }
        if (card.find("Restore power, stand") != std::string::npos) {
            EXPECT_TRUE(in_order(card, "WARNING: With the power on again", "Restore power, stand"));
        }
    }
    EXPECT_GT(cards, 2U);
    // Every number that is gone to is there.
    for (std::size_t at = page.out.find("href=\"#"); at != std::string::npos;
         at = page.out.find("href=\"#", at + 1)) {
        const std::size_t begin = at + 7;
        const std::string id = page.out.substr(begin, page.out.find('"', begin) - begin);
        EXPECT_NE(page.out.find("id=\"" + id + "\""), std::string::npos) << id;
    }
}

// A knowledge base is somebody else's file: nothing in it becomes markup or a control character.
TEST(Plan, NothingOfAFileBecomesMarkup) {
    const auto stage = Stage::apart(small_well());
    for (const auto& file : std::filesystem::directory_iterator("kb")) {
        std::string text = text_of_file(file.path());
        for (std::size_t at = text.find("title = \""); at != std::string::npos;
             at = text.find("title = \"", at + 9))
            text.insert(at + 9, "<script>alert(1)</script>&'\\u001b[2J ");
        for (std::size_t at = text.find("text   = \""); at != std::string::npos;
             at = text.find("text   = \"", at + 10))
            text.insert(at + 10, "</p><img src=x onerror=y>");
        std::ofstream(file.path(), std::ios::binary) << text;
    }
    const Printed page = stage->type(
        "knockwell plan --says water-comes-back --set pump=submersible --who qualified --html");
    ASSERT_EQ(page.status, 0) << page.err;
    EXPECT_NE(page.out.find("&lt;script&gt;"), std::string::npos) << page.out;
    EXPECT_EQ(page.out.find("<script"), std::string::npos);
    EXPECT_EQ(page.out.find("<img"), std::string::npos);
    EXPECT_TRUE(tags_fit(page.out));
    EXPECT_TRUE(harmless(page.out));
}

// ---- reasons of a look, and what overturns a cause

TEST(ReasonsOf, ALookTellsWhatEachOutcomeWouldChange) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(a_job).status, 0);
    const Printed text = stage.type("knockwell reasons read-gauge");
    EXPECT_EQ(text.status, 0) << text.err;
    EXPECT_TRUE(
        in_order(text.out, "CAUTION: Stand on a dry floor.", "WHAT EACH OUTCOME WOULD CHANGE"));
    const Json json = Json::parse(stage.type("knockwell reasons read-gauge --json").out);
    double sum = 0;
    for (const Json& outcome : json["outcomes"]) {
        sum += outcome["p"].get<double>();
        EXPECT_FALSE(outcome["then_first"].get<std::string>().empty());
    }
    EXPECT_NEAR(sum, 1, 1e-8);
    EXPECT_EQ(stage.type("knockwell reasons no-such-thing").status, 2);
}

// What is said to overturn a ranking does so when it is found.
TEST(ReasonsOf, WhatOverturnsACauseDoesSoWhenItIsFound) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(a_job).status, 0);
    const Json before = Json::parse(stage.type("knockwell reasons --json").out);
    const std::string first = before["reasons"][0]["id"];
    std::size_t tried = 0;
    for (const Json& it : before["reasons"][0]["overturned_by"]) {
        if (it["kind"] != "test")
            continue;
        const std::string test = it["id"];
        const std::string sign = test == "read-gauge"         ? "system-pressure"
                                 : test == "knock-on-tank"    ? "tank-sounds-dull"
                                 : test == "look-at-contacts" ? "contacts-stay-open"
                                                              : "";
        if (sign.empty())
            continue;
        ASSERT_EQ(
            stage
                .type("knockwell found " + sign + "=" + it["found"].get<std::string>() + "@" + test)
                .status,
            0);
        const Json after = Json::parse(stage.type("knockwell next --json").out);
        EXPECT_EQ(after["causes"][0]["id"], it["then_first"]);
        EXPECT_NE(after["causes"][0]["id"], first);
        EXPECT_NEAR(after["causes"][0]["p"].get<double>(), it["then_p"].get<double>(), 1e-6);
        ASSERT_EQ(stage.type("knockwell undo").status, 0);
        ++tried;
    }
    EXPECT_GT(tried, 0U) << before.dump(1);
    EXPECT_TRUE(before["reasons"][0].contains("first_in"));
}

// ---- leaving

TEST(Leaving, KeepsReadingsAndSaysWhatWasNotChecked) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(a_job).status, 0);
    ASSERT_EQ(stage.type("knockwell found system-pressure=12psi").status, 0);
    ASSERT_EQ(stage.type("knockwell did replace-switch --minutes 30").status, 0);
    EXPECT_EQ(stage.type("knockwell close --cured --as-left cut-in=3volts").status, 2);
    EXPECT_EQ(stage.type("knockwell close --cured --as-left no-such=3").status, 2);
    EXPECT_EQ(stage.type("knockwell close --cured --checked everything").status, 2);
    EXPECT_EQ(stage.type("knockwell close --cured --checked all").status, 2)
        << "each line is said by its word";
    EXPECT_EQ(stage.type("knockwell close --cured --checked cut-in-out").status, 2)
        << "a reading is read";
    const Printed closed =
        stage.type("knockwell close --cured --cause worn-contacts=seen" + std::string(all_seen_to) +
                   " --as-left cut-in=2.7bar --as-left system-pressure=48psi");
    ASSERT_EQ(closed.status, 0) << closed.err;
    EXPECT_NE(closed.out.find("Gauge at the tank tee: 48psi, found 12psi"), std::string::npos)
        << closed.out;
    EXPECT_NE(closed.out.find("Cut-in, read at the gauge: 39.1602 psi"), std::string::npos)
        << "2.7 bar";
    EXPECT_NE(closed.out.find("Checked before leaving: covers, valves"), std::string::npos);
    EXPECT_NE(
        closed.out.find("Tank bladder has failed brings on Switch contacts are burnt 1 in 10"),
        std::string::npos);
    EXPECT_NE(closed.out.find("It was: Switch contacts are burnt."), std::string::npos);
    EXPECT_NE(closed.out.find("by 2027-02-24"), std::string::npos) << "90 days from 2026-11-26";
}

TEST(Leaving, AGuessIsToldAsAGuess) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(a_job).status, 0);
    const Printed closed =
        stage.type("knockwell close --cured --cause worn-contacts=guessed --cause "
                   "failed-bladder=seen" +
                   std::string(all_seen_to));
    ASSERT_EQ(closed.status, 0) << closed.out << closed.err;
    EXPECT_TRUE(in_order(closed.out, "It was: Tank bladder has failed.",
                         "It was taken to be, and that was not proved: Switch contacts are burnt."))
        << closed.out;
}

TEST(Leaving, AReadingAsLeftCanBeADanger) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(a_job).status, 0);
    const Printed open = stage.type("knockwell close --cured --cause worn-contacts=seen --as-left "
                                    "pump-never-stops=yes");
    EXPECT_EQ(open.status, 1);
    EXPECT_TRUE(in_order(open.out, "DANGER: The pump runs on", "stays open"));
    EXPECT_FALSE(Json::parse(stage.type("knockwell jobs show --json").out)["closed"]);
}

}  // namespace
}  // namespace knockwell
