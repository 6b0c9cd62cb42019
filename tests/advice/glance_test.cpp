// The guess that chooses what is weighed exactly.
#include "advice/glance.hpp"
#include "advice/well.hpp"

#include <algorithm>
#include <cmath>

namespace knockwell {
namespace {

/// The one look that there is tells something of the first cause, and the guess is exact.
void expect_exact(const well::Bench& bench) {
    const auto looks = looks_left(bench.knowledge(), bench.evidence);
    ASSERT_EQ(looks.size(), 1U);
    const Posterior now = bench.now();
    const std::vector<CauseId> all = {CauseId(std::size_t{0})};
    const auto outcomes = predict(bench.model(), bench.evidence, looks.front().look);
    const double exact = bits(outcomes, now.cause, all);
    EXPECT_GT(exact, 0.1);
    EXPECT_NEAR(glances(bench.model(), bench.evidence, looks, now, all).front(), exact, 1e-9);
}

// With one cause and one sign there is nothing to leave out.
TEST(Glance, IsExactForOneCauseAndOneSign) {
    const well::Bench bench(R"(
[cause.worn]
title = "Worn"
present = 0.2
[cause.worn.shows]
noise = { some = 0.3, much = 0.5 }
[observation.noise]
title = "Noise"
levels = ["some", "much"]
seen_anyway = { some = 0.1 }
[test.listen]
title = "Listen"
how = "Listen."
reveals = ["noise"]
minutes = 1
misses = 0.1
false_alarm = 0.05
)");
    expect_exact(bench);
}

TEST(Glance, GivesNothingForABystander) {
    well::Bench bench;
    bench.find("surging", "yes", Via::told);
    const Posterior now = bench.now();
    const auto looks = looks_left(bench.knowledge(), bench.evidence);
    const auto guesses = glances(bench.model(), bench.evidence, looks, now,
                                 explainers(bench.model(), bench.evidence));
    std::size_t met = 0;
    for (std::size_t i = 0; i < looks.size(); ++i) {
        if (looks[i].step.id == "look-at-bracket") {
            EXPECT_EQ(guesses[i], 0);
            ++met;
        } else if (looks[i].step.id == "knock") {
            EXPECT_GT(guesses[i], 0.1);
            ++met;
        }
        EXPECT_FALSE(std::isinf(guesses[i])) << looks[i].step.id;
    }
    EXPECT_EQ(met, 2U);
}

// A cause that is only under one state of a setting, and nothing else.
TEST(Glance, OfASettingIsExactForACauseThatHangsOnIt) {
    const well::Bench bench(R"(
[setting.pump]
title   = "Pump"
ask     = "Which?"
choices = { submersible = 0.8, jet = 0.2 }
[cause.lost-prime]
title   = "Prime lost"
present = 0.4
only_if = { pump = "jet" }
)");
    expect_exact(bench);
}

// The plate says what a reading near it means, which the guess does not work out.
TEST(Glance, WeighsASettingOnWhichTheEdgesOfAReadingHang) {
    well::Bench bench;
    bench.find("gauge", "60 psi");
    const auto looks = looks_left(bench.knowledge(), bench.evidence);
    const auto guesses = glances(bench.model(), bench.evidence, looks, bench.now(),
                                 explainers(bench.model(), bench.evidence));
    std::size_t seen = 0;
    for (std::size_t i = 0; i < looks.size(); ++i)
        if (looks[i].step.kind == StepKind::setting) {
            EXPECT_EQ(std::isinf(guesses[i]), looks[i].step.id == "plate") << looks[i].step.id;
            ++seen;
        }
    EXPECT_EQ(seen, 2U);
}

}  // namespace
}  // namespace knockwell
