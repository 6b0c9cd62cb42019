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

/// No water settles that it is weak, and what a look at two faucets tells; not what else it may be.
constexpr const char* dry_house = R"(
[symptom.no-water]
title       = "No water"
ask         = "Is there no water?"
leaves_moot = ["weak", "one-faucet"]
[symptom.weak]
title = "Weak"
ask   = "Is it weak?"
[symptom.humming]
title = "Humming"
ask   = "Does it hum?"
[observation.one-faucet]
title = "One faucet only"
ask   = "Is it one faucet only?"
[test.two-faucets]
title   = "Open two faucets"
how     = "Open two."
reveals = ["one-faucet"]
minutes = 1
[test.go-round]
title   = "Go round"
how     = "Go round."
reveals = ["one-faucet", "humming"]
minutes = 2
)";

TEST(Looks, WhatIsMootIsNotAskedFor) {
    well::Bench bench(dry_house);
    EXPECT_TRUE(left(bench, "question:weak"));
    bench.find("no-water", "yes", Via::told);
    EXPECT_FALSE(left(bench, "question:weak"));
    EXPECT_FALSE(left(bench, "test:two-faucets"));
    EXPECT_TRUE(left(bench, "question:humming"));
    EXPECT_TRUE(left(bench, "test:go-round")) << "it shows something that is not moot";
    bench.find("no-water", "no");
    EXPECT_TRUE(left(bench, "question:weak")) << "somebody says that there is water";
}

TEST(Looks, OneValueCanSettleWhatAnotherLeavesOpen) {
    well::Bench bench(R"(
[symptom.at-cut-in]
title       = "What the pump does at cut-in"
ask         = "Does it stay off, or run and gain nothing?"
kinds       = ["runs-no-gain", "stays-off"]
leaves_moot = { runs-no-gain = ["pressure"], stays-off = ["pressure", "amps"] }
[symptom.pressure]
title = "Pressure"
ask   = "Is there pressure?"
[symptom.amps]
title = "Amps"
ask   = "Does it draw amps?"
)");
    bench.find("at-cut-in", "runs-no-gain", Via::told);
    EXPECT_FALSE(left(bench, "question:pressure"));
    EXPECT_TRUE(left(bench, "question:amps"));
    bench.find("at-cut-in", "stays-off");
    EXPECT_FALSE(left(bench, "question:pressure")) << "by either";
    EXPECT_TRUE(left(bench, "question:amps")) << "one finding says otherwise";
    bench.evidence.findings.erase(bench.evidence.findings.begin());
    EXPECT_FALSE(left(bench, "question:amps"));
    bench.find("at-cut-in", "no");
    EXPECT_TRUE(left(bench, "question:pressure"));
}

TEST(Looks, WhatLiftsADangerIsNeverMoot) {
    const std::string toml = std::string(dry_house) + R"(
[stop.sparks]
title      = "Sparks"
when       = { humming = "yes" }
do_now     = "Keep away."
blocks     = "all"
cleared_by = ["one-faucet"]
)";
    well::Bench bench(toml);
    bench.find("no-water", "yes", Via::told);
    EXPECT_TRUE(left(bench, "test:two-faucets"));
    EXPECT_FALSE(left(bench, "question:weak"));
}

TEST(Looks, WhatWasMootIsAskedAfterARepair) {
    well::Bench bench(dry_house);
    bench.find("no-water", "yes", Via::told);
    bench.evidence.repairs = {RepairId(std::size_t{0})};
    EXPECT_TRUE(left(bench, "question:weak"));
}

TEST(Looks, WaterThatIsThereLeavesNothingMoot) {
    well::Bench bench(dry_house);
    bench.find("no-water", "no", Via::told);
    EXPECT_TRUE(left(bench, "question:weak"));
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
