// What speaks for what: what cannot be worked out is said to be so, and only a cause that can give
// what was found has anything to explain.
#include "beliefs/beliefs.hpp"
#include "beliefs/explaining.hpp"
#include "beliefs/finding.hpp"
#include "support/knowledge_of.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace knockwell {
namespace {

constexpr const char* text = R"(
[reports]
looked = { misses = "1 in 10", false_alarm = "1 in 10" }

[setting.plate]
title   = "Plate"
unit    = "psi"
choices = { low = "5 in 10", high = "5 in 10" }
gives   = { low = { rating = 50 }, high = { rating = 100 } }

[cause.worn-pump]
title   = "Pump is worn"
present = "1 in 10"
shows   = { noise = { hum = "3 in 10", rattle = "3 in 10" }, gauge = { low = "5 in 10" } }

[cause.loose-mount]
title   = "Mount is loose"
present = "1 in 10"
shows   = { noise = { rattle = "3 in 10", hiss = "never" }, gauge = { past = "1 in 10" } }

[cause.air-leak]
title   = "Air leak"
present = "1 in 10"
shows   = { noise = { hiss = "3 in 10" } }

[cause.rust]
title         = "Rust"
present       = "1 in 10"
shows         = { drip = "1 in 2" }

[cause.pin-hole]
title         = "Pin hole"
present       = "1 in 10"
brought_on_by = { rust = "5 in 10" }
shows         = { noise = { hiss = "1 in 10" } }

[observation.noise]
title       = "Noise of the pump"
kinds       = ["hum", "rattle", "hiss"]
seen_anyway = { hum = "1 in 100", rattle = "1 in 100", hiss = "1 in 100" }

[observation.gauge]
title   = "Gauge"
reading = { unit = "psi", within = 2 }
levels  = { low = ["low"], normal = "in-band", high = ["past"] }
edges   = { low = 10, past = { of = "rating" } }

[observation.drip]
title = "Drip"
)";

class Reasons : public testing::Test {
protected:
    const Knowledge knowledge = knowledge_of(text);
    const Network network = compile(knowledge);
    const Model model{&knowledge, &network};

    Evidence with(std::string_view what, std::string_view value) const {
        Evidence evidence;
        const auto read = read_finding(knowledge, what, value, Via::looked);
        evidence.findings.push_back(std::get<Finding>(read));
        return evidence;
    }

    /// A table of 3^count values; seven are too many to add up.
    static Evidence rattling(std::size_t count) {
        const Finding rattle{SignId(std::size_t{0}), 2, {}, {}, Via::looked, {}, 0};
        Evidence evidence;
        evidence.findings.assign(count, rattle);
        return evidence;
    }
};

using Ids = std::vector<std::string>;

TEST_F(Reasons, OnlyACauseThatCanGiveTheKindFoundExplainsIt) {
    EXPECT_EQ(explaining(model, with("noise", "hum")), Ids{"worn-pump"});
    EXPECT_EQ(explaining(model, with("noise", "rattle")), (Ids{"worn-pump", "loose-mount"}));
    EXPECT_EQ(explaining(model, with("noise", "hiss")), (Ids{"air-leak", "rust", "pin-hole"}))
        << "what brings one on that can explains it too, and 'never' explains nothing";
    EXPECT_EQ(explaining(model, with("noise", "yes")).size(), 5U) << "some noise, no matter which";
    EXPECT_EQ(explaining(model, with("noise", "no")).size(), 5U) << "nothing to explain: all";
}

TEST_F(Reasons, OfAReadingTheSideCounts) {
    EXPECT_EQ(explaining(model, with("gauge", "4 psi")), Ids{"worn-pump"});
    EXPECT_EQ(explaining(model, with("gauge", "120 psi")), Ids{"loose-mount"});
    Evidence between = with("gauge", "70 psi");
    EXPECT_EQ(explaining(model, between), Ids{"loose-mount"})
        << "past one of the plates it may have";
    between.settings[SettingId(std::size_t{0})] = 0;
    EXPECT_EQ(explaining(model, between), Ids{"loose-mount"});
}

TEST_F(Reasons, WhatIsTooWideIsNotTakenForImpossible) {
    const SignId noise(std::size_t{0});
    const std::vector<std::size_t> hiss = {3};
    const auto six = rattling(6);
    ASSERT_TRUE(std::holds_alternative<Posterior>(posterior(model, six)));
    EXPECT_TRUE(chance_of(model, rattling(5), noise, hiss).has_value());
    EXPECT_EQ(chance_of(model, six, noise, hiss), std::nullopt);

    const auto seven = rattling(7);
    ASSERT_TRUE(std::holds_alternative<TooWide>(posterior(model, seven)));
    EXPECT_GT(unlisted(model, six).value_or(0), 0);
    EXPECT_EQ(unlisted(model, seven), std::nullopt);
    EXPECT_TRUE(std::isnan(misfit(model, seven)));
    EXPECT_FALSE(std::isnan(misfit(model, six)));
}

TEST_F(Reasons, AFindingMisfitsByHowMuchLikelierItIsWithoutTheOthers) {
    const auto log_chance = [&](const Evidence& evidence) {
        return std::get<Posterior>(posterior(model, evidence)).log_evidence;
    };
    Evidence both = with("noise", "hum");
    const Evidence noise = both;
    const Evidence gauge = with("gauge", "120 psi");
    add(both, gauge.findings.front());
    const double apart = log_chance(noise) + log_chance(gauge) - log_chance(both);
    ASSERT_GT(apart, 0.3) << "a worn pump hums, and does not give much pressure";
    const std::vector<double> each = misfit_of_each(model, both);
    ASSERT_EQ(each.size(), 2U);
    EXPECT_NEAR(each[0], apart, 1e-12);
    EXPECT_NEAR(each[1], apart, 1e-12);
    EXPECT_NEAR(misfit(model, both), apart, 1e-12);
}

TEST_F(Reasons, ThereIsNoChanceUnderEvidenceThatCannotBe) {
    Evidence clash;
    clash.causes = {{CauseId(std::size_t{0}), true, 0}, {CauseId(std::size_t{0}), false, 0}};
    ASSERT_TRUE(std::holds_alternative<Impossible>(posterior(model, clash)));
    const std::vector<std::size_t> hiss = {3};
    EXPECT_EQ(chance_of(model, clash, SignId(std::size_t{0}), hiss), std::nullopt);
}

}  // namespace
}  // namespace knockwell
