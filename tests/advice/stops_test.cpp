// A stop comes first and alone, on anybody's word, and stays until it is cleared.
#include "advice/phone.hpp"
#include "advice/well.hpp"
#include "support/rattling.hpp"

#include <string>

namespace knockwell {
namespace {

std::vector<std::string> stops(const well::Bench& bench, const Situation& situation = {}) {
    std::vector<std::string> ids;
    for (const StopNow& it : stops_now(bench.model(), bench.evidence, situation))
        ids.push_back(bench.knowledge()[it.stop].head.id);
    return ids;
}

using Ids = std::vector<std::string>;

TEST(Stops, NoneWithoutCause) {
    well::Bench bench;
    EXPECT_EQ(stops(bench), Ids());
    bench.find("swollen", "no");
    bench.find("gauge", "40 psi");
    EXPECT_EQ(stops(bench), Ids());
}

TEST(Stops, ACustomersWordIsEnough) {
    well::Bench bench;
    bench.find("swollen", "yes", Via::told);
    EXPECT_EQ(stops(bench), Ids{"swollen"});
}

TEST(Stops, FindingsThatDisagreeDoNotCancelADanger) {
    well::Bench bench;
    bench.find("swollen", "yes", Via::told);
    bench.find("swollen", "no", Via::looked);
    EXPECT_EQ(stops(bench), Ids{"swollen"});
}

TEST(Stops, OneComesAlone) {
    well::Bench bench;
    bench.find("surging", "yes", Via::told);
    bench.find("swollen", "yes", Via::told);
    const Advice advice = bench.advice(well::on_site(Skill::qualified));
    EXPECT_TRUE(advice.stopped);
    EXPECT_TRUE(advice.next.empty());
    EXPECT_TRUE(advice.held_back.empty());
}

// Nine tenths of a 75 psi plate are 67.5 psi; of a 125 psi plate 112.5 psi.
TEST(Stops, AReadingCountsByItsMassInTheDangerousLevels) {
    well::Bench bench;
    bench.set("plate", "75");
    bench.find("gauge", "65.5 psi");  // two deviations below the edge: 2.3 %
    EXPECT_EQ(stops(bench), Ids());
    bench.find("gauge", "66 psi");  // one and a half: 6.7 %
    EXPECT_EQ(stops(bench), Ids{"over-pressure"});
}

TEST(Stops, AnUnknownPlateIsAveragedOverItsPrior) {
    well::Bench bench;
    bench.find("gauge", "70 psi");
    EXPECT_EQ(stops(bench), Ids{"over-pressure"}) << "one plate in two is 75 psi";
    bench.set("plate", "125");
    EXPECT_EQ(stops(bench), Ids());
    bench.set("lowest-rating", "70 psi");
    EXPECT_EQ(stops(bench), Ids{"over-pressure"}) << "what was read on the plate goes before";
}

TEST(Stops, TheOddsOfTheFaultDoNotEnter) {
    well::Bench bench;
    bench.set("plate", "75");
    bench.find("gauge", "90 psi");
    const auto now = stops_now(bench.model(), bench.evidence, {});
    ASSERT_EQ(now.size(), 1U);
    EXPECT_TRUE(now[0].found);
    EXPECT_EQ(now[0].p, 1);
}

// Whoever is stopped is told by what, and where the bar is.
TEST(Stops, NameTheirFindingsAndTheirThreshold) {
    well::Bench bench;
    bench.set("plate", "75");
    bench.find("surging", "yes", Via::told);
    bench.find("gauge", "90 psi");
    bench.find("gauge", "40 psi@read-gauge");
    const auto now = stops_now(bench.model(), bench.evidence, {});
    ASSERT_EQ(now.size(), 1U);
    ASSERT_EQ(now[0].shown_by.size(), 1U) << "neither what else was found, nor what disagrees";
    EXPECT_EQ(to_text(bench.knowledge(), now[0].shown_by[0]).find("90 psi") == std::string::npos,
              false);
    EXPECT_EQ(now[0].enough, 0.05);
}

TEST(Stops, LikelyEnoughIsEnough) {
    const std::string shows = "gauge         = { dangerous = \"1 in 20\" }";
    std::string sure(well::text);
    sure.replace(sure.find(shows), shows.size(), "gauge = { dangerous = \"5 in 10\" }");
    for (const bool likely : {false, true}) {
        well::Bench bench(likely ? std::string_view(sure) : well::text);
        bench.find("contacts-open", "yes@look-at-contacts");
        bench.find("comes-back", "yes", Via::told);
        const auto now = stops_now(bench.model(), bench.evidence, {});
        ASSERT_EQ(now.size(), likely ? 1U : 0U);
        if (!likely)
            continue;
        EXPECT_FALSE(now[0].found);
        const SignId gauge = sign_named(bench.knowledge(), "gauge");
        const std::vector<std::size_t> dangerous = {1};
        EXPECT_EQ(now[0].p, chance_of(bench.model(), bench.evidence, gauge, dangerous));
        EXPECT_GT(now[0].p, 0.1);
        EXPECT_EQ(now[0].shown_by.size(), 2U);
        EXPECT_EQ(now[0].enough, bench.knowledge()[now[0].stop].likely->count.mean());
    }
}

TEST(Stops, TheSureOneComesBeforeTheLikelyOne) {
    const std::string shows = "gauge         = { dangerous = \"1 in 20\" }";
    std::string sure(well::text);
    sure.replace(sure.find(shows), shows.size(), "gauge = { dangerous = \"5 in 10\" }");
    well::Bench bench(sure);
    bench.find("contacts-open", "yes@look-at-contacts");
    bench.find("comes-back", "yes", Via::told);
    bench.find("runs-on", "yes");
    EXPECT_EQ(stops(bench), (Ids{"runs-on", "over-pressure"}));
}

// Lead in the water is written first, and is read last.
TEST(Stops, WhatHarmsWhereOneStandsComesBeforeWhatHarmsWhoDrinks) {
    const std::string text = R"(
[symptom.lead]
title = "Lead"
ask   = "Did they find lead?"
[symptom.hums]
title = "Hums"
ask   = "Does it hum?"
[symptom.gas]
title = "Gas"
ask   = "Does it smell of gas?"
[stop.lead]
title       = "Lead"
when        = { lead = "yes" }
do_now      = "Do not drink it."
blocks      = []
by_drinking = true
[stop.hums]
title  = "Hums"
when   = { hums = "yes" }
do_now = "Off."
blocks = []
[stop.gas]
title  = "Gas"
when   = { gas = "yes" }
do_now = "Out."
)" + std::string(well::text);
    well::Bench bench(text);
    for (const char* sign : {"lead", "hums", "gas"})
        bench.find(sign, "yes", Via::told);
    EXPECT_EQ(stops(bench), (Ids{"gas", "hums", "lead"}));
    Ids found;
    for (const StopNow& it : stops_found_now(bench.knowledge(), bench.evidence, {}))
        found.push_back(bench.knowledge()[it.stop].head.id);
    EXPECT_EQ(found, (Ids{"gas", "hums", "lead"}));
    Ids asked;
    for (const SignId sign : signs_of_danger(bench.knowledge()))
        asked.push_back(bench.knowledge()[sign].head.id);
    EXPECT_EQ(asked, (Ids{"gas", "hums", "lead"}));
}

TEST(Stops, AreLiftedByWhatClearsThem) {
    well::Bench bench;
    bench.find("swollen", "yes");
    Situation cleared = well::on_site(Skill::qualified);
    cleared.stops_cleared_by = {sign_named(bench.knowledge(), "tank-dull")};
    EXPECT_EQ(stops(bench, cleared), Ids{"swollen"}) << "another sign lifts nothing";
    cleared.stops_cleared_by = {sign_named(bench.knowledge(), "drain-stopped")};
    EXPECT_EQ(stops(bench, cleared), Ids());
}

// Who has locked out and proved dead is not told to switch the pump off, and whose drain has
// stopped running is not asked whether it has.
TEST(Stops, AreLiftedByWhatIsStated) {
    for (const bool power : {true, false}) {
        std::string text(well::text);
        const std::string sign = "[observation.drain-stopped]\n";
        text.insert(text.find(sign) + sign.size(), power ? "stated_by = { power = \"off\" }\n"
                                                         : "stated_by = { pressure = \"zero\" }\n");
        well::Bench bench(text);
        bench.find("swollen", "yes");
        Situation off = well::on_site(Skill::qualified);
        off.power_off = true;
        EXPECT_EQ(stops(bench, off), Ids{"swollen"}) << "by nobody who may vouch for it";
        off.vouched_state = {sign_named(bench.knowledge(), "drain-stopped")};
        EXPECT_EQ(stops(bench, off), power ? Ids() : Ids{"swollen"});
        Situation zero = well::on_site(Skill::qualified);
        zero.pressure_zero = true;
        zero.vouched_state = off.vouched_state;
        EXPECT_EQ(stops(bench, zero), power ? Ids{"swollen"} : Ids());
    }
}

// A swollen tank stays swollen when a switch is changed.
TEST(Stops, OutliveEveryRepairButTheOnesThatMendThem) {
    well::Bench bench;
    const RepairId port = repair_named(bench.knowledge(), "clear-port");
    const RepairId tank = repair_named(bench.knowledge(), "replace-tank");
    bench.find("swollen", "yes");
    bench.evidence.repairs = {port};
    EXPECT_EQ(stops(bench), Ids{"swollen"}) << "an unrelated repair";
    bench.find("swollen", "no", Via::looked, 1);
    EXPECT_EQ(stops(bench), Ids{"swollen"}) << "a later look that disagrees cancels no danger";
    bench.evidence.repairs = {port, tank};
    EXPECT_EQ(stops(bench), Ids());
    bench.evidence.repairs = {tank, port};
    EXPECT_EQ(stops(bench), Ids()) << "mended before the other repair";
    bench.find("swollen", "yes", Via::looked, 1);
    EXPECT_EQ(stops(bench), Ids{"swollen"}) << "found again after it was mended";
}

TEST(Stops, OfEarlierStagesAreLiftedByWhatClearsThem) {
    well::Bench bench;
    bench.find("runs-on", "yes");
    bench.evidence.repairs = {repair_named(bench.knowledge(), "clear-port")};
    EXPECT_EQ(stops(bench), Ids{"runs-on"});
    Situation cleared = well::on_site(Skill::qualified);
    cleared.stops_cleared_by = {sign_named(bench.knowledge(), "drain-stopped")};
    EXPECT_EQ(stops(bench, cleared), Ids());
}

TEST(Stops, OfFindingsThatAreNoLongerKeptHold) {
    well::Bench bench;
    Situation carried = well::on_site(Skill::qualified);
    carried.stops_from_before = {StopId(std::size_t{0})};
    EXPECT_EQ(stops(bench, carried), Ids{"swollen"});
}

// A sign of kinds with six findings of the same middle kind: one more, which is how its chance is
// asked for, makes a table of 3^7 values, and that is more than is added up.
constexpr const char* hissing = R"(
[stop.hissing]
title  = "Hissing"
when   = { noise = "hiss" }
likely = "999 in 1000"
do_now = "Get away."
)";

TEST(Stops, WhoseChanceCannotBeWorkedOutStand) {
    well::Bench bench(std::string(one_cause) + hissing);
    bench.evidence = heard_rattling(5);
    EXPECT_EQ(stops(bench), Ids()) << "five are added up, and hissing is not that likely";
    bench.evidence = heard_rattling(6);
    ASSERT_TRUE(std::holds_alternative<Posterior>(posterior(bench.model(), bench.evidence)));
    const auto now = stops_now(bench.model(), bench.evidence, {});
    ASSERT_EQ(now.size(), 1U);
    EXPECT_FALSE(now[0].found);
    EXPECT_EQ(now[0].p, std::nullopt);
}

TEST(Stops, OfAHazardHoldBackItsStepsAndPutForwardWhatLiftsThem) {
    well::Bench bench;
    bench.find("surging", "yes", Via::told);
    bench.find("runs-on", "yes", Via::told);
    const Advice advice = bench.advice(well::on_site(Skill::qualified));
    EXPECT_FALSE(advice.stopped);
    EXPECT_EQ(well::why_held(advice, "press-valve"), "stop: Pump never stops");
    EXPECT_EQ(well::why_held(advice, "look-at-contacts"), "stop: Pump never stops");
    ASSERT_FALSE(advice.next.empty());
    EXPECT_EQ(advice.next.front().id, "watch-the-drain");
    EXPECT_NE(well::suggested(advice, "knock"), nullptr);
}

// What lifts a stop tells nothing of any cause, so it must not be lost where other looks tell more.
/// The well with a pump that runs dry: off at the breaker lifts it, and so does the drain.
std::string runs_dry(const std::string& cleared_by) {
    return std::string(well::text) + R"(
[observation.off-at-breaker]
title = "Off at the breaker"
seen_anyway = "1 in 100"
[test.switch-off]
title   = "Switch it off"
how     = "By the handle."
reveals = ["off-at-breaker"]
minutes = 9
needs   = { skill = "owner" }
[stop.runs-dry]
title      = "Runs dry"
when       = { surging = "yes" }
do_now     = "Off."
blocks     = []
cleared_by = )" +
           cleared_by + "\n";
}

std::vector<std::string> lifting(const std::string& text) {
    well::Bench bench(text);
    bench.find("surging", "yes", Via::told);
    bench.find("runs-on", "yes", Via::told);
    std::vector<std::string> first = well::ids_of(bench.advice(well::on_site(Skill::qualified)));
    first.resize(2);
    return first;
}

// Switching off takes nine minutes here and tells nothing; the drain takes three.
TEST(Stops, AreLiftedInTheOrderOfClearedBy) {
    std::string text = runs_dry(R"(["off-at-breaker", "drain-stopped"])");
    const std::string other =
        "blocks     = [\"live\", \"pressure\"]\ncleared_by = [\"drain-stopped\"]";
    text.replace(text.find(other), other.size(), R"(blocks = ["live", "pressure"])");
    EXPECT_EQ(lifting(text), (Ids{"switch-off", "watch-the-drain"}));
    text = runs_dry(R"(["drain-stopped", "off-at-breaker"])");
    EXPECT_EQ(lifting(text), (Ids{"watch-the-drain", "switch-off"}));
}

// It was off before the danger was seen: that lifts nothing any more, so it is to be shown again.
TEST(Stops, ThatStandAfterWhatClearsThemHaveItShownAgain) {
    well::Bench bench(runs_dry(R"(["off-at-breaker"])"));
    bench.find("off-at-breaker", "yes@switch-off");
    bench.find("surging", "yes", Via::told);
    EXPECT_EQ(well::ids_of(bench.advice(well::on_site(Skill::qualified))).front(), "switch-off");
}

// Two stops that name a sign first: the one that wants more signs is the more particular.
TEST(Stops, ThatWantMoreSignsAreLiftedFirst) {
    std::string text = runs_dry(R"(["off-at-breaker", "drain-stopped"])");
    EXPECT_EQ(lifting(text).front(), "watch-the-drain") << "both name one first, and it is quicker";
    const std::string when = R"(when       = { surging = "yes" })";
    text.replace(text.find(when), when.size(), R"(when = { surging = "yes", runs-on = "yes" })");
    EXPECT_EQ(lifting(text).front(), "switch-off");
}

TEST(Stops, AreNotForgottenWhereManyLooksTellMore) {
    std::string many(well::text);
    for (int i = 0; i < 30; ++i) {
        const std::string id = "word-" + std::to_string(i);
        many += "[symptom." + id + "]\ntitle = \"Word\"\nseen_anyway = \"1 in 100\"\n" +
                "[cause.failed-bladder-" + std::to_string(i) +
                "]\ntitle = \"Cause\"\npresent = \"1 in 100\"\nshows = { " + id +
                " = \"9 in 10\", surging = \"5 in 10\" }\n";
    }
    well::Bench bench(many);
    bench.find("surging", "yes", Via::told);
    bench.find("runs-on", "yes", Via::told);
    const Advice advice = bench.advice(well::on_site(Skill::helper));
    ASSERT_FALSE(advice.next.empty());
    EXPECT_EQ(advice.next.front().id, "watch-the-drain");
    EXPECT_LE(advice.next.size(), 24U) << "the rest is not weighed";
}

}  // namespace
}  // namespace knockwell
