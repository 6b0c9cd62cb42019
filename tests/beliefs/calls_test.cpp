// The share of the calls that a cause is behind, worked by hand.
#include "beliefs/calls.hpp"
#include "support/knowledge_of.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

std::optional<std::vector<double>> shares(std::string_view toml) {
    const Knowledge knowledge = knowledge_of(toml);
    const Network network = compile(knowledge);
    return shares_of_calls({&knowledge, &network});
}

// Two causes, a symptom each, one of which is seen anyway; an observation makes nobody call.
//   no symptom:  (1 - 0.1 * 0.8) * 0.99 * (1 - 0.2 * 0.5) = 0.92 * 0.99 * 0.9 = 0.81972
//   with a:      0.1 * 0.2 * 0.99 * 0.9 = 0.01782,    so (0.1 - 0.01782) / 0.18028
//   with b:      0.92 * 0.99 * 0.2 * 0.5 = 0.09108,   so (0.2 - 0.09108) / 0.18028
//   silent c:    has no part in it and keeps its 0.3
TEST(Calls, AreThoseOfASymptom) {
    const auto got = shares(R"(
[cause.a]
title   = "A"
present = 0.1
shows   = { surging = 0.8, dull = 0.5 }
[cause.b]
title   = "B"
present = 0.2
shows   = { no-water = 0.5 }
[cause.c]
title   = "C"
present = 0.3
shows   = { dull = 0.9 }
[symptom.surging]
title       = "Surging"
seen_anyway = 0.01
[symptom.no-water]
title = "No water"
[observation.dull]
title = "Dull"
)");
    ASSERT_TRUE(got);
    EXPECT_NEAR((*got)[0], (0.1 - 0.01782) / 0.18028, 1e-12);
    EXPECT_NEAR((*got)[1], (0.2 - 0.09108) / 0.18028, 1e-12);
    EXPECT_NEAR((*got)[2], 0.3, 1e-12);
}

// What was before the trouble makes nobody call: as the first, with work done lately beside it.
TEST(Calls, AreNotMadeByACircumstance) {
    const auto got = shares(R"(
[cause.a]
title   = "A"
present = 0.1
shows   = { surging = 0.8, worked-on = 0.5 }
[symptom.surging]
title = "Surging"
[symptom.worked-on]
title        = "Worked on lately"
circumstance = true
seen_anyway  = 0.3
)");
    ASSERT_TRUE(got);
    EXPECT_NEAR((*got)[0], 1, 1e-12) << "surging is shown by nothing else";
}

TEST(Calls, AreNoneWhereNothingMakesAnybodyCall) {
    EXPECT_EQ(shares(R"(
[cause.a]
title   = "A"
present = 0.1
shows   = { dull = 0.5 }
[observation.dull]
title = "Dull"
)"),
              std::nullopt);
}

TEST(Calls, AreEveryInstallationWhereASymptomIsAlwaysThere) {
    const auto got = shares(R"(
[cause.a]
title   = "A"
present = 0.1
shows   = { hum = 0.5 }
[symptom.hum]
title       = "Hum"
seen_anyway = "always"
)");
    ASSERT_TRUE(got);
    EXPECT_NEAR((*got)[0], 0.1, 1e-12);
}

}  // namespace
}  // namespace knockwell
