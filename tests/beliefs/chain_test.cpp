// Which questions are found to be decided one after the other: without a chain the bits would be
// bounded too, but further apart.
#include "beliefs/chain.hpp"
#include "support/knowledge_of.hpp"

#include <gtest/gtest.h>

#include <optional>
#include <string>

namespace knockwell {
namespace {

/// Of the only sign, with these values and whatever else shows or hides it.
std::optional<Chain> chain_of_sign(const std::string& shows, const std::string& values,
                                   const std::string& masks = "") {
    const Knowledge knowledge = knowledge_of(R"(
[reports]
looked = { misses = "1 in 10", false_alarm = "1 in 10" }

[cause.worn-pump]
title   = "Pump is worn"
present = "1 in 10"
shows   = { noise = )" + shows + " }\n" + masks +
                                             R"(
[observation.noise]
title = "Noise of the pump"
)" + values);
    const Network network = compile(knowledge);
    const Model model{&knowledge, &network};
    const Evidence none;
    Questions questions;
    EXPECT_TRUE(put_questions(model, BySign(none, network.signs.size()), point_values(network),
                              {{SignId(std::size_t{0})}, Via::looked, {}}, questions));
    return chain_of(network.signs.front(), questions);
}

constexpr const char* three_kinds = R"(
kinds       = ["hum", "rattle", "hiss"]
seen_anyway = { hum = "1 in 100", rattle = "1 in 100", hiss = "1 in 100" }
)";
constexpr const char* of_two_kinds = R"({ hum = "3 in 10", hiss = "2 in 10" })";

TEST(Chain, KindsAreDecidedOneAfterTheOther) {
    const std::optional<Chain> chain = chain_of_sign(of_two_kinds, three_kinds);
    ASSERT_TRUE(chain.has_value());
    EXPECT_EQ(chain->questions.size(), 3U);
    EXPECT_GT(chain->alarm, 0);
}

TEST(Chain, AFlagNeedsNone) { EXPECT_FALSE(chain_of_sign(R"("3 in 10")", "").has_value()); }

TEST(Chain, WhatCanBeHiddenIsNone) {
    EXPECT_FALSE(
        chain_of_sign(of_two_kinds, three_kinds, "masks = { noise = \"1 in 2\" }\n").has_value());
}

}  // namespace
}  // namespace knockwell
