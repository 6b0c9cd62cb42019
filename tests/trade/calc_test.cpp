// The computations as a person calls them: by name, with words.
#include "base/quantity.hpp"
#include "trade/calc.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <sstream>
#include <string>

namespace knockwell {
namespace {

using Words = std::map<std::string, std::string>;
using Says = std::vector<std::string>;

CalcAnswer answer_to(const std::string& name, const Words& words) {
    return std::get<CalcAnswer>(calculate(name, words));
}

Says problems_of(const std::string& name, const Words& words) {
    return std::get<Says>(calculate(name, words));
}

bool speaks_of(const Says& sentences, const std::string& piece) {
    return std::any_of(sentences.begin(), sentences.end(), [&](const std::string& sentence) {
        return sentence.find(piece) != std::string::npos;
    });
}

// "--tank 20gal --cut-in 40psi" as the map that a command line would make of it.
Words words_of(const std::string& example) {
    Words words;
    std::istringstream in(example);
    for (std::string option, text; in >> option >> text;)
        words[option.substr(2)] = text;
    return words;
}

TEST(Calc, DrawdownTakesUnitsAsTyped) {
    const CalcAnswer answer = answer_to(
        "drawdown",
        {{"tank", "85gal"}, {"precharge", "28 psi"}, {"cut-in", "30"}, {"cut-out", "50psi"}});
    ASSERT_EQ(answer.lines.size(), 2U);
    EXPECT_EQ(answer.lines[0].label, "drawdown");
    EXPECT_EQ(answer.lines[0].unit, "gal");
    // 25.1 gal: How to calculate and control pressure tank drawdown (National Driller, Feb 2006).
    EXPECT_NEAR(answer.lines[0].value, 25.1, 0.1);
    EXPECT_NEAR(answer.lines[1].value, 29.5, 0.1);
    EXPECT_TRUE(speaks_of(answer.cautions, "drained"));
    EXPECT_TRUE(speaks_of(answer.cautions, "power locked out"));

    const CalcAnswer metric = answer_to("drawdown", {{"tank", "321.76 L"},
                                                     {"precharge", "1.93053 bar"},
                                                     {"cut-in", "206.843kPa"},
                                                     {"cut-out", "0.344738 MPa"}});
    EXPECT_NEAR(metric.lines[0].value, answer.lines[0].value, 1e-3);
}

TEST(Calc, TheAirOfAHighPlaceIsTakenWhereItIsGiven) {
    Words words{{"tank", "85gal"}, {"precharge", "28"}, {"cut-in", "30"}, {"cut-out", "50"}};
    words["atmosphere"] = "11.8psi";
    EXPECT_NEAR(answer_to("drawdown", words).lines[0].value, 26.2, 0.1);
}

TEST(Calc, EveryExampleRunsAndItsAnswerIsComplete) {
    const auto all = computations();
    ASSERT_EQ(all.size(), 51U);
    for (const Computation& one : all) {
        SCOPED_TRACE(one.name);
        const auto result = calculate(one.name, words_of(one.example));
        ASSERT_TRUE(std::holds_alternative<CalcAnswer>(result));
        const auto& answer = std::get<CalcAnswer>(result);
        EXPECT_FALSE(answer.lines.empty());
        EXPECT_EQ(answer.formula, one.formula);
        if (one.name != "limit") {  // each figure has its own
            EXPECT_EQ(answer.source, one.source);
        }
        EXPECT_EQ(answer.range, one.range);
        EXPECT_FALSE(one.source.empty());
        for (const CalcInput& input : one.inputs)
            EXPECT_TRUE(known_unit(input.unit)) << input.name;
    }
}

// Every number of every example, in a unit of another kind.
TEST(Calc, EveryNumberRefusesAnotherKindOfUnit) {
    std::size_t tried = 0;
    for (const Computation& one : computations())
        for (const CalcInput& input : one.inputs) {
            Words words = words_of(one.example);
            if (!words.contains(input.name) || !input.choices.empty())
                continue;
            SCOPED_TRACE(one.name + " --" + input.name);
            const std::string wrong = input.unit == "V" ? "psi" : "V";
            const auto typed = std::get<Quantity>(parse_quantity(words.at(input.name)));
            words[input.name] = std::to_string(typed.value) + wrong;
            const auto result = calculate(one.name, words);
            ASSERT_TRUE(std::holds_alternative<Says>(result));
            EXPECT_TRUE(speaks_of(std::get<Says>(result),
                                  input.name + ": " + (wrong == "V" ? "volts" : "psi") + " where "))
                << std::get<Says>(result).front();
            ++tried;
        }
    EXPECT_GE(tried, 130U);
}

// Every number of every example, in a unit of the same kind; the factors are those of NIST SP 811,
// appendix B, and not of quantity.cpp.
TEST(Calc, EveryNumberIsTakenInMetricUnitsToo) {
    struct Metric {
        const char* unit;
        double factor;
    };
    const std::map<std::string, Metric> metric = {
        {"psi", {"kPa", 6.894757}},   {"gal", {"L", 3.785412}}, {"ft", {"m", 0.3048}},
        {"gpm", {"L/min", 3.785412}}, {"in", {"mm", 25.4}},     {"hp", {"W", 745.6999}},
        {"ft/s", {"m/s", 0.3048}}};
    std::size_t tried = 0;
    for (const Computation& one : computations()) {
        const CalcAnswer usual = answer_to(one.name, words_of(one.example));
        for (const CalcInput& input : one.inputs) {
            Words words = words_of(one.example);
            const auto other = metric.find(input.unit);
            if (!words.contains(input.name) || !input.choices.empty() || other == metric.end())
                continue;
            SCOPED_TRACE(one.name + " --" + input.name);
            const auto typed = std::get<Quantity>(parse_quantity(words.at(input.name)));
            const double value = std::get<double>(convert(typed, input.unit));
            std::ostringstream text;
            text.precision(12);
            text << value * other->second.factor << other->second.unit;
            words[input.name] = text.str();
            const CalcAnswer answer = answer_to(one.name, words);
            ASSERT_EQ(answer.lines.size(), usual.lines.size());
            for (std::size_t i = 0; i < usual.lines.size(); ++i)
                EXPECT_NEAR(answer.lines[i].value, usual.lines[i].value,
                            1e-5 * (1 + std::abs(usual.lines[i].value)))
                    << usual.lines[i].label;
            ++tried;
        }
    }
    EXPECT_GE(tried, 75U);
}

TEST(Calc, AllThatIsWrongWithACallIsSaidAtOnce) {
    EXPECT_EQ(
        problems_of("drawdown", {{"precharg", "38psi"},
                                 {"tank", "20 volts"},
                                 {"cut-in", "forty"},
                                 {"cut-out", "60psi"}}),
        (Says{"there is no input 'precharg'; perhaps precharge", "tank: volts where gal is wanted",
              "precharge: is missing (air charge, read with the tank drained, psi)",
              "cut-in: no number; write one such as 12, 12psi or \"12 psi\""}));
}

TEST(Calc, AnUnknownComputationBringsTheNearOnesOrAll) {
    EXPECT_EQ(problems_of("drawdwon", {}),
              (Says{"there is no computation 'drawdwon'; perhaps drawdown"}));
    const Says all = problems_of("moon-phase", {});
    ASSERT_EQ(all.size(), 1U);
    EXPECT_TRUE(speaks_of(all, "there is no computation 'moon-phase'; there is drawdown, "));
    for (const Computation& one : computations())
        EXPECT_TRUE(speaks_of(all, one.name)) << one.name;
}

TEST(Calc, WordsStandWhereAChoiceIsWanted) {
    EXPECT_EQ(problems_of("galvanic", {{"metal", "stel"}, {"against", "brass"}}),
              (Says{"metal: 'stel' is not among the choices; perhaps steel"}));
    EXPECT_TRUE(speaks_of(problems_of("galvanic", {{"metal", "42"}, {"against", "brass"}}),
                          "metal: '42' is not among zinc, galvanized"));
    EXPECT_EQ(
        problems_of("wire-drop",
                    {{"wire", "6awg"}, {"kind", "solid"}, {"length", "300ft"}, {"amps", "8A"}}),
        (Says{"kind: the table has no solid wire of that size"}));
}

// Two ways to the same number: a sound tank's drawdown is the whole of its air.
TEST(Calc, TheShareOfAirAgreesWithDrawdown) {
    const Words tank{{"tank", "44gal"}, {"cut-in", "40psi"}, {"cut-out", "60psi"}};
    Words sound = tank;
    sound["precharge"] = "38psi";
    Words bucket = tank;
    const double whole = answer_to("drawdown", sound).lines[0].value;
    bucket["drawdown"] = std::to_string(whole / 4) + "gal";
    EXPECT_NEAR(answer_to("air-share", bucket).lines[0].value, 25, 1e-3);
    bucket["cut-out"] = "40psi";
    EXPECT_EQ(problems_of("air-share", bucket), (Says{"cut-out: must be above cut-in"}));
}

// Worked by hand: 15 of 236 V; (150 + 2.31*62) of 400 ft.
TEST(Calc, SharesOfVoltsAndOfShutOffHead) {
    EXPECT_NEAR(answer_to("volts-lost", {{"panel", "236V"}, {"well", "221V"}}).lines[1].value,
                6.3559, 1e-4);
    EXPECT_NEAR(
        answer_to("shutoff-share", {{"pressure", "62psi"}, {"lift", "150ft"}, {"record", "400ft"}})
            .lines[1]
            .value,
        73.305, 1e-3);
}

TEST(Calc, WhatIsOutOfRangeComesAsProblems) {
    EXPECT_EQ(problems_of(
                  "pump-down",
                  {{"inside", "6in"}, {"water", "60ft"}, {"pump-flow", "2gpm"}, {"yield", "3gpm"}}),
              (Says{"yield: a well that gives as much as the pump takes is not drawn down"}));
    EXPECT_EQ(problems_of("pipe-loss", {{"flow", "10gpm"}, {"inside", "900in"}}),
              (Says{"inside: 900 in is out of range (from 0.2 to 60 in)"}));
    EXPECT_EQ(problems_of("capacitor", {{"amps", "8A"}}),
              (Says{"metered: give amps and volts under load, or what a meter reads"}));
    EXPECT_EQ(problems_of("running-amps", {}),
              (Says{"measured: neither amps nor watts are given"}));
    EXPECT_EQ(problems_of("unbalance", {{"first", "230V"}, {"second", "230V"}, {"third", "0V"}}),
              (Says{"third: 0 V is out of range (from 1 to 1500 V)"}));
    EXPECT_EQ(
        problems_of("deadhead",
                    {{"shutoff-head", "100ft"}, {"static-lift", "150ft"}, {"plate", "-5psi"}}),
        (Says{"plate: -5 psi is out of range (above 0 and at most 300 psi)",
              "static-lift: above the shut-off head no water reaches the tank"}));
    EXPECT_EQ(problems_of("cycle", {{"drawdown", "0gal"}, {"pump-flow", "10"}, {"motor", "0hp"}}),
              (Says{"drawdown: 0 gal is out of range (above 0 and at most 10000 gal)",
                    "motor: 0 hp is out of range (above 0 and at most 100 hp)"}));
    EXPECT_EQ(problems_of("precharge", {{"cut-in", "5psi"}, {"measured", "400psi"}}).size(), 2U);
}

// Both answers make somebody pour bleach.
TEST(Calc, EveryDoseOfChlorineSaysWhatItIsNeverMixedWith) {
    for (const CalcAnswer& answer :
         {answer_to("dose-strength", {{"dose", "1gal"}, {"water", "100gal"}}),
          answer_to("disinfection", {{"inside", "6in"}, {"water", "100ft"}})})
        EXPECT_TRUE(speaks_of(answer.cautions, "Never mix chlorine with acid or ammonia"));
}

// More than there is, and what no winding lives through, says that a number is wrong.
TEST(Calc, WhatCannotBeIsNoAnswer) {
    EXPECT_EQ(
        problems_of("wire-drop",
                    {{"wire", "14awg"}, {"length", "1000ft"}, {"amps", "50A"}, {"volts", "115V"}}),
        (Says{"amps: the wire would take 314 V, and the supply has 115 V; read both again"}));
    EXPECT_EQ(problems_of("dose-strength", {{"dose", "200gal"}, {"water", "1gal"}}),
              (Says{"dose: more bleach than water; check both"}));
    EXPECT_EQ(answer_to("dose-strength", {{"dose", "1gal"}, {"water", "1gal"}}).lines[0].value,
              52500);
    EXPECT_EQ(
        problems_of("winding-heat", {{"cold", "2ohm"}, {"hot", "26ohm"}}),
        (Says{"hot: the winding would be at 3009 \u00b0C, and none outlasts 250 \u00b0C; read "
              "both again"}));
    EXPECT_EQ(
        problems_of("winding-heat", {{"cold", "26ohm"}, {"hot", "2ohm"}}),
        (Says{"hot: the winding would be at -215.308 \u00b0C, and a well is not colder than -20 "
              "\u00b0C; read both again"}));
}

TEST(Calc, AWindingThatCooledIsRemarkedOn) {
    const auto remarks = [](const char* hot) {
        return answer_to("winding-heat", {{"cold", "2ohm"}, {"hot", hot}}).remarks;
    };
    EXPECT_TRUE(speaks_of(remarks("1.9ohm"), "Colder than it was"));
    EXPECT_TRUE(remarks("2ohm").empty());
}

TEST(Calc, APumpThatCanBurstItsTankIsACautionBeforeTheValue) {
    const CalcAnswer over = answer_to(
        "deadhead", {{"shutoff-head", "400ft"}, {"static-lift", "150ft"}, {"plate", "100psi"}});
    ASSERT_EQ(over.cautions.size(), 1U);
    EXPECT_TRUE(speaks_of(over.cautions, "above the tank's plate"));
    EXPECT_TRUE(speaks_of(over.cautions, "lock it off"));
    ASSERT_EQ(over.lines.size(), 2U);
    EXPECT_NEAR(over.lines[0].value, 108.2, 0.5);
    EXPECT_NEAR(over.lines[1].value, -8.2, 0.5);

    const CalcAnswer under = answer_to(
        "deadhead", {{"shutoff-head", "400ft"}, {"static-lift", "150ft"}, {"plate", "125psi"}});
    EXPECT_TRUE(under.cautions.empty());

    // Where a gauge is near enough to a plate to be a danger a computed pressure is too.
    const CalcAnswer near = answer_to(
        "deadhead", {{"shutoff-head", "400ft"}, {"static-lift", "150ft"}, {"plate", "115psi"}});
    EXPECT_TRUE(speaks_of(near.cautions, "too near it"));

    const CalcAnswer no_plate =
        answer_to("deadhead", {{"shutoff-head", "400ft"}, {"static-lift", "150ft"}});
    EXPECT_TRUE(speaks_of(no_plate.cautions, "Compare"));
    EXPECT_EQ(no_plate.lines.size(), 1U);
}

TEST(Calc, APrechargeReadingIsJudged) {
    const auto remarks = [](const char* measured) {
        return answer_to("precharge", {{"cut-in", "40psi"}, {"measured", measured}}).remarks;
    };
    EXPECT_TRUE(speaks_of(remarks("15psi"), "is low"));
    EXPECT_TRUE(speaks_of(remarks("38psi"), "is right"));
    EXPECT_TRUE(speaks_of(remarks("45psi"), "is high"));
    const CalcAnswer plain = answer_to("precharge", {{"cut-in", "40psi"}});
    ASSERT_EQ(plain.lines.size(), 1U);
    EXPECT_EQ(plain.lines[0].value, 38);
    EXPECT_TRUE(speaks_of(plain.cautions, "Never add air above"));
}

TEST(Calc, ACycleIsComparedWithWhatTheMotorMayBeGiven) {
    const Words pump{{"drawdown", "10gal"}, {"pump-flow", "10gpm"}};
    Words small = pump;
    small["motor"] = "0.75hp";
    EXPECT_TRUE(speaks_of(answer_to("cycle", small).remarks, "no more often"));  // 15 an hour
    Words large = pump;
    large["motor"] = "1hp";
    EXPECT_TRUE(speaks_of(answer_to("cycle", large).remarks, "more often than its motor may"));
    Words drawn = pump;
    drawn["demand"] = "3gpm";
    const CalcAnswer answer = answer_to("cycle", drawn);
    ASSERT_EQ(answer.lines.size(), 6U);
    EXPECT_EQ(answer.lines[2].label, "whole cycle");
    EXPECT_NEAR(answer.lines[2].value, 4.76, 0.03);
    EXPECT_EQ(answer_to("cycle", pump).lines.size(), 2U);
}

}  // namespace
}  // namespace knockwell
