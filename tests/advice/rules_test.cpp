// Each hard rule has a step that it alone forbids: whoever takes the rule out sees its test fail.
#include "advice/cost.hpp"
#include "advice/rules.hpp"
#include "advice/scene.hpp"
#include "advice/tripped.hpp"

#include <gtest/gtest.h>

#include <fstream>
#include <set>
#include <sstream>

namespace knockwell {
namespace {

std::vector<std::string> broken(const Knowledge& knowledge, const Situation& situation,
                                const Candidate& step, const Evidence& evidence = {},
                                const std::vector<StopNow>& stops = {},
                                const std::vector<double>& cause = {}) {
    std::vector<double> own;
    for (std::size_t c = 0; c < cause.size(); ++c)
        own.push_back(by_itself(knowledge.causes[c], cause));
    const Standing standing{&knowledge, &situation, &evidence, stops, cause, own};
    std::vector<std::string> names;
    for (const HardRule& rule : hard_rules())
        if (rule.forbids(standing, step))
            names.emplace_back(rule.name);
    EXPECT_EQ(forbids(standing, step).has_value(), !names.empty());
    return names;
}

using Names = std::vector<std::string>;

TEST(Rules, AStepWithinReachIsForbiddenByNone) {
    Knowledge knowledge = scene::knowledge();
    const Candidate knock = scene::test(knowledge, scene::step("knock", scene::tank, Skill::owner));
    for (const Skill who : {Skill::owner, Skill::helper, Skill::qualified})
        EXPECT_EQ(broken(knowledge, scene::on_site(who), knock), Names());
    EXPECT_EQ(broken(knowledge, Situation(), knock), Names()) << "on the phone";
}

TEST(Rules, WhoeverIsNotNamedIsTheOwner) {
    Knowledge knowledge = scene::knowledge();
    const Candidate plates =
        scene::test(knowledge, scene::step("compare-plates", scene::tank, Skill::helper));
    Situation unnamed;
    unnamed.on_site = true;
    EXPECT_EQ(broken(knowledge, unnamed, plates), Names{"skill"});
    EXPECT_EQ(broken(knowledge, scene::on_site(Skill::helper), plates), Names());
}

TEST(Rules, OnThePhoneThereAreOnlyTheOwnersHands) {
    Knowledge knowledge = scene::knowledge();
    const Candidate plates =
        scene::test(knowledge, scene::step("compare-plates", scene::tank, Skill::helper));
    Situation phone = scene::on_site(Skill::qualified);
    phone.on_site = false;
    EXPECT_EQ(broken(knowledge, phone, plates), Names{"skill"});
}

TEST(Rules, AHelperDoesHelpersSteps) {
    Knowledge knowledge = scene::knowledge();
    const Candidate valve =
        scene::test(knowledge, scene::step("press-air-valve", scene::tank, Skill::qualified));
    EXPECT_EQ(broken(knowledge, scene::on_site(Skill::helper), valve), Names{"skill"});
    EXPECT_EQ(broken(knowledge, scene::on_site(Skill::qualified), valve), Names());
}

TEST(Rules, TheWayAsksForItsOwnSkill) {
    Knowledge knowledge = scene::knowledge();
    const Candidate look =
        scene::test(knowledge, scene::step("look-for-wet", scene::crawl_space, Skill::owner));
    EXPECT_EQ(broken(knowledge, scene::on_site(Skill::helper), look), Names{"way"});
    EXPECT_EQ(broken(knowledge, scene::on_site(Skill::qualified), look), Names());
}

TEST(Rules, TheOwnerMeetsNoHazard) {
    for (const Hazard hazard :
         {Hazard::pressure, Hazard::below_grade, Hazard::lifting, Hazard::chemical}) {
        Knowledge knowledge = scene::knowledge();
        Step rock = scene::step("rock-the-tank", scene::tank, Skill::owner);
        rock.hazards = {hazard};
        const Candidate step = scene::test(knowledge, rock);
        EXPECT_EQ(broken(knowledge, scene::on_site(Skill::owner), step),
                  Names{"owner-meets-no-hazard"});
        EXPECT_EQ(broken(knowledge, scene::on_site(Skill::helper), step), Names());
    }
}

TEST(Rules, WhatNeedsALicenceIsHandedOver) {
    Knowledge knowledge = scene::knowledge();
    Step pull = scene::step("pull-the-pump", {}, Skill::qualified);
    pull.needs.licence = {Licence::pump_installer, Licence::well_contractor};
    const Candidate step = scene::repair(knowledge, pull);
    Situation here = scene::on_site(Skill::qualified);
    EXPECT_EQ(broken(knowledge, here, step), Names{"licence"});
    here.licences = {Licence::electrician};
    EXPECT_EQ(broken(knowledge, here, step), Names{"licence"});
    here.licences = {Licence::well_contractor};
    EXPECT_EQ(broken(knowledge, here, step), Names()) << "one of the licences named is enough";
}

TEST(Rules, NoRepairIsMadeAtLiveParts) {
    Knowledge knowledge = scene::knowledge();
    Step adjust = scene::step("adjust-the-switch", scene::cover_off, Skill::qualified);
    adjust.needs.power = Power::on;
    EXPECT_EQ(broken(knowledge, scene::on_site(Skill::qualified), scene::repair(knowledge, adjust)),
              Names{"repairs-are-dead"});
    adjust.needs.power = Power::any;
    adjust.needs.pump = "running";
    EXPECT_EQ(broken(knowledge, scene::on_site(Skill::qualified), scene::repair(knowledge, adjust)),
              Names{"repairs-are-dead"})
        << "a running pump has power on";
}

// Of the looks that show a sign the least demanding one says who may vouch for it.
TEST(Rules, WhoMayVouchForASign) {
    Knowledge knowledge = scene::knowledge();
    const SignId sign(std::size_t{0});
    knowledge.signs.resize(1);
    EXPECT_EQ(skill_to_vouch(knowledge, sign), Skill::owner) << "no look shows it: a letter does";
    const auto shows = [&](const Step& step) {
        const Candidate look = scene::test(knowledge, step);
        knowledge.tests[look.index].reveals = {sign};
    };
    shows(scene::step("prove", scene::cover_off, Skill::owner));
    EXPECT_EQ(skill_to_vouch(knowledge, sign), Skill::qualified) << "the way there asks for it";
    Step at_pressure = scene::step("drain", scene::tank, Skill::owner);
    at_pressure.hazards = {Hazard::pressure};
    shows(at_pressure);
    EXPECT_EQ(skill_to_vouch(knowledge, sign), Skill::helper) << "no owner meets a hazard";
    shows(scene::step("knock", scene::tank, Skill::owner));
    EXPECT_EQ(skill_to_vouch(knowledge, sign), Skill::owner);
}

// A sign that says `stays-off` at its second value of three, and a look at the running pump.
struct StandingStill {
    StandingStill() {
        Sign sign;
        sign.head = scene::head("at-cut-in");
        sign.form = SignForm::kinds;
        sign.normal = "no";
        sign.high = {"stays-off", "runs-no-gain"};
        sign.pump_stays_off = {1};
        knowledge.signs = {sign, sign};
        knowledge.signs[1].pump_stays_off.clear();
        Step watch = scene::step("watch-it-run", scene::tank, Skill::owner);
        watch.needs.pump = "running";
        watch_it_run = scene::test(knowledge, watch);
    }
    void find(std::size_t sign, std::size_t value) {
        Finding finding;
        finding.what = SignId(sign);
        finding.value = value;
        finding.stage = evidence.repairs.size();
        add(evidence, finding);
    }
    Names now(const Candidate& step) const {
        return broken(knowledge, scene::on_site(Skill::qualified), step, evidence);
    }
    Knowledge knowledge = scene::knowledge();
    Candidate watch_it_run;
    Evidence evidence;
};

TEST(Rules, NothingIsSeenOfAPumpRunningThatStaysOff) {
    StandingStill it;
    EXPECT_EQ(it.now(it.watch_it_run), Names()) << "nothing was found";
    it.find(0, 2);
    it.find(1, 1);
    EXPECT_EQ(it.now(it.watch_it_run), Names()) << "it runs; the other sign says nothing of it";
    it.find(0, 1);
    EXPECT_EQ(it.now(it.watch_it_run), Names{"pump-stays-off"});
    const Situation here = scene::on_site(Skill::qualified);
    const Standing standing{&it.knowledge, &here, &it.evidence, {}, {}, {}};
    EXPECT_EQ(forbids(standing, it.watch_it_run).value_or(""),
              "wants the pump running, and it was found to stay off: The at-cut-in: stays-off");
}

TEST(Rules, APumpThatStaysOffHoldsBackOnlyLooksAtItRunning) {
    StandingStill it;
    it.find(0, 1);
    Step step = scene::step("knock", scene::tank, Skill::owner);
    EXPECT_EQ(it.now(scene::test(it.knowledge, step)), Names());
    step.needs.pump = "idle";
    EXPECT_EQ(it.now(scene::test(it.knowledge, step)), Names());
    step.needs.pump = "called";
    EXPECT_EQ(it.now(scene::test(it.knowledge, step)), Names()) << "called tells either way";
    step.needs.pump = "running";
    EXPECT_EQ(it.now(scene::repair(it.knowledge, step)), Names()) << "a repair may start it";
}

TEST(Rules, NothingIsSeenOfAPumpCalledForThatHasNoPower) {
    StandingStill it;
    it.knowledge.signs[1].no_power = {2};
    Step called = scene::step("draw-water", scene::tank, Skill::owner);
    called.needs.pump = "called";
    const Candidate draw = scene::test(it.knowledge, called);
    it.find(1, 1);
    EXPECT_EQ(it.now(draw), Names()) << "another value";
    it.evidence = {};
    it.find(1, 2);
    EXPECT_EQ(it.now(draw), Names{"pump-stays-off"});
    EXPECT_EQ(it.now(it.watch_it_run), Names{"pump-stays-off"});
    const Situation here = scene::on_site(Skill::qualified);
    const Standing standing{&it.knowledge, &here, &it.evidence, {}, {}, {}};
    EXPECT_EQ(forbids(standing, draw).value_or(""),
              "wants the pump called for, and it has no power: The at-cut-in: runs-no-gain");
    Step idle = scene::step("knock", scene::tank, Skill::owner);
    idle.needs.pump = "idle";
    EXPECT_EQ(it.now(scene::test(it.knowledge, idle)), Names());
    Step volts = scene::step("volts", scene::tank, Skill::qualified);
    volts.needs.power = Power::on;
    EXPECT_EQ(it.now(scene::test(it.knowledge, volts)), Names{"pump-stays-off"});
}

TEST(Rules, WhatWasSwitchedOffToStayOffIsNotReset) {
    StandingStill it;
    it.knowledge.signs[1].no_power = {2};
    const Candidate reset = scene::repair(it.knowledge, scene::step("reset", {}, Skill::qualified));
    it.find(1, 2);
    EXPECT_EQ(it.now(reset), Names()) << "no reset";
    it.knowledge.repairs[reset.index].resets = true;
    EXPECT_EQ(it.now(reset), Names{"pump-stays-off"});
    Cause tripped;
    tripped.shows = {{SignId(std::size_t{1}), {}, {}, {}}};
    it.knowledge.causes = {tripped};
    EXPECT_EQ(it.now(reset), Names()) << "it tripped by itself";
}

// Short runs against an air lock are runs: a guard that has cut the pump off keeps it off.
TEST(Rules, ARepairThatRunsThePumpIsHeldBackWhileItHasNoPower) {
    StandingStill it;
    it.knowledge.signs[1].no_power = {2};
    Step step = scene::step("short-runs", scene::tank, Skill::qualified);
    step.needs.pump = "running";
    const Candidate runs = scene::repair(it.knowledge, step);
    EXPECT_EQ(it.now(runs), Names());
    it.find(1, 2);
    EXPECT_EQ(it.now(runs), Names{"pump-stays-off"});
}

TEST(Rules, APumpStaysOffUntilItIsSeenToRunOrSomethingIsMended) {
    for (const bool first : {true, false}) {
        StandingStill seen;
        seen.find(0, first ? 1 : 0);
        seen.evidence.findings.front().via = Via::told;
        seen.find(0, first ? 0 : 1);
        EXPECT_EQ(seen.now(seen.watch_it_run), Names()) << "two findings that disagree";
    }
    StandingStill mended;
    mended.find(0, 1);
    mended.evidence.repairs = {RepairId(std::size_t{0})};
    EXPECT_EQ(mended.now(mended.watch_it_run), Names());
}

TEST(Rules, OnlyAQualifiedPersonMeasuresEnergized) {
    Knowledge knowledge = scene::knowledge();
    Step volts = scene::step("read-volts", scene::tank, Skill::helper);
    volts.needs.power = Power::on;
    volts.hazards = {Hazard::live};
    const Candidate step = scene::test(knowledge, volts);
    EXPECT_EQ(broken(knowledge, scene::on_site(Skill::helper), step), Names{"energized-qualified"});
    EXPECT_EQ(broken(knowledge, scene::on_site(Skill::qualified), step), Names());
}

TEST(Rules, ProvingDeadIsQualifiedWork) {
    Knowledge knowledge = scene::knowledge();
    Step tighten = scene::step("tighten-a-lug", scene::tank, Skill::helper);
    tighten.hazards = {Hazard::live};
    const Candidate step = scene::repair(knowledge, tighten);
    Situation here = scene::on_site(Skill::helper);
    EXPECT_EQ(broken(knowledge, here, step), Names{"proving-dead"});
    here.power_off = true;
    EXPECT_EQ(broken(knowledge, here, step), Names());
}

TEST(Rules, TheOwnerOpensNoDrain) {
    Knowledge knowledge = scene::knowledge();
    Step precharge = scene::step("read-precharge", scene::tank, Skill::owner);
    precharge.needs.tank_drained = true;
    const Candidate step = scene::test(knowledge, precharge);
    Situation here = scene::on_site(Skill::owner);
    here.power_off = true;
    EXPECT_EQ(broken(knowledge, here, step), Names{"owner-relieves-nothing"});
    here.who = Skill::helper;
    EXPECT_EQ(broken(knowledge, here, step), Names());
}

TEST(Rules, PowerDoesNotComeBackOnOpenWater) {
    Knowledge knowledge = scene::knowledge();
    Step watch = scene::step("watch-the-port", scene::piping_open, Skill::qualified);
    watch.needs.power = Power::on;
    EXPECT_EQ(broken(knowledge, scene::on_site(Skill::qualified), scene::test(knowledge, watch)),
              Names{"no-power-on-open-water"});
}

TEST(Rules, AStopHoldsBackItsHazards) {
    Knowledge knowledge = scene::knowledge();
    Stop runs_on;
    runs_on.head = scene::head("pump-runs-on");
    runs_on.blocks_all = false;
    runs_on.blocks = {Hazard::pressure};
    knowledge.stops = {runs_on};
    Step valve = scene::step("press-air-valve", scene::tank, Skill::qualified);
    valve.hazards = {Hazard::pressure};
    const Candidate press = scene::test(knowledge, valve);
    const Candidate knock = scene::test(knowledge, scene::step("knock", scene::tank, Skill::owner));
    const std::vector<StopNow> stops = {{StopId(std::size_t{0}), 1, true}};
    const Situation here = scene::on_site(Skill::qualified);
    EXPECT_EQ(broken(knowledge, here, press, {}, stops), Names{"stopped"});
    EXPECT_EQ(broken(knowledge, here, knock, {}, stops), Names());
    knowledge.stops[0].blocks_all = true;
    EXPECT_EQ(broken(knowledge, here, knock, {}, stops), Names{"stopped"});
}

TEST(Rules, AStopThatKeepsThePumpOffHoldsBackWhateverRunsIt) {
    Knowledge knowledge = scene::knowledge();
    Stop ice;
    ice.head = scene::head("ice");
    ice.blocks_all = false;
    ice.pump_off = true;
    knowledge.stops = {ice};
    const std::vector<StopNow> stops = {{StopId(std::size_t{0}), 1, true}};
    const Situation here = scene::on_site(Skill::qualified);
    Step step = scene::step("step", scene::tank, Skill::owner);
    EXPECT_EQ(broken(knowledge, here, scene::test(knowledge, step), {}, stops), Names());
    step.needs.pump = "idle";
    EXPECT_EQ(broken(knowledge, here, scene::test(knowledge, step), {}, stops), Names());
    Step reset = step;
    const Candidate resetting = scene::repair(knowledge, reset);
    EXPECT_EQ(broken(knowledge, here, resetting, {}, stops), Names());
    knowledge.repairs[resetting.index].resets = true;
    EXPECT_EQ(broken(knowledge, here, resetting, {}, stops), Names{"stopped"});
    Step volts = step;
    volts.needs.power = Power::on;
    EXPECT_EQ(broken(knowledge, here, scene::test(knowledge, volts), {}, stops), Names{"stopped"});
    for (const char* wants : {"running", "called"}) {
        step.needs.pump = wants;
        EXPECT_EQ(broken(knowledge, here, scene::test(knowledge, step), {}, stops),
                  Names{"stopped"});
        const Candidate thaw = scene::repair(knowledge, step);
        EXPECT_EQ(broken(knowledge, here, thaw, {}, stops), Names{"stopped"});
        knowledge.stops[0].mended_by = {RepairId(thaw.index)};
        EXPECT_EQ(broken(knowledge, here, thaw, {}, stops), Names()) << "it takes the danger away";
        knowledge.stops[0].mended_by.clear();
    }
    knowledge.stops[0].pump_off = false;
    EXPECT_EQ(broken(knowledge, here, scene::test(knowledge, step), {}, stops), Names());
}

// A breaker that trips at once, locked out by who says so: nobody puts the power back to look.
TEST(Rules, ADangerThatOnlyTheLockOutLiftsHoldsBackWhatBringsThePowerBack) {
    StandingStill it;
    Sign off;
    off.head = scene::head("off-at-breaker");
    off.normal = "no";
    off.high = {"yes"};
    off.stated_by_power_off = true;
    it.knowledge.signs.push_back(off);
    const SignId off_sign(std::size_t{2});
    Stop trips;
    trips.head = scene::head("trips-at-once");
    trips.blocks_all = false;
    trips.pump_off = true;
    trips.when = {{SignId(std::size_t{1}), {2}}};
    trips.cleared_by = {off_sign};
    it.knowledge.stops = {trips};
    Situation here = scene::on_site(Skill::qualified);
    here.power_off = true;
    here.vouched_state = {off_sign};
    Step called = scene::step("listen", scene::tank, Skill::owner);
    called.needs.pump = "called";
    const Candidate listen = scene::test(it.knowledge, called);
    const Candidate knock =
        scene::test(it.knowledge, scene::step("knock", scene::tank, Skill::owner));
    const Candidate mend = scene::repair(it.knowledge, called);
    const auto now = [&](const Candidate& step) {
        return broken(it.knowledge, here, step, it.evidence);
    };
    EXPECT_EQ(now(listen), Names()) << "nothing trips";
    it.find(1, 2);
    ASSERT_TRUE(stops_found_now(it.knowledge, it.evidence, here).empty()) << "it is lifted";
    EXPECT_EQ(now(listen), Names{"back-with-the-power"});
    EXPECT_EQ(now(mend), Names{"back-with-the-power"});
    EXPECT_EQ(now(knock), Names());
    it.knowledge.stops[0].mended_by = {RepairId(mend.index)};
    EXPECT_EQ(now(mend), Names()) << "it takes the danger away";
    here.power_off = false;
    here.stops_cleared_by = {off_sign};
    EXPECT_EQ(now(listen), Names{"back-with-the-power"}) << "found, and not only stated";
    const Candidate fit =
        scene::repair(it.knowledge, scene::step("fit", scene::tank, Skill::owner));
    EXPECT_EQ(now(fit), Names());
    it.knowledge.repairs[fit.index].power_after = true;
    EXPECT_EQ(now(fit), Names{"back-with-the-power"}) << "at its end the power is on";
    it.knowledge.signs[off_sign.index()].stated_by_power_off = false;
    EXPECT_EQ(now(listen), Names()) << "somebody found that it is over";
}

TEST(Rules, WhatTrippedIsNotResetOntoWhatTrippedIt) {
    Knowledge knowledge = scene::knowledge();
    const CauseId grounded{std::size_t{0}};
    const CauseId tripped{std::size_t{1}};
    knowledge.causes.resize(2);
    knowledge.causes[0].head = scene::head("grounded");
    knowledge.causes[1].head = scene::head("tripped");
    knowledge.causes[1].brought_on_by = {{grounded, {}}};
    const Candidate reset = scene::repair(knowledge, scene::step("reset", {}, Skill::owner));
    knowledge.repairs[reset.index].fixes = {{tripped, {}}};
    const Situation here = scene::on_site(Skill::qualified);
    EXPECT_EQ(broken(knowledge, here, reset, {}, {}, {0.95, 1}), Names())
        << "no reset: it mends what it fixes";
    knowledge.repairs[reset.index].resets = true;
    EXPECT_EQ(broken(knowledge, here, reset, {}, {}, {0.95, 1}), Names{"what-tripped-it"});
    EXPECT_EQ(broken(knowledge, here, reset, {}, {}, {0.5, 1}), Names());
    knowledge.causes.resize(3);
    knowledge.causes[2].head = scene::head("bound");
    knowledge.causes[1].brought_on_by.push_back({CauseId(std::size_t{2}), {}});
    EXPECT_EQ(broken(knowledge, here, reset, {}, {}, {0.6, 1, 0.7}), Names{"what-tripped-it"})
        << "one of the two, whichever";
    EXPECT_EQ(broken(knowledge, here, reset), Names()) << "nobody asked how likely it is";
    const std::vector<double> cause = {0.95, 1, 0.2};
    const Evidence nothing;
    const std::vector<double> own = {1, 0.04, 1};
    const Standing standing{&knowledge, &here, &nothing, {}, cause, own};
    EXPECT_EQ(forbids(standing, reset).value_or(""),
              "first what tripped it, or it trips again; likeliest: The grounded");
}

TEST(Rules, NothingIsResetTwice) {
    Knowledge knowledge = scene::knowledge();
    const Candidate reset =
        scene::repair(knowledge, scene::step("reset-breaker", {}, Skill::owner));
    Evidence once;
    once.repairs = {RepairId(reset.index)};
    EXPECT_EQ(broken(knowledge, scene::on_site(Skill::qualified), reset), Names());
    EXPECT_EQ(broken(knowledge, scene::on_site(Skill::qualified), reset, once), Names{"once-only"});
}

TEST(Rules, WhatSomebodyTriedInVainIsNotTriedAgainUntilSomethingIsMended) {
    StandingStill it;
    const Candidate reset = scene::repair(it.knowledge, scene::step("reset", {}, Skill::owner));
    it.find(1, 2);
    EXPECT_EQ(it.now(reset), Names()) << "nothing says that it was tried";
    it.knowledge.repairs[reset.index].tried_when = {{SignId(std::size_t{1}), {2}}};
    EXPECT_EQ(it.now(reset), Names{"once-only"});
    const Situation here = scene::on_site(Skill::qualified);
    const Standing standing{&it.knowledge, &here, &it.evidence, {}, {}, {}};
    EXPECT_EQ(forbids(standing, reset).value_or(""),
              "was tried already, in vain: The at-cut-in: runs-no-gain");
    const Candidate other = scene::repair(it.knowledge, scene::step("other", {}, Skill::owner));
    it.evidence.repairs = {RepairId(other.index)};
    EXPECT_EQ(it.now(reset), Names()) << "something was mended since";
    it.evidence.repairs.clear();
    it.find(1, 0);
    EXPECT_EQ(it.now(reset), Names()) << "another finding says otherwise";
}

TEST(Rules, WhatWouldKillTheNewPartIsMeasuredFirst) {
    StandingStill it;
    Step fit = scene::step("box", {}, Skill::owner);
    fit.measured_first = {SignId(std::size_t{1})};
    const Candidate box = scene::repair(it.knowledge, fit);
    EXPECT_EQ(it.now(box), Names()) << "no look shows it";
    const Candidate look = scene::test(it.knowledge, scene::step("ohms", {}, Skill::owner));
    it.knowledge.tests[look.index].reveals = {SignId(std::size_t{1})};
    EXPECT_EQ(it.now(box), Names{"measure-first"});
    const Situation here = scene::on_site(Skill::qualified);
    const Standing standing{&it.knowledge, &here, &it.evidence, {}, {}, {}};
    EXPECT_EQ(forbids(standing, box).value_or(""),
              "first, or it may be in vain or do harm: The ohms");
    EXPECT_EQ(it.now(look), Names());
    Situation cannot = here;
    cannot.passed_over = {"test:ohms"};
    EXPECT_EQ(broken(it.knowledge, cannot, box, it.evidence), Names()) << "nobody can";
    it.find(1, 0);
    it.evidence.findings.back().via = Via::told;
    EXPECT_EQ(it.now(box), Names{"measure-first"}) << "a word is no measurement";
    it.evidence.findings.back().via = Via::looked;
    EXPECT_EQ(it.now(box), Names()) << "whatever it showed";
}

TEST(Rules, ALookAndAHandOverWaitForAMeasurementToo) {
    StandingStill it;
    Step long_look = scene::step("part-the-cable", {}, Skill::owner);
    long_look.measured_first = {SignId(std::size_t{1})};
    const Candidate part = scene::test(it.knowledge, long_look);
    Refer pull;
    pull.head = scene::head("pull");
    pull.measured_first = {SignId(std::size_t{1})};
    it.knowledge.refers = {pull};
    const Candidate handed = candidate(it.knowledge, ReferId(std::size_t{0}));
    EXPECT_EQ(it.now(part), Names()) << "no look shows it";
    const Candidate ohms = scene::test(it.knowledge, scene::step("ohms", {}, Skill::owner));
    it.knowledge.tests[ohms.index].reveals = {SignId(std::size_t{1})};
    EXPECT_EQ(it.now(part), Names{"measure-first"});
    EXPECT_EQ(it.now(handed), Names{"measure-first"});
    it.find(1, 0);
    EXPECT_EQ(it.now(part), Names());
    EXPECT_EQ(it.now(handed), Names());
}

// The repair waits for what parting the cable shows, and that waits for the ohms.
TEST(Rules, BehindALookThatWaitsStandsWhatItWaitsFor) {
    StandingStill it;
    const SignId ohms_sign(std::size_t{0});
    const SignId side(std::size_t{1});
    const Candidate ohms = scene::test(it.knowledge, scene::step("ohms", {}, Skill::owner));
    it.knowledge.tests[ohms.index].reveals = {ohms_sign};
    Step long_look = scene::step("part-the-cable", {}, Skill::owner);
    long_look.measured_first = {ohms_sign};
    const Candidate part = scene::test(it.knowledge, long_look);
    it.knowledge.tests[part.index].reveals = {side};
    Step mend = scene::step("mend", {}, Skill::owner);
    mend.measured_first = {side};
    const Candidate repair = scene::repair(it.knowledge, mend);
    const Situation here = scene::on_site(Skill::qualified);
    const Standing standing{&it.knowledge, &here, &it.evidence, {}, {}, {}};
    ASSERT_TRUE(measured_before(standing, repair));
    EXPECT_EQ(measured_before(standing, repair)->id, "ohms");
    it.find(0, 0);
    EXPECT_EQ(measured_before(standing, repair)->id, "part-the-cable");
}

// Of two looks at the same sign the quicker one, unless it is likely that there is no such thing.
TEST(Rules, TheQuickestLookThatIsLikelyHereComesBefore) {
    StandingStill it;
    const SignId sign(std::size_t{1});
    Step deep = scene::step("standing-level", {}, Skill::owner);
    deep.minutes = 20;
    Step rod = scene::step("sound-the-dug-well", {}, Skill::owner);
    rod.minutes = 8;
    rod.only_if = {{SettingId(std::size_t{0}), {1}}};
    for (const Step& step : {deep, rod})
        it.knowledge.tests[scene::test(it.knowledge, step).index].reveals = {sign};
    Step mend = scene::step("mend", {}, Skill::owner);
    mend.measured_first = {sign};
    const Candidate repair = scene::repair(it.knowledge, mend);
    const Situation here = scene::on_site(Skill::qualified);
    const auto before = [&](double dug) {
        const std::vector<std::vector<double>> setting{{1 - dug, dug}};
        const Standing standing{&it.knowledge, &here, &it.evidence, {}, {}, {}, setting};
        return measured_before(standing, repair).value_or(Candidate()).id;
    };
    EXPECT_EQ(before(0.5), "sound-the-dug-well");
    EXPECT_EQ(before(0.4), "standing-level");
}

TEST(Rules, WhatWasPassedOverStaysAway) {
    Knowledge knowledge = scene::knowledge();
    const Candidate knock = scene::test(knowledge, scene::step("knock", scene::tank, Skill::owner));
    Situation here = scene::on_site(Skill::qualified);
    here.passed_over = {"repair:knock"};
    EXPECT_EQ(broken(knowledge, here, knock), Names()) << "a step of another kind";
    here.passed_over = {"test:knock"};
    EXPECT_EQ(broken(knowledge, here, knock), Names{"passed-over"});
}

TEST(Rules, WhatTheInstallationLacksIsNoStep) {
    Knowledge knowledge = scene::knowledge();
    Step prime = scene::step("look-at-prime", {}, Skill::owner);
    prime.only_if = {{SettingId(std::size_t{0}), {1}}};
    const Candidate step = scene::test(knowledge, prime);
    Evidence known;
    EXPECT_EQ(broken(knowledge, scene::on_site(Skill::qualified), step, known), Names());
    known.settings[SettingId(std::size_t{0})] = 1;
    EXPECT_EQ(broken(knowledge, scene::on_site(Skill::qualified), step, known), Names());
    known.settings[SettingId(std::size_t{0})] = 0;
    EXPECT_EQ(broken(knowledge, scene::on_site(Skill::qualified), step, known), Names{"applies"});
}

TEST(Rules, ToolsThatAreNotOnTheTruck) {
    Knowledge knowledge = scene::knowledge();
    Step amps = scene::step("read-amps", scene::tank, Skill::qualified);
    amps.tools = {"clamp meter"};
    const Candidate step = scene::test(knowledge, amps);
    Situation here = scene::on_site(Skill::qualified);
    EXPECT_EQ(broken(knowledge, here, step), Names()) << "not stated = everything is there";
    here.lacking_tools = {"clamp meter"};
    EXPECT_EQ(broken(knowledge, here, step), Names{"tools"});
    here.lacking_tools = {"megohmmeter"};
    EXPECT_EQ(broken(knowledge, here, step), Names());
}

TEST(Rules, PartsThatAreNotOnTheTruck) {
    Knowledge knowledge = scene::knowledge();
    const Candidate step =
        scene::repair(knowledge, scene::step("renew-the-union", {}, Skill::qualified),
                      {{PartId(std::size_t{0}), 1}});
    Situation here = scene::on_site(Skill::qualified);
    EXPECT_EQ(broken(knowledge, here, step), Names());
    here.lacking_parts = {PartId(std::size_t{0})};
    EXPECT_EQ(broken(knowledge, here, step), Names{"parts"});
    here.lacking_parts = {PartId(std::size_t{1})};
    EXPECT_EQ(broken(knowledge, here, step), Names());
}

TEST(Rules, NoFindingMakesPressureZeroOrPowerOff) {
    Knowledge knowledge = scene::knowledge();
    Sign gauge;
    gauge.head = scene::head("system-pressure");
    gauge.normal = "in-band";
    gauge.low = {"empty"};
    gauge.high = {};
    knowledge.signs = {gauge};
    Step open = scene::step("open-the-union", scene::tank, Skill::helper);
    open.needs.pressure = Pressure::zero;
    const Candidate step = scene::repair(knowledge, open);
    Evidence reads_nothing;
    Finding empty;
    empty.what = SignId(std::size_t{0});
    empty.value = 1;
    empty.via = Via::sure;
    reads_nothing.findings = {empty};
    EXPECT_EQ(broken(knowledge, scene::on_site(Skill::helper), step, reads_nothing),
              Names{"proving-dead"});
    const Outlay cost = outlay(knowledge, scene::on_site(Skill::qualified), step);
    EXPECT_TRUE(cost.then.pressure_zero);
    EXPECT_GE(cost.minutes, minutes_to_lock_out + minutes_to_relieve);
}

TEST(Rules, EachHasItsNameAndItsReasonInTheDocuments) {
    std::ifstream file(std::string(KNOCKWELL_TESTS_DIR) + "/../docs/advice.md");
    std::stringstream text;
    text << file.rdbuf();
    std::set<std::string_view> names;
    for (const HardRule& rule : hard_rules()) {
        EXPECT_TRUE(names.insert(rule.name).second) << rule.name << " stands twice";
        EXPECT_NE(text.str().find("| `" + std::string(rule.name) + "` |"), std::string::npos)
            << rule.name << " is not in docs/advice.md";
    }
    EXPECT_EQ(names.size(), 19U);
}

}  // namespace
}  // namespace knockwell
