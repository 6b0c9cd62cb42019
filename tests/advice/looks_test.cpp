// What is still to be looked at.
#include "advice/looks.hpp"
#include "advice/well.hpp"

#include <algorithm>

namespace knockwell {
namespace {

bool left(const well::Bench& bench, std::string_view key) {
    const auto looks = looks_left(bench.knowledge(), bench.evidence);
    return std::any_of(looks.begin(), looks.end(),
                       [&](const LookLeft& it) { return key_of(it.step) == key; });
}

TEST(Looks, ATestIsMadeWhenAllThatItRevealsIsFound) {
    well::Bench bench;
    EXPECT_TRUE(left(bench, "test:look-at-contacts"));
    bench.find("contacts-open", "no@look-at-contacts");
    EXPECT_TRUE(left(bench, "test:look-at-contacts"));
    bench.find("contacts-burnt", "no@look-at-contacts");
    EXPECT_FALSE(left(bench, "test:look-at-contacts"));
}

TEST(Looks, WhatIsToBeShownAgainIsLeft) {
    well::Bench bench;
    bench.find("tank-dull", "yes");
    EXPECT_FALSE(left(bench, "test:knock"));
    const std::set<SignId> again = {sign_named(bench.knowledge(), "tank-dull")};
    const auto looks = looks_left(bench.knowledge(), bench.evidence, again);
    EXPECT_TRUE(std::any_of(looks.begin(), looks.end(),
                            [](const LookLeft& it) { return key_of(it.step) == "test:knock"; }));
}

TEST(Looks, WhoeverHasLookedIsNotSentAgain) {
    well::Bench bench;
    bench.find("tank-dull", "yes", Via::told);
    EXPECT_TRUE(left(bench, "test:knock")) << "a word on the phone is no look";
    bench.find("tank-dull", "yes");
    EXPECT_FALSE(left(bench, "test:knock"));
}

TEST(Looks, AnotherTestOfTheSameSignStaysOpen) {
    well::Bench bench;
    bench.find("tank-dull", "yes@knock");
    EXPECT_FALSE(left(bench, "test:knock"));
    EXPECT_TRUE(left(bench, "test:press-valve"));
}

TEST(Looks, SymptomsAreAskedOnceAndSettingsUntilTheyAreKnown) {
    well::Bench bench;
    EXPECT_TRUE(left(bench, "question:surging"));
    EXPECT_TRUE(left(bench, "setting:pump"));
    bench.find("surging", "no", Via::told);
    bench.set("pump", "jet");
    EXPECT_FALSE(left(bench, "question:surging"));
    EXPECT_FALSE(left(bench, "setting:pump"));
    EXPECT_FALSE(left(bench, "question:tank-dull")) << "an observation is no question";
}

TEST(Looks, ARepairOpensThemAgain) {
    well::Bench bench;
    bench.find("surging", "yes", Via::told);
    bench.find("tank-dull", "yes@knock");
    bench.evidence.repairs = {repair_named(bench.knowledge(), "replace-tank")};
    EXPECT_TRUE(left(bench, "question:surging"));
    EXPECT_TRUE(left(bench, "test:knock"));
}

TEST(Looks, ATableIsNeverAsked) {
    const well::Bench bench(R"(
[table.rain]
title = "Rain"
states = ["no", "yes"]
rows = [[0.5, 0.5]]
)");
    EXPECT_TRUE(looks_left(bench.knowledge(), bench.evidence).empty());
}

}  // namespace
}  // namespace knockwell
