// What comes next on a small well, and in which order.
#include "advice/mending.hpp"
#include "advice/rules.hpp"
#include "advice/well.hpp"
#include "knowledge/read.hpp"

#include <algorithm>
#include <cmath>

namespace knockwell {
namespace {

TEST(Advise, TheCheapTellingLookComesFirst) {
    well::Bench bench;
    bench.find("surging", "yes", Via::told);
    const Advice advice = bench.advice(well::on_site(Skill::qualified));
    ASSERT_FALSE(advice.next.empty());
    EXPECT_EQ(advice.next.front().id, "knock");
    EXPECT_GT(advice.next.front().minutes_saved, 0);
    EXPECT_EQ(advice.next.front().minutes, 3);
}

TEST(Advise, WhatIsShownIsTheExactArithmetic) {
    well::Bench bench;
    bench.find("surging", "yes", Via::told);
    const Advice advice = bench.advice(well::on_site(Skill::qualified));
    const Suggestion* knock = well::suggested(advice, "knock");
    ASSERT_NE(knock, nullptr);
    const SignId dull = sign_named(bench.knowledge(), "tank-dull");
    const auto outcomes = predict(bench.model(), bench.evidence,
                                  {{dull}, Via::test, test_named(bench.knowledge(), "knock")});
    const Posterior now = bench.now();
    const auto explain = explainers(bench.model(), bench.evidence);
    EXPECT_NEAR(knock->bits, bits(outcomes, now.cause, explain), 1e-13);
    EXPECT_EQ(knock->bits_per_minute, knock->bits / 3);
    ASSERT_EQ(knock->outcomes.size(), 2U);
    EXPECT_GE(knock->outcomes[0].p, knock->outcomes[1].p);
    EXPECT_NEAR(knock->outcomes[0].p + knock->outcomes[1].p, 1, 1e-12);
    const OutcomeWords& dull_one =
        knock->outcomes[0].found.front() == "yes" ? knock->outcomes[0] : knock->outcomes[1];
    EXPECT_EQ(dull_one.found, std::vector<std::string>{"yes"});
    EXPECT_NEAR(dull_one.p, outcomes[1].p, 1e-13);
    EXPECT_EQ(dull_one.then_first, "failed-bladder");
    const std::size_t bladder = cause_named(bench.knowledge(), "failed-bladder").index();
    EXPECT_NEAR(dull_one.then_p, outcomes[1].cause[bladder], 1e-13);
}

// The arithmetic itself is held by ahead_test.cpp. Here: what is listed is listed by it.
// The first of all may be one that is as good as equal and tells more for its minutes.
TEST(Advise, LooksGoByTheMinutesThatTheySave) {
    well::Bench bench;
    bench.find("surging", "yes", Via::told);
    const Advice advice = bench.advice(well::on_site(Skill::qualified));
    double before = 1e9;
    std::size_t looks = 0;
    for (const Suggestion& it : advice.next) {
        if (it.kind == StepKind::repair || it.kind == StepKind::refer)
            continue;
        EXPECT_LE(it.minutes_saved, before + (looks == 1 ? 3 : 1e-6)) << it.id;
        before = it.minutes_saved;
        ++looks;
    }
    EXPECT_GE(looks, 2U);
    EXPECT_GT(advice.next.front().minutes_saved, 0);
}

/// The well, with a tank that hardly ever sounds dull while its bladder is whole.
std::string telling_well() {
    const std::string leak = "title = \"Tank sounds dull\"\nseen_anyway = \"1 in 20\"";
    std::string text(well::text);
    text.replace(text.find(leak), leak.size(),
                 "title = \"Tank sounds dull\"\nseen_anyway = \"1 in 5000\"");
    return text;
}

// The bladder is all but sure: whatever the gauge says the tank is what is changed, so reading it
// costs its minutes and saves none.
TEST(Advise, ALookThatChangesNothingDoesNotComeBeforeTheRepair) {
    well::Bench bench(telling_well());
    bench.find("surging", "yes", Via::told);
    bench.find("tank-dull", "yes@knock");
    bench.find("tank-dull", "yes@press-valve");
    ASSERT_GT(bench.now().cause[cause_named(bench.knowledge(), "failed-bladder").index()], 0.98);
    Situation here = well::on_site(Skill::qualified);
    here.reached = {access_named(bench.knowledge(), "tank")};
    const Advice advice = bench.advice(here);
    ASSERT_FALSE(advice.next.empty());
    EXPECT_EQ(advice.next.front().id, "replace-tank");
    for (const Suggestion& it : advice.next) {
        if (it.kind == StepKind::repair || it.kind == StepKind::refer)
            continue;
        EXPECT_LE(it.minutes_saved, 0) << it.id;
    }
}

/// The knowledge that is shipped, as one text.
std::string shipped_text() {
    std::string all;
    for (const Source& source : gather_sources(KNOCKWELL_KB_DIR))
        if (source.name.find("/practice/") == std::string::npos)
            all += source.text + "\n";
    return all;
}

// The pull is due whatever the gauge says, so the gauge is not read first: not where it saves
// nothing by itself, nor where what would follow it saves all that it seems to.
TEST(Advise, ALookThatSavesNothingByItselfDoesNotComeBeforeThePull) {
    well::Bench bench(shipped_text());
    bench.set("pump", "submersible");
    bench.find("no-water", "yes", Via::told);
    bench.find("breaker-trips", "at-once", Via::told);
    Situation here = well::on_site(Skill::qualified);
    here.vouches = Skill::qualified;
    here.power_off = true;
    vouch(bench.knowledge(), &Sign::stated_by_power_off, here);
    const Evidence complaint = bench.evidence;
    bench.set("motor-wires", "three");
    bench.find("megohms", "0.01Mohm@megohms-to-ground");
    // What saves some by itself was asked and looked at.
    bench.find("comes-with-rain", "no", Via::told);
    bench.find("box-button-out", "no@look-at-box-button");
    here.passed_over = {"test:look-at-switch-outside"};
    const Advice grounded = bench.advice(here);
    ASSERT_FALSE(grounded.next.empty());
    EXPECT_EQ(grounded.next.front().id, "pull-pump");

    bench.evidence = complaint;
    bench.set("motor-wires", "two");
    bench.set("source", "drilled");
    bench.find("pump-off-at-breaker", "yes@switch-the-pump-off");
    bench.find("fault-side", "well-side@part-the-cable-at-the-well");
    bench.find("cap-splice-look", "no@part-the-cable-at-the-well");
    here.licences = {Licence::pump_installer, Licence::electrician};
    here.reached = {access_named(bench.knowledge(), "cable-parted")};
    const Advice parted = bench.advice(here);
    ASSERT_FALSE(parted.next.empty());
    EXPECT_EQ(parted.next.front().id, "look-at-pulled-pump");
}

// Whether it tells anything or not: until it is made the tank is not changed.
TEST(Advise, TheLookThatARepairWaitsForStandsInItsPlace) {
    std::string text = telling_well();
    const std::string head = "[repair.replace-tank]\n";
    ASSERT_NE(text.find(head), std::string::npos);
    text.insert(text.find(head) + head.size(), "measured_first = [\"contacts-burnt\"]\n");
    well::Bench bench(text);
    bench.find("surging", "yes", Via::told);
    bench.find("tank-dull", "yes@knock");
    bench.find("tank-dull", "yes@press-valve");
    const Situation here = well::on_site(Skill::qualified);
    const Advice advice = bench.advice(here);
    ASSERT_FALSE(advice.next.empty());
    EXPECT_EQ(advice.next.front().id, "look-at-contacts");
    EXPECT_EQ(well::suggested(advice, "replace-tank"), nullptr);
    EXPECT_FALSE(advice.next.front().outcomes.empty());
    bench.find("contacts-burnt", "no@look-at-contacts");
    EXPECT_EQ(bench.advice(here).next.front().id, "replace-tank");
    Situation no_tank = here;
    no_tank.lacking_parts = {PartId(std::size_t{0})};
    bench.evidence.findings.pop_back();
    const Advice nothing_to_fit = bench.advice(no_tank);
    const Suggestion* look = well::suggested(nothing_to_fit, "look-at-contacts");
    EXPECT_TRUE(look == nullptr || look->minutes_saved <= 0) << "it waits for the part too";
}

// As good as sure that the well gives too little: the contractor waits for the level, and nobody is
// told that nothing saves time and another must come.
TEST(Advise, WhatIsAwaitedIsNotPassedByForSomebodyElse) {
    well::Bench bench(shipped_text());
    bench.set("pump", "submersible");
    bench.set("drive", "fixed");
    bench.set("source", "drilled");
    bench.find("outage-clears-itself", "after-heavy-use", Via::told);
    const Advice advice = bench.advice(well::on_site(Skill::qualified));
    ASSERT_FALSE(advice.next.empty());
    EXPECT_EQ(advice.next.front().id, "standing-level");
    EXPECT_FALSE(advice.next.front().awaited_by.empty());
    for (const HeldBack& it : advice.held_back)
        EXPECT_EQ(it.helps, 0) << it.id;
}

// Water spits from its air valve: the bladder is through, and soaping that valve, which saves a
// tenth of a minute, does not come before the tank.
TEST(Advise, ALookThatSavesHardlyAnyOfItsMinutesDoesNotComeBeforeTheRepair) {
    well::Bench bench(shipped_text());
    bench.set("pump", "submersible");
    bench.set("tank-kind", "bladder");
    bench.find("pressure-surges", "yes", Via::told);
    bench.find("tank-sounds-dull", "yes@knock-on-tank");
    bench.find("air-valve", "spits-water@press-air-valve");
    Situation here = well::on_site(Skill::qualified);
    here.reached = {access_named(bench.knowledge(), "tank")};
    const Advice advice = bench.advice(here);
    ASSERT_FALSE(advice.next.empty());
    EXPECT_EQ(advice.next.front().id, "replace-bladder-tank");
}

TEST(Advise, TheLookThatALookWaitsForStandsInItsPlace) {
    std::string text = telling_well();
    const std::string head = "[test.knock]\n";
    ASSERT_NE(text.find(head), std::string::npos);
    text.insert(text.find(head) + head.size(), "measured_first = [\"contacts-burnt\"]\n");
    well::Bench bench(text);
    bench.find("surging", "yes", Via::told);
    Situation here = well::on_site(Skill::qualified);
    // Shows what knocking shows, and waits for nothing.
    here.passed_over = {"test:press-valve"};
    const Advice advice = bench.advice(here);
    ASSERT_FALSE(advice.next.empty());
    EXPECT_EQ(advice.next.front().id, "look-at-contacts");
    EXPECT_EQ(advice.next.front().awaited_by, "Knock on the tank");
    EXPECT_EQ(well::suggested(advice, "knock"), nullptr);
    const auto held = std::find_if(advice.held_back.begin(), advice.held_back.end(),
                                   [](const HeldBack& it) { return it.id == "knock"; });
    ASSERT_NE(held, advice.held_back.end());
    EXPECT_EQ(held->why.substr(0, 25), "first, or it may be in va");
    bench.find("contacts-burnt", "no@look-at-contacts");
    EXPECT_EQ(bench.advice(here).next.front().id, "knock");
    bench.evidence.findings.pop_back();
    here.passed_over.insert("test:look-at-contacts");
    EXPECT_EQ(bench.advice(here).next.front().id, "knock") << "it cannot be made here";
}

// Reported, and everything that was looked at is as it should be: no cause stands out, and a repair
// at a venture is dearer than somebody who knows more.
TEST(Advise, ARepairThatDoesNotPayIsNotOffered) {
    well::Bench bench;
    bench.find("surging", "yes", Via::told);
    bench.find("tank-dull", "no@knock");
    bench.find("tank-dull", "no@press-valve");
    bench.find("contacts-open", "no@look-at-contacts");
    bench.find("contacts-burnt", "no@look-at-contacts");
    bench.find("comes-back", "no", Via::told);
    const Posterior now = bench.now();
    const auto best = *std::max_element(now.cause.begin(), now.cause.begin() + 3);
    ASSERT_GT(best, 0.01);
    ASSERT_LT(best, 0.1);
    const Advice advice = bench.advice(well::on_site(Skill::qualified));
    EXPECT_FALSE(advice.next.empty());
    for (const Suggestion& it : advice.next)
        EXPECT_TRUE(it.kind != StepKind::repair && it.kind != StepKind::refer) << it.id;
}

TEST(Advise, WithNothingFoundThereIsNothingToMend) {
    well::Bench bench;
    bench.set("pump", "jet");
    const Advice advice = bench.advice(well::on_site(Skill::qualified));
    EXPECT_FALSE(advice.next.empty());
    for (const Suggestion& it : advice.next)
        EXPECT_TRUE(it.kind != StepKind::repair && it.kind != StepKind::refer) << it.id;
}

TEST(Advise, WhatWouldComeFirstIsNamedWhereItIsHeldBack) {
    well::Bench bench(telling_well());
    bench.find("surging", "yes", Via::told);
    bench.find("tank-dull", "yes@knock");
    bench.find("tank-dull", "yes@press-valve");
    const auto held = [&](const Situation& here) {
        for (const HeldBack& it : bench.advice(here).held_back)
            if (it.id == "replace-tank")
                return it;
        return HeldBack{};
    };
    EXPECT_GT(held(well::on_site(Skill::helper)).helps, 0.8);
    EXPECT_EQ(held(well::on_site(Skill::helper)).why,
              "needs a qualified person; here is the helper");
    Situation no_tank = well::on_site(Skill::qualified);
    EXPECT_EQ(held(no_tank).why, "");
    no_tank.lacking_parts = {PartId(std::size_t{0})};
    EXPECT_EQ(held(no_tank).why, "not on the truck: Bladder tank");
}

TEST(Advise, ARepairComesFirstWhenLookingDoesNotPay) {
    well::Bench bench;
    bench.find("surging", "yes", Via::told);
    bench.find("tank-dull", "yes");
    bench.find("tank-dull", "yes@press-valve");
    const Advice advice = bench.advice(well::on_site(Skill::qualified));
    ASSERT_FALSE(advice.next.empty());
    EXPECT_EQ(advice.next.front().id, "replace-tank");
    EXPECT_GT(advice.next.front().helps, 0.7);
    EXPECT_EQ(advice.next.front().parts, std::vector<std::string>{"Bladder tank"});
}

TEST(Advise, ABystanderIsNotLookedAt) {
    well::Bench bench;
    bench.find("surging", "yes", Via::told);
    EXPECT_EQ(well::suggested(bench.advice(well::on_site(Skill::qualified)), "look-at-bracket"),
              nullptr);
}

TEST(Advise, WithNothingFoundLooksGoByBitsAMinute) {
    const well::Bench bench;
    const Advice advice = bench.advice(well::on_site(Skill::qualified));
    ASSERT_GE(advice.next.size(), 3U);
    EXPECT_EQ(advice.next.front().id, "look-at-bracket") << "one bracket in ten is rusty";
    const auto last =
        std::find_if(advice.next.begin(), advice.next.end(), [](const Suggestion& it) {
            return it.kind == StepKind::repair || it.kind == StepKind::refer;
        });
    EXPECT_TRUE(
        std::is_sorted(advice.next.begin(), last, [](const Suggestion& a, const Suggestion& b) {
            return a.bits_per_minute > b.bits_per_minute;
        }));
}

TEST(Advise, WhoeverIsNotNamedGetsOwnersSteps) {
    well::Bench bench;
    bench.find("comes-back", "yes", Via::told);
    const Advice advice = bench.advice({});
    for (const Suggestion& it : advice.next)
        EXPECT_TRUE(it.id == "knock" || it.id == "read-gauge" || it.kind == StepKind::question ||
                    it.kind == StepKind::setting || it.kind == StepKind::refer)
            << it.id;
    EXPECT_EQ(well::why_held(advice, "look-at-contacts"),
              "needs a qualified person; on the phone there are only the owner's hands");
    EXPECT_NE(well::why_held(advice, "clear-port"), "");
}

TEST(Advise, AnEnergizedLookIsOpenedDeadAndShowsItsCautions) {
    well::Bench bench;
    bench.find("comes-back", "yes", Via::told);
    const Advice advice = bench.advice(well::on_site(Skill::qualified));
    const Suggestion* look = well::suggested(advice, "look-at-contacts");
    ASSERT_NE(look, nullptr);
    ASSERT_EQ(look->first.size(), 4U);
    EXPECT_EQ(look->first[0].says, "At the tank");
    EXPECT_NE(look->first[1].says.find("prove every leg dead"), std::string::npos);
    EXPECT_EQ(look->first[2].says, "Switch cover off");
    EXPECT_NE(look->first[3].says.find("restore the power"), std::string::npos);
    ASSERT_EQ(look->cautions.size(), 1U);
    EXPECT_EQ(bench.knowledge()[look->cautions[0]].head.id, "line-voltage");
    EXPECT_EQ(look->needs, (std::vector<std::string>{"qualified person", "power on"}));
    ASSERT_FALSE(look->outcomes.empty());
    EXPECT_EQ(look->outcomes[0].found.size(), 2U) << "open, and burnt";
}

TEST(Advise, WhatLikelyDoesNotExistWaitsForItsSetting) {
    well::Bench bench;
    bench.find("prime-low", "yes", Via::told);
    bench.find("surging", "yes", Via::told);
    EXPECT_GT(bench.now().setting[0][1], 0.5) << "the finding speaks for a jet pump";
    EXPECT_NE(well::suggested(bench.advice(well::on_site(Skill::helper)), "look-at-prime"),
              nullptr);
    well::Bench other;
    other.find("surging", "yes", Via::told);
    EXPECT_EQ(well::why_held(other.advice(well::on_site(Skill::helper)), "look-at-prime"),
              "only where Pump: jet");
    other.set("pump", "submersible");
    const Advice known = other.advice(well::on_site(Skill::helper));
    EXPECT_EQ(well::suggested(known, "look-at-prime"), nullptr);
    EXPECT_EQ(well::why_held(known, "look-at-prime"), "") << "there is no such thing here";
}

TEST(Advise, AReferTakesWhatIsNotTheTechniciansToDo) {
    well::Bench bench;
    bench.set("pump", "jet");
    bench.find("prime-low", "yes");
    const Advice advice = bench.advice(well::on_site(Skill::qualified));
    const Suggestion* refer = well::suggested(advice, "well-work");
    ASSERT_NE(refer, nullptr);
    EXPECT_EQ(refer->kind, StepKind::refer);
    EXPECT_EQ(refer->minutes, minutes_to_refer);
    EXPECT_GT(refer->helps, 0.3);
    bench.find("surging", "no", Via::told);
    well::Bench bladder;
    bladder.find("surging", "yes", Via::told);
    EXPECT_EQ(well::suggested(bladder.advice(well::on_site(Skill::qualified)), "well-work"),
              nullptr)
        << "nothing that it takes is likely";
}

TEST(Advise, ARepairThatWasMadeIsNotOfferedAgain) {
    well::Bench bench;
    bench.find("surging", "yes", Via::told);
    bench.evidence.repairs = {repair_named(bench.knowledge(), "replace-tank")};
    bench.find("surging", "yes", Via::told, 1);
    EXPECT_EQ(well::suggested(bench.advice(well::on_site(Skill::qualified)), "replace-tank"),
              nullptr);
}

/// Two causes of the same complaint: with one the pump stays off, with the other it runs dry.
constexpr std::string_view off_or_dry = R"(
[reports]
told   = { misses = "1 in 10", false_alarm = "1 in 100" }
looked = { misses = "1 in 20", false_alarm = "1 in 100" }
[symptom.no-water]
title       = "No water"
seen_anyway = "1 in 1000"
[observation.at-call]
title          = "What the pump does when it is called for"
kinds          = ["stays-off", "runs-on"]
seen_anyway    = { stays-off = "1 in 1000" }
pump_stays_off = ["stays-off"]
[observation.dry]
title       = "Gauge stays at nothing, pump running"
seen_anyway = "1 in 1000"
[cause.tripped]
title   = "Breaker tripped"
present = "OFF in 1000"
shows   = { no-water = "9 in 10", at-call = { stays-off = "95 in 100" } }
[cause.lost-prime]
title   = "Lost prime"
present = "20 in 1000"
shows   = { no-water = "9 in 10", dry = "9 in 10", at-call = { runs-on = "9 in 10" } }
[test.listen]
title   = "Listen whether it runs"
how     = "Listen at the wall."
reveals = ["at-call"]
minutes = 1
[test.watch-it-run]
title   = "Watch the gauge, pump running"
how     = "Watch the gauge."
reveals = ["dry"]
minutes = 1
needs   = { pump = "running" }
)";

// Where the pump most likely stays off nothing can be seen of it running; listening tells whether
// it does.
TEST(Advise, ALookAtARunningPumpWaitsUntilItIsKnownToRun) {
    for (const auto& [off, offered] : {std::pair("60", false), std::pair("5", true)}) {
        std::string text(off_or_dry);
        text.replace(text.find("OFF"), 3, off);
        well::Bench bench(text);
        bench.find("no-water", "yes", Via::told);
        const Situation here = well::on_site(Skill::qualified);
        const Advice advice = bench.advice(here);
        EXPECT_EQ(well::suggested(advice, "watch-it-run") != nullptr, offered) << off;
        EXPECT_NE(well::suggested(advice, "listen"), nullptr) << off;
        const bool held =
            std::any_of(advice.held_back.begin(), advice.held_back.end(), [](const HeldBack& it) {
                return it.id == "watch-it-run" &&
                       it.why == "only where the pump is known to run; most likely it stays off";
            });
        EXPECT_NE(held, offered) << off;
        bench.find("at-call", "runs-on@listen");
        EXPECT_NE(well::suggested(bench.advice(here), "watch-it-run"), nullptr) << off;
    }
}

TEST(Advise, IsCutToTheBestAndIsTheSameEveryTime) {
    well::Bench bench;
    bench.find("surging", "yes", Via::told);
    const Situation here = well::on_site(Skill::qualified);
    const auto all = well::ids_of(bench.advice(here));
    ASSERT_GT(all.size(), 3U);
    EXPECT_EQ(well::ids_of(bench.advice(here, 3)),
              std::vector<std::string>(all.begin(), all.begin() + 3));
    well::Bench again;
    again.find("surging", "yes", Via::told);
    EXPECT_EQ(well::ids_of(again.advice(here)), all);
}

}  // namespace
}  // namespace knockwell
