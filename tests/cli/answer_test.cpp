#include "cli/support.hpp"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <fstream>

namespace knockwell {
namespace {

using Json = nlohmann::ordered_json;

const std::vector<std::string>& questions() {
    static const std::vector<std::string> all = {
        "knockwell ask",
        "knockwell ask --says pulsing",
        "knockwell ask --says pump-never-stops --who qualified",
        "knockwell ask --says no-water --found system-pressure=1psi@read-gauge --who qualified "
        "--on-site",
        "knockwell ask --set pump=jet --found pump-cannot-stop",
        "knockwell ask --found contacts-stay-open=yes@look-at-contacts --who qualified --power off",
        "knockwell kb show look-at-contacts",
        "knockwell kb show",
        "knockwell kb practice",
    };
    return all;
}

std::size_t place_of(const Json& object, const std::string& key) {
    std::size_t place = 0;
    for (const auto& item : object.items()) {
        if (item.key() == key)
            return place;
        ++place;
    }
    ADD_FAILURE() << "no key " << key << " in " << object.dump();
    return place;
}

TEST(Answer, JsonHasTheKeysOfTheDesign) {
    Stage stage(small_well());
    const Printed printed = stage.type("knockwell ask --says pulsing --json");
    ASSERT_EQ(printed.status, 0) << printed.err;
    const Json json = Json::parse(printed.out);
    for (const char* key :
         {"stops", "causes", "sets", "unlisted", "misfit", "log_evidence", "next"})
        EXPECT_TRUE(json.contains(key)) << key;
    ASSERT_EQ(json["causes"].size(), 4U) << "every cause, likely or not";
    for (const Json& cause : json["causes"])
        for (const char* key : {"id", "title", "p", "low", "high", "first_in"})
            EXPECT_TRUE(cause.contains(key)) << key;
    ASSERT_FALSE(json["next"].empty());
    for (const Json& step : json["next"]) {
        for (const char* key : {"kind", "id", "title", "minutes", "bits", "minutes_saved", "needs",
                                "cautions", "outcomes"})
            EXPECT_TRUE(step.contains(key)) << key;
        for (const Json& outcome : step["outcomes"])
            for (const char* key : {"level", "p", "then_first"})
                EXPECT_TRUE(outcome.contains(key)) << key;
    }
}

// Half of all wells have it, and nothing that was found comes from it.
TEST(Answer, WhatTheFindingsDoNotSpeakOfIsNotAmongTheLikely) {
    const auto stage = Stage::apart(small_well());
    std::ofstream("kb/silent.toml")  // of the stage: its folder is the current one
        << "[cause.loud-fridge]\ntitle = \"Fridge is loud\"\npart = \"kitchen\"\n"
           "present = \"5 in 10\"\nbasis = \"judgement\"\n[cause.loud-fridge.shows]\n"
           "hum-from-the-kitchen = \"9 in 10\"\n[symptom.hum-from-the-kitchen]\n"
           "title = \"Hum from the kitchen\"\nask = \"Does it hum?\"\n"
           "seen_anyway = \"1 in 100\"\n";
    const Printed pulsing = stage->type("knockwell ask --says pulsing");
    ASSERT_EQ(pulsing.status, 0) << pulsing.err;
    EXPECT_EQ(pulsing.out.find("Fridge is loud (loud-fridge)"), std::string::npos);
    EXPECT_NE(
        pulsing.out.find("Common, but what was found does not speak of it: Fridge is loud, 50 %"),
        std::string::npos)
        << pulsing.out;
    const Json json = Json::parse(stage->type("knockwell ask --says pulsing --json").out);
    for (const Json& cause : json["causes"]) {
        // Burnt contacts come of the failed bladder that pulses.
        const bool spoken_of = cause["id"] == "failed-bladder" || cause["id"] == "worn-contacts";
        EXPECT_EQ(cause["spoken_of"], spoken_of) << cause;
    }
    const Printed hum = stage->type("knockwell ask --says hum-from-the-kitchen");
    EXPECT_NE(hum.out.find("1. Fridge is loud (loud-fridge)"), std::string::npos) << hum.out;
}

// There it is in 1 - 0.95 x (1 - 0.2 x 0.5) = 0.145 of all, and without the float in 0.8 x 0.05 =
// 0.04: by itself in 28 %, whatever speaks of nothing but it.
TEST(Answer, WhatTrippedIsToldWithWhatTripsIt) {
    const auto stage = Stage::apart(small_well());
    std::ofstream("kb/guard.toml")
        << "[cause.float-hangs]\ntitle = \"Float hangs\"\npresent = 0.2\nbasis = \"judgement\"\n"
           "[cause.guard-out]\ntitle = \"Guard is out\"\npresent = 0.05\n"
           "brought_on_by = { float-hangs = 0.5 }\nbasis = \"judgement\"\n"
           "shows = { lamp-lit = 0.9 }\n[symptom.lamp-lit]\ntitle = \"Lamp is lit\"\n"
           "ask = \"Is the lamp lit?\"\n[repair.put-it-in]\ntitle = \"Put the guard in\"\n"
           "how = \"Once.\"\nfixes = { guard-out = 0.9 }\nminutes = 1\nresets = true\n";
    const Printed lit = stage->type("knockwell ask --says lamp-lit");
    ASSERT_EQ(lit.status, 0) << lit.err;
    EXPECT_TRUE(in_order(lit.out, "1. Guard is out (guard-out)",
                         "in 72 % of that something is here that trips it, likeliest: Float hangs"))
        << lit.out;
    const Json json = Json::parse(stage->type("knockwell ask --says lamp-lit --json").out);
    for (const Json& cause : json["causes"])
        EXPECT_NEAR(cause["by_itself"].get<double>(),
                    cause["id"] == "guard-out" ? 0.04 / 0.145 : 1.0, 1e-9)
            << cause;
}

TEST(Answer, JsonSaysTheSameAsTheText) {
    Stage stage(small_well());
    const Json json = Json::parse(stage.type("knockwell ask --says pulsing --json").out);
    const std::string text = stage.type("knockwell ask --says pulsing").out;
    EXPECT_EQ(json["causes"][0]["id"], "failed-bladder");
    EXPECT_NE(text.find("1. Tank bladder has failed (failed-bladder)"), std::string::npos);
    double before = 1;
    for (const Json& cause : json["causes"]) {
        EXPECT_LE(cause["p"], before);
        EXPECT_LE(cause["low"], cause["high"]);
        before = cause["p"];
    }
    EXPECT_NE(text.find("1. Check: " + json["next"][0]["title"].get<std::string>()),
              std::string::npos);
}

std::size_t times_in(const std::string& text, const std::string& piece) {
    std::size_t times = 0;
    for (std::size_t at = 0; (at = text.find(piece, at)) != std::string::npos; at += piece.size())
        ++times;
    return times;
}

// The text looks for those alone that are worth a line, and for none where that is sooner seen.
TEST(Answer, TellsSeveralCausesAtOnceAsTheJsonHasThem) {
    Stage stage(small_well());
    std::size_t told = 0;
    for (const std::string& question : questions()) {
        if (!question.starts_with("knockwell ask"))
            continue;
        const Printed text = stage.type(question);
        const Json json = Json::parse(stage.type(question + " --json").out);
        std::size_t several = 0;
        for (const Json& set : json.value("sets", Json::array()))
            several += set["causes"].size() > 1 && set["p"] >= 0.05 ? 1U : 0U;
        EXPECT_EQ(times_in(text.out, " at once: "), several) << question;
        told += several;
    }
    EXPECT_GT(told, 0U);
}

TEST(Answer, CautionsStandBeforeWhatToDoInText) {
    Stage stage(small_well());
    const std::string text =
        stage
            .type("knockwell ask --found contacts-stay-open=yes@look-at-contacts "
                  "--found system-pressure=1@read-gauge --who qualified --most 1")
            .out;
    ASSERT_NE(text.find("Repair: Clear the switch port"), std::string::npos) << text;
    EXPECT_TRUE(in_order(text, "WARNING: Line voltage", "Do: Take the switch off"));
    EXPECT_TRUE(in_order(text, "WARNING: The tank holds", "Do: Take the switch off"));
    EXPECT_TRUE(in_order(text, "WARNING: Line voltage", "First: Switch the power off"));
    // Everything open and off already: no preparation says the caution in the step's stead.
    const std::string ready =
        stage
            .type("knockwell ask --found contacts-stay-open --found system-pressure=1 --who "
                  "qualified "
                  "--at switch-cover-off --power off --pressure zero --most 1")
            .out;
    EXPECT_EQ(ready.find("First:"), std::string::npos) << ready;
    EXPECT_TRUE(in_order(ready, "WARNING: The tank holds", "Do: Take the switch off"));
    const std::string shown = stage.type("knockwell kb show clear-switch-port").out;
    EXPECT_TRUE(in_order(shown, "WARNING: Line voltage", "do: Take the switch off"));
}

TEST(Answer, OtherStepsNameTheirHazardsBeforeTheirTitles) {
    Stage stage(small_well());
    const std::string text =
        stage.type("knockwell ask --found contacts-stay-open=yes@look-at-contacts --who qualified")
            .out;
    EXPECT_NE(text.find("4. WARNING (live and pressure): Repair: Clear the switch port"),
              std::string::npos)
        << text;
}

TEST(Answer, CautionsStandBeforeWhatToDoInJson) {
    Stage stage(small_well());
    const Json json =
        Json::parse(stage
                        .type("knockwell ask --found contacts-stay-open=yes@look-at-contacts "
                              "--found system-pressure=1@read-gauge --who qualified --json")
                        .out);
    std::size_t cautions = 0;
    for (const Json& step : json["next"]) {
        EXPECT_LT(place_of(step, "cautions"), place_of(step, "first"));
        EXPECT_LT(place_of(step, "cautions"), place_of(step, "how"));
        cautions += step["cautions"].size();
        for (const Json& before : step["first"])
            EXPECT_LT(place_of(before, "cautions"), place_of(before, "says"));
    }
    EXPECT_GT(cautions, 0U);
    EXPECT_EQ(json["next"][0]["id"], "clear-switch-port");
    EXPECT_EQ(json["next"][0]["cautions"][1]["signal"], "WARNING");
}

TEST(Answer, AStopComesFirstAndTakesTheNextStepAway) {
    Stage stage(small_well());
    const Printed printed = stage.type("knockwell ask --says pump-never-stops --who qualified");
    EXPECT_EQ(printed.status, 0) << "a stop is a good answer";
    EXPECT_EQ(printed.out.rfind("DANGER: The pump runs on", 0), 0U) << printed.out;
    EXPECT_TRUE(in_order(printed.out, "CAUTION: Stand on a dry floor", "Do now:"));
    EXPECT_TRUE(in_order(printed.out, "Do now:", "MOST LIKELY"));
    EXPECT_EQ(printed.out.find("Do: "), std::string::npos) << "no step may stand beside a stop";
    const Json json =
        Json::parse(stage.type("knockwell ask --says pump-never-stops --who qualified --json").out);
    EXPECT_EQ(place_of(json, "stops"), 0U);
    EXPECT_EQ(json["stops"][0]["id"], "runaway");
    EXPECT_LT(place_of(json["stops"][0], "cautions"), place_of(json["stops"][0], "do_now"));
    EXPECT_TRUE(json["next"].empty());
    EXPECT_TRUE(json["stopped"]);
}

TEST(Answer, WhatCannotBeTrueIsNamedWithStatusOne) {
    Stage stage(small_well());
    const Printed text = stage.type("knockwell ask --set pump=jet --found pump-cannot-stop");
    EXPECT_EQ(text.status, 1);
    EXPECT_TRUE(in_order(text.out, "THESE CANNOT ALL BE TRUE", "Leak in the drop pipe"));
    EXPECT_NE(text.out.find("Pump: jet"), std::string::npos);
    const Printed printed =
        stage.type("knockwell ask --set pump=jet --found pump-cannot-stop --json");
    EXPECT_EQ(printed.status, 1);
    const Json json = Json::parse(printed.out);
    EXPECT_EQ(json["impossible"]["causes"][0]["id"], "pump-cannot-stop");
    EXPECT_EQ(json["impossible"]["settings"][0], "pump");
}

TEST(Answer, ADangerIsToldEvenWhereTheFindingsClash) {
    Stage stage(small_well());
    const Printed printed =
        stage.type("knockwell ask --says pump-never-stops --set pump=jet --found pump-cannot-stop");
    EXPECT_EQ(printed.status, 1);
    EXPECT_TRUE(in_order(printed.out, "DANGER: ", "THESE CANNOT ALL BE TRUE"));
}

TEST(Answer, EveryAnswerEndsWithItsLimits) {
    Stage stage(small_well());
    for (const char* line :
         {"knockwell ask --says pulsing", "knockwell ask --says pump-never-stops",
          "knockwell ask --set pump=jet --found pump-cannot-stop"}) {
        EXPECT_TRUE(stage.type(line).out.ends_with(
            "\nThis can be wrong. Local code, the plates on the equipment and licensed practice\n"
            "overrule it.\n"));
        const Json json = Json::parse(stage.type(std::string(line) + " --json").out);
        EXPECT_TRUE(json.contains("limits"));
    }
}

TEST(Answer, FitsItsWidth) {
    Stage stage(small_well());
    for (const std::string& line : questions()) {
        EXPECT_LE(widest_line(stage.type(line).out), 80U) << line;
        for (const std::size_t width : {40U, 57U, 120U})
            EXPECT_LE(widest_line(stage.type(line + " --width " + std::to_string(width)).out),
                      width)
                << line;
    }
    stage.here.terminal = true;
    stage.here.environment["NO_COLOR"] = "1";
    stage.here.columns = 50;
    EXPECT_LE(widest_line(stage.type("knockwell ask --says pulsing").out), 50U);
    stage.here.columns = 200;
    EXPECT_LE(widest_line(stage.type("knockwell ask --says pulsing").out), 80U);
}

TEST(Answer, ColourIsForTerminalsThatWantItAndCarriesNothing) {
    Stage stage(small_well());
    const std::string line = "knockwell ask --says pump-never-stops";
    const std::string plain = stage.type(line).out;
    EXPECT_TRUE(harmless(plain));
    stage.here.terminal = true;
    const std::string coloured = stage.type(line).out;
    EXPECT_NE(coloured.find("\x1b[1;31mDANGER\x1b[0m: "), std::string::npos) << coloured;
    std::string without;
    for (std::size_t i = 0; i < coloured.size(); ++i) {
        if (coloured[i] == '\x1b')
            i = coloured.find('m', i);
        else
            without += coloured[i];
    }
    EXPECT_EQ(without, plain) << "colour must add nothing";
    stage.here.environment["NO_COLOR"] = "1";
    EXPECT_EQ(stage.type(line).out, plain);
    stage.here.environment = {{"TERM", "dumb"}};
    EXPECT_EQ(stage.type(line).out, plain);
}

TEST(Answer, SameQuestionSameBytesAndTheOrderOfFindingsDoesNotMatter) {
    Stage stage(small_well());
    for (const std::string& line : questions())
        EXPECT_EQ(stage.type(line).out, stage.type(line).out);
    const auto one = Json::parse(
        stage.type("knockwell ask --says pulsing --says no-water --found system-pressure=9 --json")
            .out);
    const auto other = Json::parse(
        stage.type("knockwell ask --found system-pressure=9 --says no-water --says pulsing --json")
            .out);
    EXPECT_EQ(one["causes"], other["causes"]);
    EXPECT_EQ(one["next"], other["next"]);
}

TEST(Answer, WhoIsThereDecidesWhatIsOffered) {
    Stage stage(small_well());
    const std::string found = "--found contacts-stay-open --found system-pressure=1 --json";
    const Json owner = Json::parse(stage.type("knockwell ask " + found).out);
    for (const Json& step : owner["next"])
        EXPECT_NE(step["kind"], "repair") << step["id"];
    EXPECT_NE(owner["situation"].get<std::string>().find("owner, on the phone"), std::string::npos);
    const Json qualified = Json::parse(stage.type("knockwell ask --who qualified " + found).out);
    EXPECT_EQ(qualified["next"][0]["kind"], "repair");
}

// Limits of 40 CFR 141 (US EPA); what must not be done with the water, and at the pump, is common
// practice.
TEST(Answer, WaterThatHarmsAndAPumpThatBurnsAreDangersFromTheFirstWord) {
    Stage stage(std::filesystem::path(KNOCKWELL_TESTS_DIR).parent_path());
    const auto begins = [&](const std::string& told, const std::string& danger) {
        const std::string out = stage.type("knockwell ask --who qualified " + told).out;
        EXPECT_EQ(out.rfind("DANGER: " + danger, 0), 0U) << out;
    };
    begins("--found coliform-found=yes@coliform-sample", "Laboratory finds coliform: nobody");
    begins("--found nitrate-found=yes", "Laboratory finds nitrate over its limit: no water for");
    begins("--found metal-found=yes", "Laboratory finds arsenic or another metal");
    begins("--found lead-at-first-draw=yes", "Laboratory finds lead");
    begins("--found glass-test=fizzes@glass-of-water", "Fizzing water");
    begins("--says no-water --says hums-no-start", "Motor hums and does not start");
    begins("--set weather=freezing --found frost-on-pipe=yes@look-for-frost", "Frost on the pipe");
    begins("--set pump=shallow-jet --says no-water --found pump-at-cut-in=runs-no-gain@watch-gauge",
           "Pump runs and gains nothing");
}

// Wet electrics are opened dead before power comes back, and a pit that filled is left alone.
TEST(Answer, WhatWasWetKeepsThePowerOff) {
    Stage stage(std::filesystem::path(KNOCKWELL_TESTS_DIR).parent_path());
    const std::string wet =
        stage
            .type("knockwell ask --says water-on-electrics --who qualified --power off "
                  "--found electrics-dry-and-dead=yes@prove-electrics-dead")
            .out;
    EXPECT_EQ(wet.rfind("DANGER: Electrics were wet", 0), 0U) << wet;
    EXPECT_NE(wet.find("1. Check: Open what was wet, dead, and look inside"), std::string::npos)
        << wet;
    EXPECT_EQ(wet.find("restore the power"), std::string::npos) << wet;
    const std::string pit =
        stage.type("knockwell ask --says no-water --found pit-holds-water=yes").out;
    EXPECT_EQ(pit.rfind("DANGER: Water stood in the well pit", 0), 0U) << pit;
}

// Whoever told one thing of a look has made it: he is asked for the other, and not for the same.
TEST(Answer, OfALookToldInPartTheRestIsAskedFor) {
    Stage stage(std::filesystem::path(KNOCKWELL_TESTS_DIR).parent_path());
    const std::string text = stage
                                 .type("knockwell ask --says short-cycling --who helper "
                                       "--found gauge-watch=stands-still@watch-gauge")
                                 .out;
    EXPECT_NE(text.find("Part of this look was told."), std::string::npos) << text;
    EXPECT_NE(text.find("--found pump-at-cut-in=...@watch-gauge"), std::string::npos) << text;
    EXPECT_EQ(text.find("--found gauge-watch=...@watch-gauge"), std::string::npos) << text;
}

TEST(Answer, AValueIsNotTakenForItsOpposite) {
    Stage stage(small_well());
    const Printed loose = stage.type("knockwell ask --found system-pressure=cut-in");
    EXPECT_EQ(loose.status, 2);
    EXPECT_NE(loose.err.find("piece of 'below-cut-in'"), std::string::npos) << loose.err;
    EXPECT_EQ(stage.type("knockwell ask --found system-pressure=below").status, 0);
}

TEST(Answer, PowerOffIsWhatHoldsAfterAllThatWasFound) {
    Stage stage(small_well());
    const std::string text = stage
                                 .type("knockwell ask --power off --who qualified "
                                       "--found contacts-stay-open=yes@look-at-contacts")
                                 .out;
    EXPECT_NE(text.find("power off"), std::string::npos) << text;
}

}  // namespace
}  // namespace knockwell
