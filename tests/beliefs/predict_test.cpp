// What a look would tell, where it cannot be told.
#include "beliefs/beliefs.hpp"
#include "support/knowledge_of.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

constexpr const char* one_cause = R"(
[reports]
looked = { misses = "1 in 10", false_alarm = "1 in 10" }

[cause.worn-pump]
title   = "Pump is worn"
present = "1 in 10"
shows   = { noise = { hum = "3 in 10", rattle = "3 in 10", hiss = "3 in 10" } }

[observation.noise]
title       = "Noise of the pump"
kinds       = ["hum", "rattle", "hiss"]
seen_anyway = { hum = "1 in 100", rattle = "1 in 100", hiss = "1 in 100" }
)";

/// `count` findings of the same middle kind: a table of 3^count values.
Evidence heard_rattling(std::size_t count) {
    const Finding rattle{SignId(std::size_t{0}), 2, {}, {}, Via::looked, {}, 0};
    Evidence evidence;
    evidence.findings.assign(count, rattle);
    return evidence;
}

TEST(Predict, SaysNothingWhereAnOutcomeIsTooWideToAddUp) {
    const Knowledge knowledge = knowledge_of(one_cause);
    const Network network = compile(knowledge);
    const Model model{&knowledge, &network};
    const Look look{{SignId(std::size_t{0})}, Via::looked, {}};

    EXPECT_EQ(predict(model, heard_rattling(3), look).size(), 4U);

    // Six are added up still, the seventh is not: then no chance may be printed at all.
    const Evidence six = heard_rattling(6);
    ASSERT_TRUE(std::holds_alternative<Posterior>(posterior(model, six)));
    ASSERT_TRUE(std::holds_alternative<TooWide>(posterior(model, heard_rattling(7))));
    EXPECT_TRUE(predict(model, six, look).empty());
}

}  // namespace
}  // namespace knockwell
