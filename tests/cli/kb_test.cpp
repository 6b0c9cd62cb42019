// The curator's bench on knowledge that is not quite as it should be.
#include "cli/support.hpp"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <fstream>
#include <memory>

namespace knockwell {
namespace {

using Json = nlohmann::ordered_json;

/// A bench of its own, and a file more in its knowledge.
std::unique_ptr<Stage> bench_with(const std::string& text) {
    auto stage = Stage::apart(small_well());
    std::ofstream("kb/more.toml", std::ios::binary) << text;
    return stage;
}

constexpr const char* failing = R"(
[practice.swings]
title = "Swings, and the bladder is not what is asked for"
says  = { pressure-swings = "yes" }
first = "worn-contacts"
)";

// What is cut off is no error of its own.
TEST(KbCheck, MoreThanAThousandErrorsAreCountedAsThat) {
    std::string text;
    for (int i = 0; i < 1100; ++i)
        text += "[cause.c" + std::to_string(i) + "]\n";
    const auto stage = bench_with(text);
    const Printed check = stage->type("knockwell kb check");
    EXPECT_EQ(check.status, 1);
    EXPECT_NE(check.out.find("more than 1000 errors"), std::string::npos)
        << check.out.substr(check.out.size() - std::min<std::size_t>(check.out.size(), 300));
    EXPECT_EQ(Json::parse(stage->type("knockwell kb check --json").out)["errors"], 1000);
}

// Whatever is only where it is so; and what to heed stands before what is asked.
TEST(KbShow, OfASettingTellsEveryKindThatAsksForIt) {
    const auto stage = bench_with(
        "[refer.crew]\ntitle = \"Crew\"\nto = \"well-contractor\"\ntakes = [\"pump-cannot-stop\"]\n"
        "only_if = { season = \"dry\" }\n"
        "[caution.ladder]\ntext = \"Somebody holds the ladder.\"\n"
        "[setting.season]\ntitle = \"Season\"\nask = \"Is it dry?\"\n"
        "choices = { dry = \"1 in 4\", wet = \"3 in 4\" }\ncautions = [\"ladder\"]\n");
    const Printed shown = stage->type("knockwell kb show season");
    EXPECT_EQ(shown.status, 0) << shown.err;
    EXPECT_TRUE(in_order(shown.out, "Somebody holds the ladder.", "Is it dry?")) << shown.out;
    EXPECT_NE(shown.out.find("refers only if: season = dry: crew\n"), std::string::npos)
        << shown.out;
    EXPECT_EQ(stage->type("knockwell kb check").status, 0) << stage->type("knockwell kb check").out;
}

TEST(Practice, ACaseThatFailsIsAProblem) {
    const auto stage = bench_with(failing);
    const Printed practice = stage->type("knockwell kb practice");
    EXPECT_EQ(practice.status, 1);
    EXPECT_TRUE(in_order(practice.out, "(swings)", "FAILED"));
    EXPECT_NE(practice.out.find("1 passed, 1 failed\n"), std::string::npos) << practice.out;
    EXPECT_EQ(stage->type("knockwell kb check").status, 1);
}

// What its writer answered in the file is no news, to `kb check` and to `kb practice` alike.
TEST(Practice, ACaseWhoseFailureIsAcceptedIsTold) {
    const auto stage = bench_with(std::string(failing) +
                                  "accept = { practice-fails = \"it was sealed before\" }\n");
    const Printed practice = stage->type("knockwell kb practice");
    EXPECT_EQ(practice.status, 0);
    EXPECT_TRUE(in_order(practice.out, "failed, as accepted", "Accepted: it was sealed before"));
    EXPECT_NE(practice.out.find("1 passed, 0 failed, 1 failed as accepted\n"), std::string::npos)
        << practice.out;
    const Json json = Json::parse(stage->type("knockwell kb practice --json").out);
    EXPECT_EQ(json["practice"][0]["accepted"], "it was sealed before");
    EXPECT_FALSE(json["practice"][0]["passed"].get<bool>());
    EXPECT_TRUE(json["practice"][1]["accepted"].is_null());
    EXPECT_EQ(stage->type("knockwell kb check").status, 0);
}

}  // namespace
}  // namespace knockwell
