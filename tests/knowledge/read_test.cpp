// Everything that docs/knowledge.md lets one write is read to the right value: settings, causes,
// signs.
#include "support/counts.hpp"
#include "support/knowledge_of.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

TEST(ReadManifest, NameWordsAndReports) {
    const Manifest it = knowledge_of(R"(
[manifest]
name = "Wells of Quarry Lane"
version = "2026.11"
format = 1
[words]
often = "7 in 10"
now-and-then = "1 in 8"
[reports]
told = { misses = "1 in 10", false_alarm = "1 in 20" }
looked = { misses = "often", false_alarm = "never" }
)")
                            .manifest;
    EXPECT_EQ(it.name, "Wells of Quarry Lane");
    EXPECT_EQ(it.version, "2026.11");
    EXPECT_EQ(it.words, (std::map<std::string, Count>{{"often", counted(7, 10)},
                                                      {"now-and-then", counted(1, 8)}}));
    EXPECT_EQ(it.told, (Channel{.misses = counted(1, 10), .false_alarm = counted(1, 20)}));
    EXPECT_EQ(it.looked, (Channel{.misses = counted(7, 10), .false_alarm = exactly(0)}));
}

TEST(ReadManifest, WithoutReportsNothingIsEverWrong) {
    const Manifest it = knowledge_of("").manifest;
    EXPECT_EQ(it.told.misses.mean(), 0);
    EXPECT_EQ(it.looked.false_alarm.mean(), 0);
}

constexpr const char* settings = R"(
[setting.range]
title = "Range of the switch"
ask = "What does the plate say?"
note = "inside the cover"
basis = "published"
source = "plate"
accept = { sign-unasked = "known" }
unit = "psi"
choices = { "40/60" = "4 in 10", "20/40" = "2 in 10" }
gives = { "20/40" = { cut-in = 20, cut-out = 40.5 }, "40/60" = { cut-in = 40, cut-out = 60 } }
minutes = 2.5
skill = "helper"
at = "tank"
cautions = ["mind"]
[setting.age]
title = "Age"
unit = "years"
choices = { young = 0.25, middle = "never", old = "3 in 4" }
starts = { old = 10, young = 0, middle = 5 }
[access.tank]
title = "At the tank"
minutes = 2
[caution.mind]
text = "Mind the step."
)";

TEST(ReadSetting, EveryKey) {
    const Knowledge knowledge = knowledge_of(settings);
    ASSERT_EQ(knowledge.settings.size(), 2U);
    const Setting& it = knowledge.settings[0];
    EXPECT_EQ(it.head.id, "range");
    EXPECT_EQ(it.head.title, "Range of the switch");
    EXPECT_EQ(it.head.note, "inside the cover");
    EXPECT_EQ(it.head.basis, Basis::published);
    EXPECT_EQ(it.head.source, "plate");
    EXPECT_EQ(it.head.accept, (std::map<std::string, std::string>{{"sign-unasked", "known"}}));
    EXPECT_EQ(it.ask, "What does the plate say?");
    EXPECT_EQ(it.unit, "psi");
    // As written, not sorted by name.
    EXPECT_EQ(it.states, (std::vector<std::string>{"40/60", "20/40"}));
    EXPECT_EQ(it.prior[0].count, counted(4, 10));
    EXPECT_EQ(it.prior[1].count, counted(2, 10));
    ASSERT_EQ(it.gives.size(), 2U);
    EXPECT_EQ(it.gives[0], (std::map<std::string, double>{{"cut-in", 40}, {"cut-out", 60}}));
    EXPECT_EQ(it.gives[1], (std::map<std::string, double>{{"cut-in", 20}, {"cut-out", 40.5}}));
    EXPECT_EQ(it.minutes, 2.5);
    EXPECT_EQ(it.skill, Skill::helper);
    EXPECT_EQ(it.at, AccessId(0));
    EXPECT_EQ(it.cautions, std::vector<CautionId>{CautionId(0)});
    EXPECT_FALSE(it.table);
}

TEST(ReadSetting, StartsInTheOrderOfTheChoices) {
    const Setting it = knowledge_of(settings).settings[1];
    EXPECT_EQ(it.starts, (std::vector<double>{0, 5, 10}));
    EXPECT_EQ(it.prior[0].count, exactly(0.25));
    EXPECT_EQ(it.prior[1].count, exactly(0));
    EXPECT_EQ(it.minutes, 1);
    EXPECT_EQ(it.skill, Skill::owner);
    EXPECT_FALSE(it.at.valid());
}

TEST(ReadTable, StandsAfterItsParentsWhereverTheyAreWritten) {
    const Knowledge knowledge = knowledge_of(R"(
[table.third]
states = ["no", "yes"]
given = ["second", "worn"]
rows = [[1, 0], [0.5, 0.5], [0.25, 0.75], [0, 1]]
[setting.other]
title = "Other"
choices = { a = "1 in 2", b = "1 in 2" }
[table.second]
title = "The second"
states = ["low", "high"]
given = ["first"]
rows = [[0.9, 0.1], [0.2, 0.8], [0.3, 0.7]]
[setting.first]
title = "First"
choices = { x = "1 in 3", y = "1 in 3", z = "1 in 3" }
[cause.worn]
title = "Worn"
present = "1 in 10"
)");
    std::vector<std::string> order;
    for (const Setting& it : knowledge.settings)
        order.push_back(it.head.id);
    EXPECT_EQ(order, (std::vector<std::string>{"first", "second", "third", "other"}));
    const Setting& third = knowledge.settings[2];
    EXPECT_TRUE(third.table);
    EXPECT_EQ(third.head.title, "third");
    EXPECT_EQ(third.parents,
              (std::vector<std::variant<SettingId, CauseId>>{SettingId(1), CauseId(0)}));
    EXPECT_EQ(third.rows,
              (std::vector<std::vector<double>>{{1, 0}, {0.5, 0.5}, {0.25, 0.75}, {0, 1}}));
    EXPECT_EQ(knowledge.settings[1].head.title, "The second");
}

constexpr const char* causes = R"(
[setting.pump]
title = "Pump"
choices = { submersible = "7 in 10", shallow = "2 in 10", deep = "1 in 10" }
[setting.age]
title = "Age"
choices = { young = "1 in 3", middle = "1 in 3", old = "1 in 3" }
starts = { young = 0, middle = 5, old = 10 }
[cause.plugged]
title = "Plugged port"
part = "switch"
present = "6 in 1000"
give_or_take = 2
only_if = { pump = ["deep", "submersible"], age = "< 10" }
raised_by = [
  { when = { age = ">= 5" }, times = 4 },
  { when = { pump = "deep" }, times = 0.5, give_or_take = 1 },
]
brought_on_by = { rust = "1 in 4" }
masks = { surging = "always" }
comes_and_goes = "2 in 10"
refer = "puller"
shows = { surging = "6 in 10", gauge = { high = "1 in 10", empty = "3.5 in 10" }, how-long = { hours = 0.5 } }
[cause.rust]
title = "Rust"
present = "1 in 1000"
[cause.counted]
title = "Counted"
present = "30 in 4000"
basis = "ledger"
[cause.exact]
title = "Exact"
present = 0.125
[symptom.surging]
title = "Surging"
circumstance = true
[observation.gauge]
title = "Gauge"
levels = { low = ["weak", "empty"], normal = "good", high = ["high"] }
[symptom.how-long]
title = "How long"
kinds = ["minutes", "hours"]
[refer.puller]
title = "Pull it"
to = "pump-installer"
takes = ["plugged", "rust"]
why = "rig"
minutes = 10
in_vain = 90
)";

TEST(ReadCause, EveryKey) {
    const Knowledge knowledge = knowledge_of(causes);
    ASSERT_EQ(knowledge.causes.size(), 4U);
    const Cause& it = knowledge.causes[0];
    EXPECT_EQ(it.part, "switch");
    EXPECT_EQ(it.present.count, counted(6, 1000));
    EXPECT_EQ(it.give_or_take, 2);
    EXPECT_EQ(it.only_if, (Conditions{{.setting = SettingId(0), .states = {0, 2}},
                                      {.setting = SettingId(1), .states = {0, 1}}}));
    ASSERT_EQ(it.raised_by.size(), 2U);
    EXPECT_EQ(it.raised_by[0].when, (Conditions{{.setting = SettingId(1), .states = {1, 2}}}));
    EXPECT_EQ(it.raised_by[0].times, (Factor{.value = 4, .give_or_take = 1.5}));
    EXPECT_EQ(it.raised_by[1].when, (Conditions{{.setting = SettingId(0), .states = {2}}}));
    EXPECT_EQ(it.raised_by[1].times, (Factor{.value = 0.5, .give_or_take = 1}));
    ASSERT_EQ(it.brought_on_by.size(), 1U);
    EXPECT_EQ(it.brought_on_by[0].cause, CauseId(1));
    EXPECT_EQ(it.brought_on_by[0].strength.count, counted(1, 4));
    ASSERT_EQ(it.masks.size(), 1U);
    EXPECT_EQ(it.masks[0].sign, SignId(0));
    EXPECT_EQ(it.masks[0].strength.count, exactly(1));
    ASSERT_TRUE(it.comes_and_goes);
    EXPECT_EQ(it.comes_and_goes->count, counted(2, 10));
    EXPECT_EQ(it.refer, ReferId(0));
    EXPECT_EQ(knowledge.refers[0].to, Licence::pump_installer);
    EXPECT_EQ(knowledge.refers[0].takes, (std::vector<CauseId>{CauseId(0), CauseId(1)}));
    EXPECT_EQ(knowledge.refers[0].why, "rig");
    EXPECT_EQ(knowledge.refers[0].minutes, 10);
    EXPECT_EQ(knowledge.refers[0].in_vain, 90);
}

TEST(ReadSign, TellsACircumstanceFromWhatIsShown) {
    const Knowledge it = knowledge_of(causes);
    EXPECT_TRUE(it[sign_named(it, "surging")].circumstance);
    EXPECT_FALSE(it[sign_named(it, "how-long")].circumstance);
}

TEST(ReadCause, ShowsFlagsLevelsAndKinds) {
    const Cause it = knowledge_of(causes).causes[0];
    ASSERT_EQ(it.shows.size(), 3U);
    EXPECT_EQ(it.shows[0].sign, SignId(0));
    ASSERT_EQ(it.shows[0].high.size(), 1U);
    EXPECT_EQ(it.shows[0].high[0].count, counted(6, 10));
    EXPECT_TRUE(it.shows[0].low.empty());
    ASSERT_EQ(it.shows[1].low.size(), 2U);
    EXPECT_EQ(it.shows[1].low[0].count, exactly(0));  // weak is not written
    EXPECT_EQ(it.shows[1].low[1].count, counted(3.5, 10));
    EXPECT_EQ(it.shows[1].high[0].count, counted(1, 10));
    ASSERT_EQ(it.shows[2].high.size(), 2U);
    EXPECT_EQ(it.shows[2].high[0].count, exactly(0));
    EXPECT_EQ(it.shows[2].high[1].count, exactly(0.5));
}

TEST(ReadCause, KnowsHowWellARateIsKnown) {
    const Knowledge it = knowledge_of(causes);
    EXPECT_EQ(it.causes[1].give_or_take, 3);             // judged
    EXPECT_EQ(it.causes[2].give_or_take, std::nullopt);  // learned: the count says it
    EXPECT_EQ(it.causes[3].give_or_take, std::nullopt);  // exact
}

TEST(ReadSign, EveryForm) {
    const Knowledge it = knowledge_of(R"(
[setting.range]
title = "Range"
unit = "psi"
choices = { a = "1 in 2", b = "1 in 2" }
gives = { a = { cut-in = 20 }, b = { cut-in = 30 } }
[symptom.surging]
title = "Surging"
ask = "Does it surge?"
also = ["pulsing", "spurts"]
seen_anyway = "1 in 50"
phone_report = { misses = "1 in 5", false_alarm = "1 in 25" }
[observation.gauge]
title = "Gauge"
during = { pump = "idle", faucets = "shut" }
reading = { unit = "psi", within = 2 }
levels = { low = ["weak", "empty"], normal = "good", high = ["high"] }
edges = { empty = 2, weak = { of = "cut-in", times = 0.9, plus = -3 }, high = 70.5 }
seen_anyway = { empty = "1 in 100" }
steady = true
[observation.flow]
title = "Flow"
normal = "full"
levels = ["slow", "stopped"]
[observation.noise]
title = "Noise"
kinds = ["hum", "click"]
seen_anyway = { click = "1 in 40" }
pump_stays_off = ["click", "hum"]
no_power = ["click"]
leaves_moot = ["zero", "off"]
[observation.sound]
title = "Sound"
kinds = ["hum", "click"]
leaves_moot = { click = ["zero"], no = ["off"], hum = ["zero", "noise"] }
[observation.off]
title = "Off"
stated_by = { power = "off" }
[observation.zero]
title = "Zero"
stated_by = { pressure = "zero" }
)");
    const Sign& surging = it.signs[0];
    EXPECT_TRUE(surging.symptom);
    EXPECT_EQ(surging.form, SignForm::flag);
    EXPECT_EQ(surging.ask, "Does it surge?");
    EXPECT_EQ(surging.also, (std::vector<std::string>{"pulsing", "spurts"}));
    EXPECT_EQ(surging.normal, "no");
    EXPECT_EQ(surging.high, std::vector<std::string>{"yes"});
    EXPECT_EQ(surging.seen_high[0].count, counted(1, 50));
    EXPECT_EQ(surging.phone_report,
              (Channel{.misses = counted(1, 5), .false_alarm = counted(1, 25)}));

    const Sign& gauge = it.signs[1];
    EXPECT_FALSE(gauge.symptom);
    EXPECT_TRUE(gauge.steady);
    EXPECT_EQ(gauge.form, SignForm::levels);
    EXPECT_EQ(gauge.normal, "good");
    EXPECT_EQ(gauge.low, (std::vector<std::string>{"weak", "empty"}));
    EXPECT_EQ(gauge.high, std::vector<std::string>{"high"});
    EXPECT_EQ(gauge.during,
              (std::map<std::string, std::string>{{"pump", "idle"}, {"faucets", "shut"}}));
    ASSERT_EQ(gauge.seen_low.size(), 2U);
    EXPECT_EQ(gauge.seen_low[0].count, exactly(0));
    EXPECT_EQ(gauge.seen_low[1].count, counted(1, 100));
    ASSERT_TRUE(gauge.reading);
    EXPECT_EQ(gauge.reading->unit, "psi");
    EXPECT_EQ(gauge.reading->within, 2);
    EXPECT_EQ(gauge.reading->low[0].quantity, "cut-in");
    EXPECT_EQ(gauge.reading->low[0].times, 0.9);
    EXPECT_EQ(gauge.reading->low[0].plus, -3);
    EXPECT_EQ(gauge.reading->low[1].quantity, "");
    EXPECT_EQ(gauge.reading->low[1].plus, 2);
    EXPECT_EQ(gauge.reading->high[0].plus, 70.5);

    EXPECT_EQ(it.signs[2].normal, "full");
    EXPECT_EQ(it.signs[2].high, (std::vector<std::string>{"slow", "stopped"}));
    EXPECT_EQ(it.signs[3].form, SignForm::kinds);
    EXPECT_EQ(it.signs[3].normal, "no");
    EXPECT_EQ(it.signs[3].high, (std::vector<std::string>{"hum", "click"}));
    EXPECT_EQ(it.signs[3].seen_high[1].count, counted(1, 40));
    EXPECT_EQ(it.signs[3].pump_stays_off, (std::vector<std::size_t>{1, 2}));
    EXPECT_EQ(it.signs[3].no_power, std::vector<std::size_t>{2});
    EXPECT_TRUE(gauge.pump_stays_off.empty());
    EXPECT_TRUE(gauge.no_power.empty());
    EXPECT_EQ(it.signs[3].leaves_moot,
              (std::vector<Moot>{{SignId(6), {1, 2}}, {SignId(5), {1, 2}}}))
        << "by whatever is present";
    EXPECT_EQ(it.signs[4].leaves_moot,
              (std::vector<Moot>{{SignId(6), {1, 2}}, {SignId(5), {0}}, {SignId(3), {1}}}));
    EXPECT_TRUE(gauge.leaves_moot.empty());
    EXPECT_FALSE(gauge.circumstance);
    EXPECT_FALSE(gauge.stated_by_power_off || gauge.stated_by_pressure_zero);
    EXPECT_TRUE(it.signs[5].stated_by_power_off && !it.signs[5].stated_by_pressure_zero);
    EXPECT_TRUE(it.signs[6].stated_by_pressure_zero && !it.signs[6].stated_by_power_off);
}

// Numbers that one setting gives go together, and a choice that is never so gives none.
TEST(ReadSign, EdgesMayCrossBetweenChoicesThatCannotBeTogether) {
    const Knowledge it = knowledge_of(R"(
[setting.range]
title = "Range"
unit = "psi"
choices = { low = "1 in 2", high = "1 in 2", broken = "never" }
gives = { low = { cut-in = 20, cut-out = 40 }, high = { cut-in = 60, cut-out = 80 }, broken = { cut-in = 95, cut-out = 1 } }
[observation.gauge]
title = "Gauge"
reading = { unit = "psi", within = 2 }
levels = { low = ["weak"], high = ["strong"] }
edges = { weak = { of = "cut-in" }, strong = { of = "cut-out" } }
[observation.other-gauge]
title = "Other gauge"
reading = { unit = "psi", within = 2 }
levels = { low = ["weak"], high = ["strong"] }
edges = { weak = { of = "cut-in" }, strong = 90 }
)");
    EXPECT_EQ(it.signs[0].normal, "normal");
}

}  // namespace
}  // namespace knockwell
