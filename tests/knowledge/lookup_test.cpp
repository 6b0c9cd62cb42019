// What a person types finds the thing that is meant, or the three that are nearest.
#include "knowledge/lookup.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

Sign sign(const std::string& id, const std::string& title, std::vector<std::string> also = {}) {
    Sign made;
    made.head.id = id;
    made.head.title = title;
    made.also = std::move(also);
    return made;
}

Setting setting(const std::string& id, const std::string& title, bool table = false) {
    Setting made;
    made.head.id = id;
    made.head.title = title;
    made.table = table;
    return made;
}

Cause titled_cause(const std::string& id, const std::string& title) {
    Cause made;
    made.head.id = id;
    made.head.title = title;
    return made;
}

Knowledge well() {
    Knowledge knowledge;
    knowledge.signs = {
        sign("system-pressure", "Gauge at the tank tee"),
        sign("surging", "Pressure swings every few seconds", {"pulsing shower", "surges"}),
        sign("no-water", "No water at any faucet", {"dry taps"}),
        sign("no-water-upstairs", "Nothing upstairs, a little downstairs"),
        sign("outage-clears-itself", "Water stops, then comes back by itself"),
        sign("worn-pump", "Pump sounds worn"),
        sign("no-water-at-night", "No water at any faucet at night"),
    };
    knowledge.settings = {setting("pump", "Pump"), setting("storage", "Cistern or none"),
                          setting("pump-age", "Age of the pump"),
                          setting("rain", "It rained", true)};
    knowledge.causes = {titled_cause("worn-pump", "Pump worn out"),
                        titled_cause("plugged-switch-port", "Deposits plug the switch port")};
    return knowledge;
}

std::string found(std::string_view typed, Wanted wanted = Wanted::findable) {
    const Knowledge knowledge = well();
    const auto named = find_named(knowledge, typed, wanted);
    if (const auto* none = std::get_if<NotNamed>(&named))
        return "? " + none->says;
    return id_of(knowledge, std::get<Named>(named));
}

std::vector<std::string> nearest_to(std::string_view typed, Wanted wanted = Wanted::findable) {
    const auto named = find_named(well(), typed, wanted);
    const auto* none = std::get_if<NotNamed>(&named);
    return none != nullptr ? none->nearest : std::vector<std::string>{"(found)"};
}

TEST(Lookup, AnExactIdentifierGoesBeforeEverythingThatContainsIt) {
    EXPECT_EQ(found("no-water"), "no-water");  // though "no-water-upstairs" contains it
    EXPECT_EQ(found("pump", Wanted::settings), "pump");
}

TEST(Lookup, APieceOfATitleOrOfTheOtherWordsFindsItsSign) {
    EXPECT_EQ(found("gauge at the tank"), "system-pressure");
    EXPECT_EQ(found("TANK tee"), "system-pressure");
    EXPECT_EQ(found("pulsing"), "surging");
    EXPECT_EQ(found("comes back"), "outage-clears-itself");
    EXPECT_EQ(found("clears itself"), "outage-clears-itself");
    EXPECT_EQ(found("swing sec"), "surging");  // pieces of words
}

TEST(Lookup, WholeWordsGoBeforePiecesAndAWholeTitleBeforeWords) {
    EXPECT_EQ(found("plug"), "plugged-switch-port");  // "plug" stands in the title, "plugged" too
    EXPECT_EQ(found("dry taps"), "no-water");
    EXPECT_EQ(found("age", Wanted::settings), "pump-age");   // a piece of "storage"
    EXPECT_EQ(found("no water at any faucet"), "no-water");  // whole, though another begins so
    EXPECT_EQ(found("upstairs"), "no-water-upstairs");
    // "stairs" is a piece of two words of one sign only, and no whole word anywhere.
    EXPECT_EQ(found("stairs"), "no-water-upstairs");
    EXPECT_EQ(found("Age of the pump", Wanted::settings), "pump-age");
}

TEST(Lookup, AnIdentifierTypedWithBlanksIsMeantInFull) {
    EXPECT_EQ(found("no water"), "no-water");
    EXPECT_EQ(found("No  Water"), "no-water");
}

// "pump" of the title and "not ... running" of the other words would say the opposite.
TEST(Lookup, WordsOfTwoSayingsAreNotPutTogether) {
    Knowledge knowledge;
    Sign never = sign("never-stops", "Pump runs and never stops");
    never.also = {"will not shut off", "keeps running"};
    knowledge.signs = {never};
    const auto named = find_named(knowledge, "pump not running", Wanted::findable);
    const auto* none = std::get_if<NotNamed>(&named);
    ASSERT_NE(none, nullptr);
    EXPECT_EQ(none->nearest, std::vector<std::string>{"never-stops (Pump runs and never stops)"});
    EXPECT_EQ(
        id_of(knowledge, std::get<Named>(find_named(knowledge, "keeps running", Wanted::findable))),
        "never-stops");
}

TEST(Lookup, SaysWhetherWhatWasTypedIsItsNameInFull) {
    const Knowledge knowledge = well();
    const auto in_full = [&](std::string_view typed) {
        return is_said_in_full(
            knowledge, std::get<Named>(find_named(knowledge, typed, Wanted::findable)), typed);
    };
    EXPECT_TRUE(in_full("no-water"));
    EXPECT_TRUE(in_full("no water at any faucet"));
    EXPECT_TRUE(in_full("dry taps"));
    EXPECT_FALSE(in_full("upstairs"));
}

TEST(Lookup, ASignGoesBeforeACauseOfTheSameIdentifier) {
    const auto named = find_named(well(), "worn-pump", Wanted::findable);
    EXPECT_TRUE(std::holds_alternative<SignId>(std::get<Named>(named)));
}

TEST(Lookup, TablesCanBeFoundAndSettingsCanBeSetButNotTheReverse) {
    EXPECT_EQ(found("rain"), "rain");
    EXPECT_EQ(found("rain", Wanted::settings), "? no setting is called 'rain'");
    EXPECT_EQ(found("pump-age"), "? no sign is called 'pump-age'");
    EXPECT_EQ(found("plugged-switch-port", Wanted::signs),
              "? no sign is called 'plugged-switch-port'");
}

TEST(Lookup, SeveralThatFitAreNamedShortestFirst) {
    EXPECT_EQ(found("water"), "? 'water' fits 4 signs");
    const std::vector<std::string> those = {
        "no-water (No water at any faucet)",
        "no-water-upstairs (Nothing upstairs, a little downstairs)",
        "no-water-at-night (No water at any faucet at night)"};
    EXPECT_EQ(nearest_to("water"), those);
}

TEST(Lookup, AMissNamesTheNearestThreeWithTitles) {
    EXPECT_EQ(found("sytem-presure"), "? no sign is called 'sytem-presure'");
    EXPECT_EQ(nearest_to("sytem-presure").front(), "system-pressure (Gauge at the tank tee)");
    EXPECT_EQ(nearest_to("gauge reads funny").front(), "system-pressure (Gauge at the tank tee)");
    EXPECT_EQ(nearest_to("faucit dripping").front(), "no-water (No water at any faucet)");
    EXPECT_LE(nearest_to("water pump pressure gauge").size(), 3U);
    EXPECT_TRUE(nearest_to("xyzzy").empty());
}

TEST(Lookup, ATestStandsBehindTheLastAt) {
    EXPECT_EQ(value_and_test("12 psi@read-gauge").value, "12 psi");
    EXPECT_EQ(value_and_test("12 psi@read-gauge").test, "read-gauge");
    EXPECT_EQ(value_and_test("12 psi").value, "12 psi");
    EXPECT_EQ(value_and_test("12 psi").test, std::nullopt);
    EXPECT_EQ(value_and_test("a@b@c").value, "a@b");
    EXPECT_EQ(value_and_test("yes@").test, "") << "one is named, by nothing";
}

TEST(Lookup, NothingTypedIsSaidSo) {
    EXPECT_EQ(found(""), "? no sign is named");
    EXPECT_EQ(found(" - "), "? no sign is named");
    EXPECT_EQ(found("", Wanted::settings), "? no setting is named");
}

TEST(Lookup, WhatIsEchoedIsSafeOnATerminalAndShort) {
    EXPECT_EQ(found("q\x1b[31mq"), "? no sign is called 'q\\x1b[31mq'");
    EXPECT_EQ(found(std::string(5000, 'q')),
              "? no sign is called '" + std::string(60, 'q') + "...'");
}

}  // namespace
}  // namespace knockwell
