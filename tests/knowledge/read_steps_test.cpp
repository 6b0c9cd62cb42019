// Everything that docs/knowledge.md lets one write is read to the right value: where one goes, what
// one does, and the worked cases.
#include "support/counts.hpp"
#include "support/knowledge_of.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

constexpr const char* steps = R"(
[setting.pump]
title = "Pump"
choices = { submersible = "7 in 10", jet = "3 in 10" }
[observation.dull]
title = "Dull"
[observation.gauge]
title = "Gauge"
reading = { unit = "psi", within = 2 }
levels = ["high"]
edges = { high = 60 }
[observation.zero]
title = "Zero"
[table.water]
states = ["soft", "hard"]
rows = [[0.5, 0.5]]
[cause.burst]
title = "Burst"
present = "1 in 100"
[caution.all]
text = "Power off, locked, proved dead. Relieve the pressure. Test the air."
covers = ["live", "pressure", "below-grade", "lifting", "chemical"]
[access.pit]
title = "In the pit"
minutes = 5
skill = "qualified"
hazards = ["below-grade"]
cautions = ["all"]
[access.open]
title = "Cover off"
minutes = 3
via = "pit"
power = "off"
pressure = "zero"
skill = "helper"
hazards = ["live", "pressure"]
[access.cover]
title = "Cover off, water shut in"
minutes = 3
via = "pit"
power = "off"
put_back = "Cover on"
put_back_minutes = 2
hazards = ["live"]
[test.look]
title = "Look"
how = "Look and listen."
reveals = ["gauge", "water", "dull"]
minutes = 4
at = "cover"
tools = ["lamp", "mirror"]
needs = { power = "on", pressure = "up", pump = "running", skill = "qualified", licence = ["electrician"] }
misses = "1 in 50"
false_alarm = "1 in 60"
within = 3
hazards = ["chemical"]
only_if = { pump = "jet" }
measured_first = ["zero"]
[test.glance]
title = "Glance"
how = "Glance."
reveals = ["dull"]
minutes = 1
misses = "1 in 9"
[repair.mend]
title = "Mend"
how = "Mend it."
fixes = { burst = "9 in 10" }
minutes = 30
at = "pit"
needs = { power = "off", pressure = "zero", tank = "drained", pump = "idle" }
parts = { pipe = 2.5 }
recheck = ["glance", "look"]
may_bring = { burst = "1 in 30" }
tried_when = { gauge = "high", dull = ["yes", "no"] }
power_after = "on"
measured_first = ["gauge"]
hazards = ["lifting", "pressure"]
cautions = ["all"]
[part.pipe]
title = "Pipe"
price = 12.5
[refer.call]
title = "Call"
to = "electrician"
takes = ["burst"]
only_if = { pump = "jet" }
measured_first = ["gauge", "dull"]
[stop.danger]
title = "Danger"
when = { gauge = "high", dull = ["yes", "no"] }
do_now = "Go away."
likely = "1 in 50"
blocks = ["live", "lifting"]
by_drinking = true
cleared_by = ["zero"]
mended_by = ["mend"]
cautions = ["all"]
[stop.all]
title = "All"
when = { dull = "yes" }
do_now = "Go away."
)";

TEST(ReadAccess, EveryKey) {
    const Knowledge it = knowledge_of(steps);
    const Access& open = it.accesses[1];
    EXPECT_EQ(open.minutes, 3);
    EXPECT_EQ(open.via, AccessId(0));
    EXPECT_TRUE(open.power_off);
    EXPECT_TRUE(open.pressure_zero);
    EXPECT_EQ(open.skill, Skill::helper);
    EXPECT_EQ(open.hazards, (std::vector<Hazard>{Hazard::live, Hazard::pressure}));
    EXPECT_TRUE(open.cautions.empty());
    EXPECT_EQ(open.put_back, "");
    EXPECT_EQ(it.accesses[2].put_back, "Cover on");
    EXPECT_EQ(it.accesses[2].put_back_minutes, 2);
    EXPECT_FALSE(it.accesses[0].power_off);
    EXPECT_EQ(it.accesses[0].cautions, std::vector<CautionId>{CautionId(0)});
    EXPECT_EQ(it.cautions[0].head.title, "all");
    EXPECT_EQ(it.cautions[0].covers.size(), 5U);
    EXPECT_EQ(it.cautions[0].text.substr(0, 9), "Power off");
}

TEST(ReadTest, EveryKey) {
    const Knowledge it = knowledge_of(steps);
    const knockwell::Test& look = it.tests[0];
    EXPECT_EQ(look.step.how, "Look and listen.");
    EXPECT_EQ(look.step.minutes, 4);
    EXPECT_EQ(look.step.at, AccessId(2));
    EXPECT_EQ(look.step.tools, (std::vector<std::string>{"lamp", "mirror"}));
    EXPECT_EQ(look.step.needs, (Needs{.power = Power::on,
                                      .pressure = Pressure::up,
                                      .tank_drained = false,
                                      .pump = "running",
                                      .skill = Skill::qualified,
                                      .licence = {Licence::electrician}}));
    EXPECT_EQ(look.step.hazards, std::vector<Hazard>{Hazard::chemical});
    EXPECT_EQ(look.step.only_if, (Conditions{{.setting = SettingId(0), .states = {1}}}));
    EXPECT_EQ(look.reveals, (std::vector<Findable>{SignId(1), SettingId(1), SignId(0)}));
    EXPECT_EQ(look.channel, (Channel{.misses = counted(1, 50), .false_alarm = counted(1, 60)}));
    EXPECT_EQ(look.within, 3);
    EXPECT_EQ(look.step.measured_first, std::vector<SignId>{SignId(2)});
    // One side written: the other is that of an untested look.
    EXPECT_EQ(it.tests[1].channel, (Channel{.misses = counted(1, 9), .false_alarm = exactly(0)}));
    EXPECT_EQ(it.tests[1].step.needs, Needs{});
    EXPECT_EQ(it.tests[1].within, std::nullopt);
}

TEST(ReadRepair, EveryKey) {
    const Knowledge it = knowledge_of(steps);
    const Repair& mend = it.repairs[0];
    EXPECT_EQ(mend.step.needs.power, Power::off);
    EXPECT_EQ(mend.step.needs.pressure, Pressure::zero);
    EXPECT_TRUE(mend.step.needs.tank_drained);
    EXPECT_EQ(mend.step.needs.pump, "idle");
    ASSERT_EQ(mend.fixes.size(), 1U);
    EXPECT_EQ(mend.fixes[0].strength.count, counted(9, 10));
    EXPECT_EQ(mend.parts, (std::vector<PartUse>{{.part = PartId(0), .pieces = 2.5}}));
    EXPECT_EQ(mend.recheck, (std::vector<TestId>{TestId(1), TestId(0)}));
    ASSERT_EQ(mend.may_bring.size(), 1U);
    EXPECT_EQ(mend.may_bring[0].strength.count, counted(1, 30));
    EXPECT_EQ(mend.tried_when, (std::vector<SignAmong>{{.sign = SignId(1), .values = {1}},
                                                       {.sign = SignId(0), .values = {0, 1}}}));
    EXPECT_TRUE(mend.power_after);
    EXPECT_EQ(mend.step.measured_first, std::vector<SignId>{SignId(1)});
    EXPECT_EQ(it.parts[0].price, 12.5);
}

TEST(ReadRefer, WhereItAppliesAndWhatComesBefore) {
    const Knowledge it = knowledge_of(steps);
    EXPECT_EQ(it.refers[0].only_if, (Conditions{{.setting = SettingId(0), .states = {1}}}));
    EXPECT_EQ(it.refers[0].measured_first, (std::vector<SignId>{SignId(1), SignId(0)}));
}

TEST(ReadStop, EveryKey) {
    const Knowledge it = knowledge_of(steps);
    const Stop& stop = it.stops[0];
    EXPECT_EQ(stop.when, (std::vector<SignAmong>{{.sign = SignId(1), .values = {1}},
                                                 {.sign = SignId(0), .values = {0, 1}}}));
    EXPECT_EQ(stop.do_now, "Go away.");
    ASSERT_TRUE(stop.likely);
    EXPECT_EQ(stop.likely->count, counted(1, 50));
    EXPECT_FALSE(stop.blocks_all);
    EXPECT_TRUE(stop.by_drinking);
    EXPECT_FALSE(it.stops[1].by_drinking);
    EXPECT_EQ(stop.blocks, (std::vector<Hazard>{Hazard::live, Hazard::lifting}));
    EXPECT_EQ(stop.cleared_by, std::vector<SignId>{SignId(2)});
    EXPECT_EQ(stop.mended_by, std::vector<RepairId>{RepairId(0)});
    EXPECT_TRUE(it.stops[1].blocks_all);
}

TEST(ReadPractice, EveryKey) {
    const Practice it = knowledge_of(std::string(steps) + R"(
[practice.burst]
title = "Burst at Heron Bottom"
set = { pump = "jet" }
says = { dull = "no" }
found = { gauge = "65 psi@look", burst = "no", water = "hard" }
weighs = { dull = { yes = 3, no = 1.5 } }
after = [{ did = "mend", says = { dull = "yes" }, found = { gauge = 12.3456789 } }]
first = "burst"
both = ["burst"]
tempting = "burst"
stop = "danger"
next = ["look", "mend", "pump", "dull"]
gives = { burst = 0.25, "water=hard" = 0.5, "gauge=high" = 0.75 }
evidence = 0.125
within = 1e-6
)")
                            .practice[0];
    ASSERT_EQ(it.set.size(), 1U);
    EXPECT_EQ(it.set[0].what, "pump");
    EXPECT_EQ(it.set[0].value, "jet");
    EXPECT_EQ(it.says[0].value, "no");
    ASSERT_EQ(it.found.size(), 3U);
    EXPECT_EQ(it.found[0].what, "gauge");
    EXPECT_EQ(it.found[0].value, "65 psi@look");
    EXPECT_EQ(it.weighs[0].weights, (std::map<std::string, double>{{"yes", 3}, {"no", 1.5}}));
    ASSERT_EQ(it.after.size(), 1U);
    EXPECT_EQ(it.after[0].did, RepairId(0));
    EXPECT_EQ(it.after[0].says[0].value, "yes");
    EXPECT_EQ(it.after[0].found[0].value, "12.3456789");  // read again: no digit is lost
    EXPECT_EQ(it.first, CauseId(0));
    EXPECT_EQ(it.both, std::vector<CauseId>{CauseId(0)});
    EXPECT_EQ(it.tempting, CauseId(0));
    EXPECT_EQ(it.stop, StopId(0));
    EXPECT_EQ(it.next, (std::vector<std::string>{"look", "mend", "pump", "dull"}));
    ASSERT_EQ(it.gives.size(), 3U);
    EXPECT_EQ(it.gives[1].what, "water=hard");
    EXPECT_EQ(it.gives[2].probability, 0.75);
    EXPECT_EQ(it.evidence, 0.125);
    EXPECT_EQ(it.within, 1e-6);
}

}  // namespace
}  // namespace knockwell
