// Where strengths come from, and which claim too much.
#include "knowledge/provenance.hpp"
#include "support/knowledge_of.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

const std::string sourced_toml = R"(
[cause.failed-bladder]
title   = "Failed bladder"
present = "20 in 1000"
basis   = "practice"
shows   = { surging = "9 in 10", gauge = { low = "7 in 10" } }

[symptom.surging]
title       = "Pressure surges"
seen_anyway = "1 in 100"

[observation.gauge]
title       = "Gauge"
basis       = "published"
source      = "a count of 40 calls"
levels      = { low = ["low", "empty"], normal = "good" }
seen_anyway = { low = "3 in 40" }

[test.look]
title   = "Look at the gauge"
how     = "Look."
reveals = ["gauge"]
minutes = 1
needs   = { skill = "owner" }
misses  = "1 in 50"

[repair.replace]
title   = "Replace the tank"
how     = "Replace it."
fixes   = { failed-bladder = "always" }
minutes = 90
)";

std::size_t with(const Provenance& found, Basis basis) {
    return found.strengths.at(static_cast<std::size_t>(basis));
}

TEST(Provenance, EachStrengthHasTheBasisOfItsDefinition) {
    const Knowledge knowledge = knowledge_of(sourced_toml);
    const Provenance found = provenance_of(knowledge);
    EXPECT_EQ(with(found, Basis::practice), 3U);   // present, surging, gauge low
    EXPECT_EQ(with(found, Basis::published), 1U);  // 3 in 40
    EXPECT_EQ(with(found, Basis::none), 2U);       // surging's leak, the test's misses
    EXPECT_EQ(found.strengths_in_all, 6U) << "what is certain is no strength";
    ASSERT_EQ(found.without.size(), 2U);
    EXPECT_EQ(found.without[0]->id, "surging");
    EXPECT_EQ(found.without[1]->id, "look");
    EXPECT_EQ(found.sources, 1U);
}

TEST(Provenance, TheManifestSpeaksForThoseThatSayNone) {
    Knowledge knowledge = knowledge_of(sourced_toml);
    knowledge.manifest.basis = Basis::judgement;
    const Provenance found = provenance_of(knowledge);
    EXPECT_EQ(with(found, Basis::judgement), 2U);
    EXPECT_EQ(with(found, Basis::practice), 3U);
    EXPECT_TRUE(found.without.empty());
}

TEST(Provenance, AJudgementIsWorthAboutTenCases) {
    const auto too_sure = [](double k, double n) {
        return too_sure_for_a_judgement({Count::Kind::counted, k, n});
    };
    EXPECT_FALSE(too_sure(5, 10));
    EXPECT_FALSE(too_sure(17, 20));
    EXPECT_FALSE(too_sure(98, 100)) << "98 in 100 cannot be written with less";
    EXPECT_FALSE(too_sure(1, 1000));
    EXPECT_TRUE(too_sure(85, 100));
    EXPECT_TRUE(too_sure(60, 1000));
    EXPECT_TRUE(too_sure(6, 12));
    EXPECT_FALSE(too_sure_for_a_judgement({Count::Kind::exact, 0.5, 1}));
}

}  // namespace
}  // namespace knockwell
