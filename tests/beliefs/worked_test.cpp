// Readings that a computation of the trade works out from what is typed.
#include "beliefs/finding.hpp"
#include "beliefs/worked.hpp"
#include "support/knowledge_of.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

Knowledge cushion() {
    return knowledge_of(R"(
[setting.range]
title   = "Range of the switch"
unit    = "psi"
choices = { "30/50" = "1 in 2", "40/60" = "1 in 2" }
gives   = { "30/50" = { cut-in = 30, cut-out = 50 }, "40/60" = { cut-in = 40, cut-out = 60 } }

[observation.cushion]
title      = "Share of the tank's air that is left"
reading    = { unit = "percent", within = 15 }
worked_out = { by = "air-share", line = "share of the air left", takes = { cut-in = "cut-in", cut-out = "cut-out" } }
levels     = { low = ["part", "hardly-any"], normal = "whole" }
edges      = { part = 75, hardly-any = 25 }

[observation.flow]
title      = "Flow of the pump, of its record"
reading    = { unit = "percent", within = 5 }
worked_out = { by = "refill-flow", line = "share of the record" }
levels     = { low = ["low"], normal = "near-record" }
edges      = { low = 80 }

[cause.failed-bladder]
title   = "Failed bladder"
present = "20 in 1000"
shows   = { cushion = { hardly-any = "9 in 10" }, flow = { low = "1 in 10" } }

[test.bucket]
title   = "Measure the drawdown in a bucket"
how     = "Draw water from cut-out to cut-in."
reveals = ["cushion", "flow"]
minutes = 7
needs   = { skill = "owner" }
)");
}

std::optional<double> reading(std::string_view what, std::string_view value,
                              const Evidence* known) {
    const auto read = read_finding(cushion(), what, value, Via::looked, known);
    const auto* finding = std::get_if<Finding>(&read);
    EXPECT_NE(finding, nullptr) << std::get<NotNamed>(read).says;
    return finding == nullptr ? std::nullopt : finding->reading;
}

std::string refused(std::string_view what, std::string_view value, const Evidence* known) {
    const auto read = read_finding(cushion(), what, value, Via::looked, known);
    const auto* none = std::get_if<NotNamed>(&read);
    return none == nullptr ? "(read)" : none->says;
}

Evidence with_range(std::size_t choice) {
    Evidence known;
    known.settings[setting_named(cushion(), "range")] = choice;
    return known;
}

// 44 gal on 40/60 psi gives 11.35 gal: worked figure of tests/trade/checks.toml, h_dd_44gal_40_60.
TEST(Worked, AReadingFollowsFromWhatIsTypedAndWhatIsSet) {
    const Evidence forty = with_range(1);
    EXPECT_NEAR(reading("cushion", "drawdown=11.35gal,tank=44gal", &forty).value_or(0), 100, 0.5);
    EXPECT_NEAR(reading("cushion", " drawdown = 5.675 gal , tank=166.558 L ", &forty).value_or(0),
                50, 0.5);
    const auto read = read_finding(cushion(), "cushion", "drawdown=11.35gal,tank=44gal@bucket",
                                   Via::looked, &forty);
    EXPECT_EQ(std::get<Finding>(read).via, Via::test);
}

TEST(Worked, WhatIsTypedComesBeforeWhatIsSetAndANumberBeforeAChoice) {
    const Evidence thirty = with_range(0);
    const std::string_view all = "drawdown=11.35gal,tank=44gal,cut-in=40psi,cut-out=60psi";
    EXPECT_NEAR(reading("cushion", all, &thirty).value_or(0), 100, 0.5);
    Evidence direct = with_range(0);
    direct.quantities = {{"cut-in", 40}, {"cut-out", 60}};
    EXPECT_NEAR(reading("cushion", "drawdown=11.35gal,tank=44gal", &direct).value_or(0), 100, 0.5);
}

// What is set counts to its last digit, as if it were typed with the others.
TEST(Worked, WhatIsSetIsTakenToItsLastDigit) {
    Evidence direct;
    direct.quantities = {{"cut-in", 40.0000123}, {"cut-out", 59.9999877}};
    const Evidence nothing;
    EXPECT_EQ(reading("cushion", "drawdown=11.35gal,tank=44gal", &direct),
              reading("cushion",
                      "drawdown=11.35gal,tank=44gal,cut-in=40.0000123psi,cut-out=59.9999877psi",
                      &nothing));
}

TEST(Worked, ASettingThatIsNotKnownIsAskedFor) {
    const Evidence nothing;
    EXPECT_EQ(refused("cushion", "drawdown=2gal,tank=44gal", &nothing),
              "cushion: cut-in and cut-out are not known yet; set them first, or type cut-in=... "
              "with the others");
    EXPECT_EQ(refused("cushion", "drawdown=2gal,tank=44gal,cut-in=40psi", &nothing),
              "cushion: cut-out is not known yet; set it first, or type cut-out=... with the "
              "others");
    // Without the job's settings it is only checked, and has no reading.
    EXPECT_EQ(reading("cushion", "drawdown=2gal,tank=44gal", nullptr), std::nullopt);
}

TEST(Worked, WhatIsWrongIsSaidInWords) {
    const Evidence forty = with_range(1);
    EXPECT_EQ(refused("cushion", "drawdown=2volts,tank=44gal", &forty),
              "cushion: drawdown: volts where gal is wanted");
    EXPECT_EQ(refused("cushion", "drawdown=2volts,tank=44gal", nullptr),
              "cushion: drawdown: volts where gal is wanted")
        << "what may be set elsewhere is not asked for yet";
    EXPECT_EQ(refused("cushion", "drawdwon=2gal,tank=44gal", &forty),
              "cushion: there is no input 'drawdwon'; perhaps drawdown; drawdown: is missing "
              "(water drawn between cut-out and cut-in, pump off, gal)");
    EXPECT_EQ(refused("cushion", "drawdown=2gal,44gal", &forty),
              "cushion: '44gal' is no input=number; give drawdown=...,tank=... (with cut-in=... "
              "and cut-out=... where not set)");
    EXPECT_EQ(refused("cushion", "tank=44gal,tank=20gal", &forty),
              "cushion: 'tank' is typed twice; give drawdown=...,tank=... (with cut-in=... and "
              "cut-out=... where not set)");
    EXPECT_EQ(refused("flow", "drawdown=5gal,fill=60s", &forty),
              "flow: 'share of the record' does not follow from these; give "
              "drawdown=...,fill=...,record=...");
    EXPECT_NE(refused("cushion", "drawdown=1e999gal,tank=44gal", &forty), "(read)");
    EXPECT_NE(refused("cushion", "=,=,", &forty), "(read)");
}

// 104 V at a 115 V pump is 90 percent, and not 45 of a standard 230 V.
TEST(Worked, AStandardNeverStandsForASetting) {
    const Knowledge knowledge = knowledge_of(R"(
[setting.volts]
title   = "Volts of the pump"
unit    = "V"
choices = { "115" = "2 in 10", "230" = "8 in 10" }
gives   = { "115" = { rated-volts = 115 }, "230" = { rated-volts = 230 } }

[observation.supply]
title      = "Volts at the switch, percent"
reading    = { unit = "percent", within = 2 }
worked_out = { by = "supply-volts", line = "share of the rated volts", takes = { rated = "rated-volts" } }
levels     = { low = ["low"], normal = "right" }
edges      = { low = 90 }
)");
    Evidence known;
    const auto unknown = read_finding(knowledge, "supply", "measured=103.5V", Via::looked, &known);
    EXPECT_EQ(std::get<NotNamed>(unknown).says,
              "supply: rated-volts is not known yet; set it first, or type rated=... with the "
              "others");
    known.settings[setting_named(knowledge, "volts")] = 0;
    const auto read = read_finding(knowledge, "supply", "measured=103.5V", Via::looked, &known);
    EXPECT_NEAR(std::get<Finding>(read).reading.value_or(0), 90, 1e-9);
    EXPECT_EQ(std::get<Finding>(read_finding(knowledge, "supply", "measured=103.5V", Via::looked))
                  .reading,
              std::nullopt);
}

TEST(Worked, APlainNumberAndALevelStillDo) {
    EXPECT_EQ(reading("cushion", "40 percent", nullptr), 40);
    const auto read = read_finding(cushion(), "cushion", "hardly-any", Via::looked);
    EXPECT_EQ(std::get<Finding>(read).value, 2U);
}

}  // namespace
}  // namespace knockwell
