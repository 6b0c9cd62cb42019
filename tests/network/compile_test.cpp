// Small knowledge in, arrays out; the numbers are worked on paper from docs/knowledge.md and the
// comments of network.hpp.
#include "network/network.hpp"
#include "support/knowledge_of.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace knockwell {
namespace {

using Kind = StrengthLaw::Kind;

Network network_of(std::string_view toml) { return compile(knowledge_of(toml)); }

/// The law that `index` calls for, so that a test need not know where it stands.
const StrengthLaw& law(const Network& network, StrengthIndex index) {
    return network.strengths.at(index);
}

void expect_law(const StrengthLaw& is, Kind kind, double mean, double a, double b, double rest) {
    EXPECT_EQ(is.kind, kind);
    EXPECT_DOUBLE_EQ(is.mean, mean);
    EXPECT_DOUBLE_EQ(is.a, a);
    EXPECT_DOUBLE_EQ(is.b, b);
    EXPECT_DOUBLE_EQ(is.rest, rest);
}

/// One cause with this line in it.
CauseNode cause_with(const std::string& line, Network& network) {
    network = network_of("[cause.worn]\ntitle = \"Worn\"\n" + line + "\n");
    return network.causes.at(0);
}

// --- settings

TEST(CompileSetting, TakesItsChoicesAsOneDirichletThatIsEverything) {
    const Network network = network_of(R"(
[setting.pump]
title   = "Pump"
choices = { submersible = "75 in 100", shallow-jet = "18 in 100", deep-jet = "7 in 100" }
)");
    ASSERT_EQ(network.settings.size(), 1U);
    const SettingNode& pump = network.settings[0];
    EXPECT_EQ(pump.states, 3U);
    EXPECT_TRUE(pump.parents.empty());
    EXPECT_TRUE(pump.rows.empty());
    ASSERT_EQ(pump.prior.size(), 3U);
    const double group = law(network, pump.prior[0]).b;
    expect_law(law(network, pump.prior[0]), Kind::dirichlet, 0.75, 75, group, 0);
    expect_law(law(network, pump.prior[1]), Kind::dirichlet, 0.18, 18, group, 0);
    expect_law(law(network, pump.prior[2]), Kind::dirichlet, 0.07, 7, group, 0);
}

// 1 in 10 and 6 in 20 are 0.1 and 0.3, so 1 to 3; the larger count, 20, is shared as 5 and 15.
TEST(CompileSetting, NormalisesChoicesThatDoNotSumToOne) {
    const Network network = network_of(R"(
[setting.depth]
title   = "Depth"
choices = { deep = "1 in 10", shallow = "6 in 20" }
)");
    const StrengthRange prior = network.settings.at(0).prior;
    ASSERT_EQ(prior.size(), 2U);
    EXPECT_DOUBLE_EQ(law(network, prior[0]).a, 5);
    EXPECT_DOUBLE_EQ(law(network, prior[1]).a, 15);
    EXPECT_DOUBLE_EQ(law(network, prior[0]).mean, 0.25);
    EXPECT_DOUBLE_EQ(law(network, prior[1]).mean, 0.75);
}

TEST(CompileSetting, DrawsTheChoicesOfTwoSettingsApart) {
    const Network network = network_of(R"(
[setting.drive]
title   = "Drive"
choices = { fixed = "1 in 2", variable = "1 in 2" }
[setting.volts]
title   = "Volts"
choices = { "115" = "1 in 2", "230" = "1 in 2" }
)");
    EXPECT_NE(law(network, network.settings.at(0).prior[0]).b,
              law(network, network.settings.at(1).prior[0]).b);
}

TEST(CompileSetting, LeavesExactNumbersWithoutARange) {
    const Network network = network_of(R"(
[setting.drive]
title   = "Drive"
choices = { fixed = 0.25, variable = 0.25 }
)");
    for (const StrengthIndex index : network.settings.at(0).prior)
        expect_law(law(network, index), Kind::exact, 0.5, 0, 0, 0);
}

TEST(CompileTable, KeepsItsRowsInTheOrderOfTheText) {
    const Network network = network_of(R"(
[setting.pump]
title   = "Pump"
choices = { submersible = "3 in 4", jet = "1 in 4" }
[cause.bacteria]
title   = "Bacteria"
present = "1 in 10"
[table.stain]
states = ["none", "some", "much"]
given  = ["pump", "bacteria"]
rows   = [[0.9, 0.1, 0.0], [0.2, 0.3, 0.5], [0.8, 0.1, 0.1], [0.1, 0.2, 0.7]]
)");
    ASSERT_EQ(network.settings.size(), 2U);
    const SettingNode& stain = network.settings[1];
    EXPECT_EQ(stain.states, 3U);
    EXPECT_TRUE(stain.prior.empty());
    EXPECT_EQ(stain.parents, (std::vector<SettingNode::Parent>{{false, 0}, {true, 0}}));
    EXPECT_EQ(stain.rows,
              (std::vector<double>{0.9, 0.1, 0.0, 0.2, 0.3, 0.5, 0.8, 0.1, 0.1, 0.1, 0.2, 0.7}));
}

// --- causes

// Two standard deviations are ln 3 where nothing else is said: one is 0.549306.
TEST(CompileCause, TakesAJudgedRateToAFactor) {
    Network network;
    const CauseNode worn = cause_with(R"(present = "3 in 1000")", network);
    expect_law(law(network, worn.base), Kind::log_normal_odds, 0.003, std::log(3.0) / 2, 0, 0);
    EXPECT_NEAR(law(network, worn.base).a, 0.549306, 1e-6);
}

TEST(CompileCause, TakesTheFactorThatIsWritten) {
    Network network;
    const CauseNode worn = cause_with("present = \"3 in 1000\"\ngive_or_take = 10", network);
    expect_law(law(network, worn.base), Kind::log_normal_odds, 0.003, std::log(10.0) / 2, 0, 0);
}

TEST(CompileCause, TakesAPublishedRateAsItsCount) {
    Network network;
    const CauseNode worn =
        cause_with("present = \"3 in 1000\"\nbasis = \"published\"\nsource = \"A table\"", network);
    expect_law(law(network, worn.base), Kind::beta, 0.003, 3, 997, 0);
}

// None in ten is no certainty: Beta(1/2, 10), so 0.5 / 10.5.
TEST(CompileCause, LiftsACountOfNone) {
    Network network;
    const CauseNode worn =
        cause_with("present = \"0 in 10\"\nbasis = \"published\"\nsource = \"A table\"", network);
    expect_law(law(network, worn.base), Kind::beta, 1.0 / 21, 0.5, 10, 0);
    const CauseNode judged = cause_with("present = \"0 in 10\"", network);
    expect_law(law(network, judged.base), Kind::log_normal_odds, 1.0 / 21, std::log(3.0) / 2, 0, 0);
}

TEST(CompileCause, LeavesAnExactRateWithoutARange) {
    Network network;
    const CauseNode worn = cause_with("present = 0.25", network);
    expect_law(law(network, worn.base), Kind::exact, 0.25, 0, 0, 0);
}

TEST(CompileCause, HasItsConditionsItsParentsAndItsChanceToAct) {
    const Network network = network_of(R"(
[setting.age]
title   = "Age"
choices = { new = "1 in 2", old = "1 in 2" }
[setting.water]
title   = "Water"
choices = { soft = "1 in 3", hard = "1 in 3", very-hard = "1 in 3" }
[setting.pump]
title   = "Pump"
choices = { submersible = "1 in 2", jet = "1 in 2" }
[cause.plugged-port]
title          = "Plugged port"
present        = "6 in 1000"
only_if        = { pump = "jet" }
raised_by      = [ { when = { water = ["hard", "very-hard"], age = "old" }, times = 4, give_or_take = 2 } ]
brought_on_by  = { corrosion = "1 in 4" }
comes_and_goes = "2 in 10"
[cause.corrosion]
title   = "Corrosion"
present = "1 in 100"
)");
    ASSERT_EQ(network.causes.size(), 2U);
    const CauseNode& plugged = network.causes[0];
    ASSERT_EQ(plugged.only_if.size(), 1U);
    EXPECT_EQ(plugged.only_if[0], (Condition{SettingId(2), {1}}));
    ASSERT_EQ(plugged.raised_by.size(), 1U);
    ASSERT_EQ(plugged.raised_by[0].when.size(), 2U);
    for (const Condition& condition : plugged.raised_by[0].when)
        EXPECT_EQ(condition.states, condition.setting == SettingId(1)
                                        ? (std::vector<std::size_t>{1, 2})
                                        : (std::vector<std::size_t>{1}));
    expect_law(law(network, plugged.raised_by[0].times), Kind::log_normal, 4, std::log(2.0) / 2, 0,
               0);
    EXPECT_EQ(plugged.settings, (std::vector<std::uint32_t>{0, 1, 2}));
    ASSERT_EQ(plugged.parents.size(), 1U);
    EXPECT_EQ(plugged.parents[0].from, 1U);
    expect_law(law(network, plugged.parents[0].strength), Kind::beta, 0.25, 1, 3, 0);
    EXPECT_TRUE(plugged.comes_and_goes);
    expect_law(law(network, plugged.acts), Kind::beta, 0.2, 2, 8, 0);
    EXPECT_FALSE(network.causes[1].comes_and_goes);
    EXPECT_TRUE(network.causes[1].settings.empty());
}

TEST(CompileCause, StandsAfterWhatBringsItOn) {
    const Network network = network_of(R"(
[cause.burnt-contacts]
title         = "Burnt contacts"
present       = "1 in 100"
brought_on_by = { short-cycling = "1 in 2" }
[cause.leak]
title   = "Leak"
present = "1 in 100"
[cause.short-cycling]
title         = "Short cycling"
present       = "1 in 100"
brought_on_by = { torn-bladder = "9 in 10" }
[cause.torn-bladder]
title   = "Torn bladder"
present = "1 in 100"
)");
    EXPECT_EQ(network.cause_order, (std::vector<std::uint32_t>{1, 3, 2, 0}));
}

// --- signs

constexpr const char* pressure_and_noise = R"(
[observation.pressure]
title       = "Pressure"
reading     = { unit = "psi", within = 2 }
levels      = { low = ["weak", "none"], normal = "right", high = ["too-high"] }
edges       = { weak = 30, none = 2, too-high = 60 }
seen_anyway = { weak = "1 in 100", none = "1 in 200" }
[observation.deposits]
title  = "Deposits"
steady = true
[observation.hum]
title  = "Hum of the pump"
kinds  = ["steady", "rough"]
[symptom.noise]
title  = "Noise"
[cause.worn-pump]
title   = "Worn pump"
present = "1 in 100"
shows   = { pressure = { none = "5 in 10", weak = "3 in 10" }, noise = "7 in 10" }
[cause.stuck-switch]
title   = "Stuck switch"
present = "1 in 100"
masks   = { noise = "1 in 5" }
shows   = { pressure = { too-high = "9 in 10", weak = "5 in 100", none = "5 in 100" }, hum = { rough = "5 in 10", steady = "5 in 10" } }
)";

TEST(CompileSign, CountsItsValues) {
    const Network network = network_of(pressure_and_noise);
    ASSERT_EQ(network.signs.size(), 4U);
    EXPECT_EQ(network.signs[0].form, SignForm::levels);
    EXPECT_EQ(network.signs[0].high, 1U);
    EXPECT_EQ(network.signs[0].low, 2U);
    EXPECT_EQ(network.signs[3].form, SignForm::flag);
    EXPECT_EQ(network.signs[3].high, 1U);
    EXPECT_EQ(network.signs[3].low, 0U);
    EXPECT_EQ(network.signs[2].form, SignForm::kinds);
    EXPECT_EQ(network.signs[2].high, 2U);
}

// 1 in 100 and 1 in 200, of 200 cases: 2, 1, and 197 normal ones.
TEST(CompileSign, LeaksByLevelWithTheRestNormal) {
    const Network network = network_of(pressure_and_noise);
    const SignNode& pressure = network.signs[0];
    EXPECT_TRUE(pressure.leak_high.empty());
    ASSERT_EQ(pressure.leak_low.size(), 2U);
    const double group = law(network, pressure.leak_low[0]).b;
    expect_law(law(network, pressure.leak_low[0]), Kind::dirichlet, 0.01, 2, group, 197);
    expect_law(law(network, pressure.leak_low[1]), Kind::dirichlet, 0.005, 1, group, 197);
    EXPECT_TRUE(network.signs[3].leak_high.empty());
}

TEST(CompileSign, IsShownByCausesLevelByLevelWhateverTheOrderOfTheText) {
    const Network network = network_of(pressure_and_noise);
    const std::vector<ShowLink>& shown = network.signs[0].shown_by;
    ASSERT_EQ(shown.size(), 2U);
    EXPECT_EQ(shown[0].from, 0U);
    EXPECT_TRUE(shown[0].high.empty());
    ASSERT_EQ(shown[0].low.size(), 2U);
    const double worn = law(network, shown[0].low[0]).b;
    expect_law(law(network, shown[0].low[0]), Kind::dirichlet, 0.3, 3, worn, 2);  // weak
    expect_law(law(network, shown[0].low[1]), Kind::dirichlet, 0.5, 5, worn, 2);  // none
    EXPECT_EQ(shown[1].from, 1U);
    ASSERT_EQ(shown[1].high.size(), 1U);
    ASSERT_EQ(shown[1].low.size(), 2U);
    EXPECT_DOUBLE_EQ(law(network, shown[1].high[0]).mean, 0.9);
    EXPECT_NE(law(network, shown[1].high[0]).b, law(network, shown[1].low[0]).b);
    EXPECT_NE(law(network, shown[1].low[0]).b, worn);
}

// The kinds take all ten cases: half a case is still left for "no", so 5, 5 and 1/2 of 10 1/2.
TEST(CompileSign, LeavesHalfACaseToNormal) {
    const Network network = network_of(pressure_and_noise);
    const std::vector<ShowLink>& shown = network.signs[2].shown_by;
    ASSERT_EQ(shown.size(), 1U);
    ASSERT_EQ(shown[0].high.size(), 2U);
    const double group = law(network, shown[0].high[0]).b;
    expect_law(law(network, shown[0].high[0]), Kind::dirichlet, 10.0 / 21, 5, group, 0.5);
    expect_law(law(network, shown[0].high[1]), Kind::dirichlet, 10.0 / 21, 5, group, 0.5);
}

// A level that is not written is never; that makes those that are written no surer: "3 in 10"
// and "2 in 10" are drawn with a rest of 5.
TEST(CompileSign, DrawsTheLevelsThatAreWrittenAndNoOther) {
    const Network network = network_of(R"(
[observation.flow]
title       = "Flow"
levels      = { normal = "full", high = ["weak", "very-weak", "none"] }
seen_anyway = { none = "1 in 100" }
[cause.worn]
title   = "Worn"
present = "1 in 100"
shows   = { flow = { weak = "3 in 10", none = "2 in 10" } }
)");
    const SignNode& flow = network.signs.at(0);
    ASSERT_EQ(flow.shown_by.size(), 1U);
    const StrengthRange high = flow.shown_by[0].high;
    ASSERT_EQ(high.size(), 3U);
    const double group = law(network, high[0]).b;
    expect_law(law(network, high[0]), Kind::dirichlet, 0.3, 3, group, 5);
    expect_law(law(network, high[1]), Kind::dirichlet, 0, 0, group, 5);
    expect_law(law(network, high[2]), Kind::dirichlet, 0.2, 2, group, 5);
    ASSERT_EQ(flow.leak_high.size(), 3U);
    expect_law(law(network, flow.leak_high[2]), Kind::dirichlet, 0.01, 1,
               law(network, flow.leak_high[2]).b, 99);

    // One group is one draw, wherever its shares stand.
    const std::vector<double> values = redraw(network, 1, 0);
    EXPECT_EQ(values[high[1]], 0);
    EXPECT_LT(values[high[0]] + values[high[2]], 1);
}

TEST(CompileSign, IsMasked) {
    const Network network = network_of(pressure_and_noise);
    ASSERT_EQ(network.signs[3].masked_by.size(), 1U);
    EXPECT_EQ(network.signs[3].masked_by[0].from, 1U);
    expect_law(law(network, network.signs[3].masked_by[0].strength), Kind::beta, 0.2, 1, 4, 0);
    EXPECT_TRUE(network.signs[0].masked_by.empty());
}

TEST(CompileSign, WaitsForTheCauseToActOnlyWhereItIsLookedAtAndNotSteady) {
    const Network network = network_of(pressure_and_noise);
    EXPECT_TRUE(network.signs[0].through_acts);   // an observation
    EXPECT_FALSE(network.signs[3].through_acts);  // a symptom: told of the days before
    EXPECT_FALSE(network.signs[1].through_acts);  // steady
}

// --- the whole

TEST(PointValues, AreTheMeansOfAllStrengthsInTheirOrder) {
    const Network network = network_of(pressure_and_noise);
    const std::vector<double> values = point_values(network);
    ASSERT_EQ(values.size(), network.strengths.size());
    for (std::size_t i = 0; i < values.size(); ++i)
        EXPECT_EQ(values[i], network.strengths[i].mean);
    EXPECT_DOUBLE_EQ(values[network.causes[0].base], 0.01);
    EXPECT_DOUBLE_EQ(values[network.signs[3].masked_by[0].strength], 0.2);
}

TEST(Compile, GivesEqualArraysForEqualKnowledge) {
    EXPECT_EQ(network_of(pressure_and_noise), network_of(pressure_and_noise));
    EXPECT_NE(network_of(pressure_and_noise),
              network_of("[cause.a]\ntitle = \"A\"\npresent = 0.5"));
}

}  // namespace
}  // namespace knockwell
