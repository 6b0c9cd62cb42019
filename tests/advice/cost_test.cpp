// What a step costs from where one stands, and that its preparations stand in a safe order.
#include "advice/cost.hpp"
#include "advice/scene.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

// The preparations in short: the access, or what is done to power and water.
std::vector<std::string> order_of(const Outlay& cost) {
    std::vector<std::string> order;
    for (const Preparation& it : cost.first) {
        const auto has = [&](std::string_view piece) {
            return it.says.find(piece) != std::string::npos;
        };
        if (has("prove every leg dead"))
            order.emplace_back("lock out");
        else if (has("dry hands"))
            order.emplace_back("switch off");
        else if (has("Drain the tank"))
            order.emplace_back("drain");
        else if (has("Open a drain"))
            order.emplace_back("relieve");
        else if (has("Put the covers back on, close the drain"))
            order.emplace_back("cover, close and restore");
        else if (has("Put the covers back on"))
            order.emplace_back("cover and restore");
        else if (has("Close the drain"))
            order.emplace_back(has("restore the power") ? "close and restore" : "close");
        else if (has("restore the power"))
            order.emplace_back("restore");
        else if (has("build pressure"))
            order.emplace_back("build");
        else
            order.push_back(it.says);
    }
    return order;
}

using Order = std::vector<std::string>;

double sum_of(const Outlay& cost) {
    double sum = 0;
    for (const Preparation& it : cost.first)
        sum += it.minutes;
    return sum;
}

TEST(Cost, OfASimpleLookIsTheWayAndTheLook) {
    Knowledge knowledge = scene::knowledge();
    const Candidate knock = scene::test(knowledge, scene::step("knock", scene::tank, Skill::owner));
    const Outlay cost = outlay(knowledge, scene::on_site(Skill::owner), knock);
    ASSERT_EQ(order_of(cost), Order{"The tank"});
    EXPECT_EQ(cost.minutes, 2 + 1);
    EXPECT_EQ(cost.first[0].cautions, std::vector{scene::mind_the_tank});
    EXPECT_TRUE(cost.then.reached.contains(scene::tank));
}

TEST(Cost, WhatIsOpenAlreadyIsFree) {
    Knowledge knowledge = scene::knowledge();
    Step ohms = scene::step("read-ohms", scene::cover_off, Skill::qualified);
    ohms.needs.power = Power::off;
    const Candidate step = scene::test(knowledge, ohms);
    const Outlay first = outlay(knowledge, scene::on_site(Skill::qualified), step);
    EXPECT_EQ(order_of(first), (Order{"The tank", "lock out", "The cover-off"}));
    EXPECT_EQ(first.minutes, 2 + minutes_to_lock_out + 3 + 1);
    const Outlay again = outlay(knowledge, first.then, step);
    EXPECT_EQ(order_of(again), Order());
    EXPECT_EQ(again.minutes, 1);
}

// Who stands in the open switch has come past the tank, whether or not anybody wrote it down.
TEST(Cost, AnInnerAccessImpliesTheOuterOnes) {
    Knowledge knowledge = scene::knowledge();
    const Candidate look =
        scene::test(knowledge, scene::step("look", scene::cover_off, Skill::qualified));
    Situation here = scene::on_site(Skill::qualified);
    here.reached = {scene::cover_off};
    here.power_off = true;
    EXPECT_EQ(outlay(knowledge, here, look).minutes, 1);
}

TEST(Cost, WhatCanBeDoneDeadIsDoneDead) {
    Knowledge knowledge = scene::knowledge();
    const Candidate look =
        scene::test(knowledge, scene::step("look-at-contacts", scene::cover_off, Skill::qualified));
    Situation here = scene::on_site(Skill::qualified);
    here.reached = {scene::tank, scene::cover_off};
    const Outlay cost = outlay(knowledge, here, look);
    ASSERT_EQ(order_of(cost), Order{"lock out"})
        << "the open cover does not tell whether power is off";
    EXPECT_EQ(cost.first[0].cautions, std::vector{scene::line_voltage});
    EXPECT_TRUE(cost.then.power_off);
}

TEST(Cost, ALiveStepWithNoAccessIsDeadToo) {
    Knowledge knowledge = scene::knowledge();
    Step tighten = scene::step("tighten", {}, Skill::qualified);
    tighten.hazards = {Hazard::live};
    EXPECT_EQ(order_of(outlay(knowledge, scene::on_site(Skill::qualified),
                              scene::repair(knowledge, tighten))),
              Order{"lock out"});
}

TEST(Cost, AMeasurementIsOpenedDeadAndThenEnergized) {
    Knowledge knowledge = scene::knowledge();
    Step volts = scene::step("read-volts", scene::cover_off, Skill::qualified);
    volts.needs.power = Power::on;
    const Candidate step = scene::test(knowledge, volts);
    const Outlay cost = outlay(knowledge, scene::on_site(Skill::qualified), step);
    ASSERT_EQ(order_of(cost), (Order{"The tank", "lock out", "The cover-off", "restore"}));
    EXPECT_EQ(cost.minutes, 2 + minutes_to_lock_out + 3 + minutes_to_restore + 1);
    EXPECT_EQ(cost.first[3].cautions, std::vector{scene::line_voltage});
    EXPECT_FALSE(cost.then.power_off);
}

// Bare leads, a parted cable, an open pipe: what was taken apart is told by name and put together
// before the power comes back, the innermost first; what the step watches behind stays off.
TEST(Cost, WhatWasTakenApartIsPutBackBeforeThePowerComesBack) {
    Knowledge knowledge = scene::knowledge();
    knowledge.accesses[scene::cover_off.index()].put_back = "Cover on";
    const AccessId leads(knowledge.accesses.size());
    Access leads_off = scene::access("leads-off", 6, scene::cover_off, Skill::qualified);
    leads_off.power_off = true;
    leads_off.put_back = "Leads on";
    leads_off.put_back_minutes = 4;
    knowledge.accesses.push_back(leads_off);
    knowledge.accesses[scene::piping_open.index()].put_back = "Pipe closed";
    Situation here = scene::on_site(Skill::qualified);
    here.power_off = here.pressure_zero = true;
    here.reached = {scene::tank, scene::cover_off, leads, scene::piping_open};

    Step gauge = scene::step("read-gauge", scene::tank, Skill::qualified);
    gauge.needs.pump = "running";
    const Outlay cost = outlay(knowledge, here, scene::test(knowledge, gauge));
    ASSERT_EQ(order_of(cost), (Order{"Leads on", "Cover on", "Pipe closed", "close and restore"}));
    EXPECT_EQ(cost.first[0].what, Prepares::put_back);
    EXPECT_EQ(cost.first[0].at, leads);
    EXPECT_EQ(cost.minutes, 4 + minutes_to_restore + 1);
    EXPECT_EQ(cost.then.reached, std::set<AccessId>{scene::tank});

    Step volts = scene::step("read-volts", scene::cover_off, Skill::qualified);
    volts.needs.power = Power::on;
    EXPECT_EQ(order_of(outlay(knowledge, here, scene::test(knowledge, volts))),
              (Order{"Leads on", "Pipe closed", "close and restore"}))
        << "it watches behind the cover";

    Step flow = scene::step("read-flow", scene::tank, Skill::qualified);
    flow.needs.pressure = Pressure::up;
    EXPECT_EQ(order_of(outlay(knowledge, here, scene::test(knowledge, flow))),
              (Order{"Leads on", "Cover on", "Pipe closed", "close and restore", "build"}));

    here.power_off = false;
    knowledge.accesses[leads.index()].cautions = {scene::line_voltage, scene::mind_the_tank};
    const Outlay locked = outlay(knowledge, here, scene::test(knowledge, gauge));
    EXPECT_EQ(order_of(locked).front(), "lock out") << "nobody says that they are dead";
    EXPECT_EQ(locked.first[0].cautions, std::vector{scene::line_voltage})
        << "the step itself meets nothing live";
    EXPECT_EQ(locked.first[1].cautions, (std::vector{scene::line_voltage, scene::mind_the_tank}));
    Step ohms = scene::step("read-ohms", leads, Skill::qualified);
    ohms.needs.power = Power::off;
    here.power_off = true;
    EXPECT_EQ(order_of(outlay(knowledge, here, scene::test(knowledge, ohms))), Order())
        << "nothing comes back";
}

TEST(Cost, PowerComesBackForAPumpThatMustRun) {
    Knowledge knowledge = scene::knowledge();
    Step listen = scene::step("listen", scene::tank, Skill::qualified);
    listen.needs.pump = "running";
    Situation here = scene::on_site(Skill::qualified);
    here.power_off = true;
    const Outlay cost = outlay(knowledge, here, scene::test(knowledge, listen));
    ASSERT_EQ(order_of(cost), (Order{"The tank", "restore"}));
}

// A drain under a running pump never stops running, so the lock-out comes first.
TEST(Cost, PressureIsZeroOnlyAtAnOpenedDrainWithThePumpLockedOff) {
    Knowledge knowledge = scene::knowledge();
    const Candidate clear =
        scene::repair(knowledge, scene::step("clear-port", scene::piping_open, Skill::qualified));
    const Outlay cost = outlay(knowledge, scene::on_site(Skill::qualified), clear);
    ASSERT_EQ(order_of(cost), (Order{"The tank", "lock out", "relieve", "The piping-open"}));
    EXPECT_EQ(cost.first[2].cautions, std::vector{scene::prove_zero});
    EXPECT_NE(cost.first[2].says.find("stopped running"), std::string::npos);
    EXPECT_NE(cost.first[2].says.find("a gauge at zero proves nothing"), std::string::npos);
    EXPECT_TRUE(cost.then.pressure_zero);
    EXPECT_EQ(cost.minutes, 2 + minutes_to_lock_out + minutes_to_relieve + 5 + 1);
}

TEST(Cost, APlaceUnderPressureIsOpenedWithThePumpLockedOffThoughItHasNoLiveParts) {
    Knowledge knowledge = scene::knowledge();
    knowledge.accesses[scene::piping_open.index()].power_off = false;
    Step look = scene::step("look-into-the-pipe", scene::piping_open, Skill::qualified);
    const Outlay cost =
        outlay(knowledge, scene::on_site(Skill::qualified), scene::test(knowledge, look));
    ASSERT_EQ(order_of(cost), (Order{"The tank", "lock out", "relieve", "The piping-open"}));
}

TEST(Cost, AQuestionOnSiteMeansFindingTheCustomer) {
    Knowledge knowledge = scene::knowledge();
    Sign surging;
    surging.head = scene::head("surging");
    surging.symptom = true;
    knowledge.signs = {surging};
    const Candidate ask = candidate(knowledge, SignId(std::size_t{0}));
    EXPECT_EQ(outlay(knowledge, Situation(), ask).minutes, minutes_to_ask);
    EXPECT_EQ(outlay(knowledge, scene::on_site(Skill::qualified), ask).minutes,
              minutes_to_ask + minutes_to_find_the_customer);
}

TEST(Cost, ADrainedTankStillHoldsItsAir) {
    Knowledge knowledge = scene::knowledge();
    Step replace = scene::step("replace-tank", scene::piping_open, Skill::qualified);
    replace.needs.pressure = Pressure::zero;
    replace.needs.tank_drained = true;
    const Outlay cost =
        outlay(knowledge, scene::on_site(Skill::qualified), scene::repair(knowledge, replace));
    ASSERT_EQ(order_of(cost), (Order{"The tank", "lock out", "drain", "The piping-open"}));
    EXPECT_NE(cost.first[2].says.find("still holds its air charge"), std::string::npos);
    EXPECT_TRUE(cost.then.tank_drained);
    EXPECT_TRUE(cost.then.pressure_zero);
}

TEST(Cost, WhatIsOpenIsClosedBeforePowerComesBack) {
    Knowledge knowledge = scene::knowledge();
    Step listen = scene::step("listen", scene::tank, Skill::qualified);
    listen.needs.power = Power::on;
    Situation here = scene::on_site(Skill::qualified);
    here.reached = {scene::tank, scene::piping_open};
    here.power_off = true;
    here.pressure_zero = true;
    const Outlay cost = outlay(knowledge, here, scene::test(knowledge, listen));
    ASSERT_EQ(order_of(cost), Order{"close and restore"});
    EXPECT_FALSE(cost.then.pressure_zero);
    EXPECT_FALSE(cost.then.reached.contains(scene::piping_open));
    // Also where a finding has told since that the pressure is not zero at all.
    no_longer_zero(knowledge, here);
    here.water_open = true;
    EXPECT_EQ(order_of(outlay(knowledge, here, scene::test(knowledge, listen))),
              Order{"close and restore"});
    EXPECT_FALSE(cost.then.water_open);
    // And by whoever finds the power on, the next person or another day.
    here.power_off = false;
    const Outlay later = outlay(knowledge, here, scene::test(knowledge, listen));
    EXPECT_EQ(order_of(later), Order{"close"});
    EXPECT_FALSE(later.then.water_open);
    here.water_open = false;
    EXPECT_EQ(order_of(outlay(knowledge, here, scene::test(knowledge, listen))), Order{});
}

TEST(Cost, CoversGoOnBeforePowerComesBackUnlessOneWatchesBehindThem) {
    Knowledge knowledge = scene::knowledge();
    Step listen = scene::step("listen", scene::tank, Skill::qualified);
    listen.needs.pump = "called";
    Situation here = scene::on_site(Skill::qualified);
    here.reached = {scene::tank, scene::cover_off};
    here.power_off = true;
    const Outlay cost = outlay(knowledge, here, scene::test(knowledge, listen));
    ASSERT_EQ(order_of(cost), Order{"cover and restore"});
    EXPECT_EQ(cost.then.reached, std::set{scene::tank}) << "to open it again it is locked out";
    here.pressure_zero = true;
    EXPECT_EQ(order_of(outlay(knowledge, here, scene::test(knowledge, listen))),
              Order{"cover, close and restore"});
    here.pressure_zero = false;
    Step volts = scene::step("read-volts", scene::cover_off, Skill::qualified);
    volts.needs.power = Power::on;
    const Outlay behind = outlay(knowledge, here, scene::test(knowledge, volts));
    EXPECT_EQ(order_of(behind), Order{"restore"});
    EXPECT_TRUE(behind.then.reached.contains(scene::cover_off));
}

TEST(Cost, WhatIsSetDeadIsSetBetweenLockOutAndPower) {
    Knowledge knowledge = scene::knowledge();
    Step amps = scene::step("clamp-amps", scene::cover_off, Skill::qualified);
    amps.needs.power = Power::on;
    amps.set_dead = "Set the clamp round one leg";
    const Candidate step = scene::test(knowledge, amps);
    const Outlay first = outlay(knowledge, scene::on_site(Skill::qualified), step);
    ASSERT_EQ(order_of(first), (Order{"The tank", "lock out", "The cover-off",
                                      "Set the clamp round one leg", "restore"}));
    EXPECT_EQ(first.first[3].cautions, std::vector{scene::line_voltage});
    const Outlay again = outlay(knowledge, first.then, step);
    EXPECT_EQ(order_of(again), (Order{"lock out", "Set the clamp round one leg", "restore"}))
        << "the cover is off and the power is on";
}

TEST(Cost, PressureIsBuiltUpForATestThatWantsIt) {
    Knowledge knowledge = scene::knowledge();
    Step leak_down = scene::step("leak-down", scene::tank, Skill::qualified);
    leak_down.needs.pressure = Pressure::up;
    const Candidate step = scene::test(knowledge, leak_down);
    EXPECT_EQ(order_of(outlay(knowledge, scene::on_site(Skill::qualified), step)),
              Order{"The tank"});
    Situation drained = scene::on_site(Skill::qualified);
    drained.power_off = true;
    drained.pressure_zero = true;
    drained.tank_drained = true;
    const Outlay cost = outlay(knowledge, drained, step);
    ASSERT_EQ(order_of(cost), (Order{"close and restore", "build", "The tank"}));
    EXPECT_FALSE(cost.then.tank_drained);
}

// An owner switches a breaker off to listen. It is no lock-out and nothing may lean on it.
TEST(Cost, ABreakerSwitchedOffIsNoLockOut) {
    Knowledge knowledge = scene::knowledge();
    Step listen = scene::step("listen-at-the-tank", scene::tank, Skill::owner);
    listen.needs.power = Power::off;
    const Outlay cost =
        outlay(knowledge, scene::on_site(Skill::owner), scene::test(knowledge, listen));
    ASSERT_EQ(order_of(cost), (Order{"The tank", "switch off"}));
    EXPECT_FALSE(cost.then.power_off);
}

TEST(Cost, ARepairThatEndsWithThePowerOnLeavesItSo) {
    Knowledge knowledge = scene::knowledge();
    const Candidate mend =
        scene::repair(knowledge, scene::step("mend", scene::piping_open, Skill::qualified));
    const auto then = [&] { return left_by(knowledge, scene::on_site(Skill::qualified), mend); };
    EXPECT_TRUE(then().power_off && then().pressure_zero);
    knowledge.repairs[mend.index].power_after = true;
    EXPECT_FALSE(then().power_off || then().pressure_zero);
    EXPECT_EQ(then().reached, std::set<AccessId>{scene::tank});
    // What was taken apart for something else is put together before.
    knowledge.accesses[scene::cover_off.index()].put_back = "Cover on";
    Situation here = scene::on_site(Skill::qualified);
    here.power_off = true;
    here.reached = {scene::tank, scene::cover_off};
    const auto first = [&] { return order_of(outlay(knowledge, here, mend)); };
    const Order with = first();
    EXPECT_EQ(std::count(with.begin(), with.end(), "Cover on"), 1);
    knowledge.repairs[mend.index].power_after = false;
    const Order without = first();
    EXPECT_EQ(std::count(without.begin(), without.end(), "Cover on"), 0);
}

TEST(Cost, IsTheSumOfItsParts) {
    Knowledge knowledge = scene::knowledge();
    Step replace = scene::step("replace-tank", scene::piping_open, Skill::qualified);
    replace.minutes = 90;
    replace.needs.tank_drained = true;
    const Outlay cost =
        outlay(knowledge, scene::on_site(Skill::qualified), scene::repair(knowledge, replace));
    EXPECT_EQ(cost.minutes, sum_of(cost) + 90);
    EXPECT_EQ(sum_of(cost), 2 + minutes_to_lock_out + minutes_to_drain_tank + 5);
}

}  // namespace
}  // namespace knockwell
