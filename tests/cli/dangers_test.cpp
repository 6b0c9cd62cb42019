// A danger that a job is left with goes with the house: to the customer's sheet, to the next job
// there, and past no correction.
#include "cli/support.hpp"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <fstream>

namespace knockwell {
namespace {

using Json = nlohmann::ordered_json;

constexpr const char* opens_a_job = "knockwell open --area heron-bottom --installation HB-17 --set "
                                    "pump=submersible --says no-water";
constexpr const char* handed_over =
    "knockwell close --handed-over --despite 'breaker locked, the owner knows'";

void leave_a_danger(Stage& stage) {
    ASSERT_EQ(stage.type(opens_a_job).status, 0);
    ASSERT_EQ(stage.type("knockwell found pump-never-stops").status, 0);
    ASSERT_EQ(stage.type(handed_over).status, 0);
}

TEST(Dangers, StandOnTheCustomersSheetWithWhoKnowsOfThem) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opens_a_job).status, 0);
    ASSERT_EQ(stage.type("knockwell found pump-never-stops").status, 0);
    const Json paper = Json::parse(stage.type(std::string(handed_over) + " --json").out)["paper"];
    const std::string first = paper["customer"][0];
    EXPECT_EQ(first.rfind("DANGER: The pump runs on", 0), 0U) << paper;
    EXPECT_NE(first.find("Keep people away from the tank"), std::string::npos) << first;
    EXPECT_EQ(paper["customer"][1],
              "What is off, and who knows of it: breaker locked, the owner knows");
    EXPECT_EQ(paper["invoice"][0].get<std::string>().rfind("DANGER: The pump runs on", 0), 0U);
}

TEST(Dangers, OfAnEarlierJobAreToldAtTheSameHouse) {
    Stage stage(small_well());
    leave_a_danger(stage);
    const std::string id = id_of_first(stage);
    const Printed again = stage.type(opens_a_job);
    EXPECT_TRUE(in_order(again.out, "WARNING: Job " + id, "MOST LIKELY")) << again.out;
    EXPECT_NE(again.out.find("was left"), std::string::npos);
    const Json json = Json::parse(stage.type(std::string(opens_a_job) + " --json").out);
    ASSERT_EQ(json["warnings"].size(), 1U) << "a job without a danger is not told of";
    EXPECT_EQ(json["warnings"][0].get<std::string>().rfind("Job " + id, 0), 0U);
    // Whoever loads the truck or prints a card for it is told too.
    for (const char* command : {"truck", "plan"}) {
        const std::string typed = std::string("knockwell ") + command;
        EXPECT_NE(stage.type(typed).out.find("WARNING: Job " + id), std::string::npos) << command;
        EXPECT_EQ(Json::parse(stage.type(typed + " --json").out)["warnings"].size(), 1U) << command;
    }
    EXPECT_NE(stage.type("knockwell plan --html").out.find("WARNING: Job " + id),
              std::string::npos);
    for (const char* other :
         {"--area heron-bottom --installation HB-18", "--area mill-road --installation HB-17"})
        EXPECT_FALSE(
            Json::parse(
                stage.type("knockwell open --says no-water --json " + std::string(other)).out)
                .contains("warnings"))
            << other;
}

// The commonest slips of a code. A danger is told where the house may be the same, and ended only
// where it is.
TEST(Dangers, AreToldWhereTheCodeDiffersByABlankOrAHyphen) {
    Stage stage(small_well());
    leave_a_danger(stage);
    const std::string warning = "WARNING: Job " + id_of_first(stage);
    for (const char* codes :
         {"--area heron-bottom --installation 'HB 17'", "--area heron-bottom --installation hb017",
          "--area 'Heron bottom' --installation HB-17",
          "--area 'Heron-Bottom.' --installation HB-17"}) {
        const std::string typed =
            std::string("knockwell open ") + codes + " --set pump=submersible --says no-water";
        const Printed opened = stage.type(typed);
        EXPECT_NE(opened.out.find(warning), std::string::npos) << codes << opened.out;
    }
    EXPECT_NE(stage.type("knockwell open --area heron-bottom --installation HB17 --says no-water")
                  .out.find("There is a house"),
              std::string::npos);
    const Printed cured = stage.type(std::string("knockwell close --cured") + all_seen_to);
    ASSERT_EQ(cured.status, 0) << cured.err << cured.out;
    EXPECT_NE(stage.type(opens_a_job).out.find(warning), std::string::npos)
        << "a cure at another spelling may have been another house's";
}

TEST(Dangers, AreMarkedInTheListOfJobs) {
    Stage stage(small_well());
    leave_a_danger(stage);
    const Printed list = stage.type("knockwell jobs list");
    EXPECT_TRUE(in_order(list.out, "handed-over", "DANGER: The pump runs on")) << list.out;
    ASSERT_EQ(stage.type(opens_a_job).status, 0);
    const Json jobs = Json::parse(stage.type("knockwell jobs list --json").out)["jobs"];
    EXPECT_EQ(jobs[0]["dangers"].size(), 0U);
    EXPECT_EQ(jobs[1]["dangers"].size(), 1U) << jobs;
}

TEST(Dangers, OfAllJobsAreListedUntilSomethingEndsThem) {
    Stage stage(small_well());
    const auto listed = [&](const std::string& options = "") {
        return Json::parse(stage.type("knockwell jobs list --dangers --json" + options).out);
    };
    ASSERT_EQ(
        stage.type("knockwell open --area mill-race --installation MR-1 --says no-water").status,
        0);
    EXPECT_EQ(stage.type("knockwell jobs list --dangers").out,
              "No job with a danger that nothing has ended since is kept.\n");
    leave_a_danger(stage);
    const std::string id = id_of_first(stage);
    ASSERT_EQ(stage.type(opens_a_job).status, 0);  // a later one at the house
    const Json all = listed();
    ASSERT_EQ(all["jobs"].size(), 1U) << all;
    EXPECT_EQ(all["jobs"][0]["id"].get<std::string>().substr(0, 8), id);
    EXPECT_EQ(all["jobs"][0]["dangers"].size(), 1U);
    EXPECT_EQ(all["all"], 1);
    EXPECT_EQ(all["houses"], 1);
    EXPECT_EQ(all["not_known"], 0);
    EXPECT_EQ(listed(" --area mill-race")["jobs"].size(), 0U);
    const std::string text = stage.type("knockwell jobs list --dangers").out;
    EXPECT_TRUE(in_order(text, id, "DANGER: The pump runs on")) << text;
    EXPECT_TRUE(in_order(text, "DANGER", "1 job with a danger")) << text;
    const Printed cured = stage.type(std::string("knockwell close --cured") + all_seen_to);
    ASSERT_EQ(cured.status, 0) << cured.err << cured.out;
    EXPECT_EQ(listed()["jobs"].size(), 0U) << "the house was left as cured since";
}

// However many later jobs there are at the house.
TEST(Dangers, ThatAreOnlyLikelyAreListedToo) {
    const auto stage = Stage::apart(small_well());
    std::ofstream("kb/likely.toml") << R"([stop.dull-tank]
title      = "The tank may be full of water"
when       = { tank-sounds-dull = "yes" }
likely     = "2 in 10"
do_now     = "Keep away from it."
cleared_by = ["pressure-proved-zero"]
)";
    const std::string open = "knockwell open --area heron-bottom --installation HB-17 --says ";
    ASSERT_EQ(stage->type(open + "pressure-swings").status, 0);
    const std::string id = id_of_first(*stage);
    for (int later = 0; later < 25; ++later)
        ASSERT_EQ(stage->type(open + "water-comes-back").status, 0);
    const Json all = Json::parse(stage->type("knockwell jobs list --dangers --json").out);
    ASSERT_EQ(all["jobs"].size(), 1U) << all;
    EXPECT_EQ(all["jobs"][0]["id"].get<std::string>().substr(0, 8), id);
    EXPECT_EQ(all["jobs"][0]["dangers"], Json({"The tank may be full of water"}));
}

// A job that was opened at the wrong house and corrected to this one.
TEST(Dangers, AreThoseOfTheHouseAsItWasCorrected) {
    Stage stage(small_well());
    leave_a_danger(stage);
    ASSERT_EQ(stage
                  .type("knockwell open --area heron-bottom --installation HB-71 --set "
                        "pump=submersible --says no-water")
                  .status,
              0);
    EXPECT_FALSE(Json::parse(stage.type("knockwell truck --json").out).contains("warnings"));
    const std::string id = id_of_first(stage);
    const Json moved =
        Json::parse(stage.run({"jobs", "correct", id, "--installation", "HB-17", "--json"}).out);
    EXPECT_EQ(moved["warnings"].size(), 1U) << moved;
    EXPECT_EQ(Json::parse(stage.type("knockwell truck --json").out)["warnings"].size(), 1U);
}

TEST(Dangers, OfAListAreNotKnownWithoutTheKnowledge) {
    const auto stage = Stage::apart(small_well());
    leave_a_danger(*stage);
    std::ofstream("kb/broken.toml") << "[cause.x";
    const Printed list = stage->type("knockwell jobs list");
    EXPECT_EQ(list.status, 2);
    EXPECT_NE(list.out.find("heron-bottom HB-17"), std::string::npos) << "the job is not hidden";
    EXPECT_NE(list.out.find("it is not known whether a danger stands"), std::string::npos);
    EXPECT_NE(list.err.find("broken.toml:1"), std::string::npos) << list.err;
    const Printed dangers = stage->type("knockwell jobs list --dangers");
    EXPECT_EQ(dangers.status, 2);
    EXPECT_EQ(dangers.out, "") << "an empty list would look like none";
    EXPECT_NE(dangers.err.find("broken.toml:1"), std::string::npos) << dangers.err;
}

TEST(Dangers, OfAHouseEndWithAJobThatWasCured) {
    Stage stage(small_well());
    leave_a_danger(stage);
    ASSERT_EQ(stage.type(opens_a_job).status, 0);
    ASSERT_EQ(stage.type("knockwell close --cured" + std::string(all_seen_to)).status, 0);
    EXPECT_FALSE(
        Json::parse(stage.type(std::string(opens_a_job) + " --json").out).contains("warnings"));
}

TEST(Dangers, AreNotTakenBackWithoutAWord) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opens_a_job).status, 0);
    ASSERT_EQ(stage.type("knockwell found pump-never-stops").status, 0);
    const std::string gone = "A danger is told no more: The pump runs on";
    EXPECT_NE(stage.type("knockwell undo --width 200").out.find(gone), std::string::npos);
    ASSERT_EQ(stage.type("knockwell found pump-never-stops").status, 0);
    const std::string id = id_of_first(stage);
    const Json job = Json::parse(stage.run({"jobs", "show", id, "--json"}).out);
    const Json corrected =
        Json::parse(stage
                        .run({"jobs", "correct", id, "--entry",
                              std::to_string(job["entries"].size()), "--take-back", "--json"})
                        .out);
    ASSERT_EQ(corrected["warnings"].size(), 1U) << corrected;
    EXPECT_EQ(corrected["warnings"][0].get<std::string>().rfind(gone, 0), 0U);
    EXPECT_FALSE(Json::parse(stage.type("knockwell undo --json").out).contains("warnings"))
        << "nothing dangerous was taken back";
}

TEST(Dangers, NoCorrectionCuresAJobThatHasOne) {
    Stage stage(small_well());
    leave_a_danger(stage);
    const std::string id = id_of_first(stage);
    const Json job = Json::parse(stage.run({"jobs", "show", id, "--json"}).out);
    const Printed refused = stage.run({"jobs", "correct", id, "--entry",
                                       std::to_string(job["entries"].size()), "--value", "cured"});
    EXPECT_EQ(refused.status, 2);
    EXPECT_NE(refused.err.find("a danger stands in the job"), std::string::npos) << refused.err;
    EXPECT_EQ(Json::parse(stage.run({"jobs", "show", id, "--json"}).out), job) << "nothing is kept";
}

TEST(Dangers, ThatACorrectionBringsIntoACuredJobAreTold) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opens_a_job).status, 0);
    ASSERT_EQ(stage.type("knockwell found pump-never-stops=no").status, 0);
    const std::string id = id_of_first(stage);
    const Json job = Json::parse(stage.run({"jobs", "show", id, "--json"}).out);
    ASSERT_EQ(stage.type("knockwell close --cured" + std::string(all_seen_to)).status, 0);
    const Json corrected =
        Json::parse(stage
                        .run({"jobs", "correct", id, "--entry",
                              std::to_string(job["entries"].size()), "--value", "yes", "--json"})
                        .out);
    ASSERT_EQ(corrected["warnings"].size(), 1U) << corrected;
    EXPECT_NE(corrected["warnings"][0].get<std::string>().find("closed as cured: The pump runs on"),
              std::string::npos);
    const Json next = Json::parse(stage.type(std::string(opens_a_job) + " --json").out);
    EXPECT_EQ(next["warnings"].size(), 1U) << "and so is whoever comes to the house next";
}

}  // namespace
}  // namespace knockwell
