// What has brought about what was found, held against what is worked out by hand.
#include "advice/blame.hpp"
#include "advice/well.hpp"

namespace knockwell {
namespace {

/// One cause of a noise, by itself or with one that shakes as well; and one that shows in neither.
constexpr const char* noisy_machine = R"(
[cause.worn]
title = "Worn"
present = 0.1
[cause.worn.shows]
noise = 0.8
shaking = 0.5

[cause.rusty]
title = "Rusty"
present = 0.25
[cause.rusty.shows]
stains = 0.5

[observation.noise]
title = "Noise"
ask = "Is there a noise?"
seen_anyway = 0.1

[observation.shaking]
title = "Shaking"
ask = "Does it shake?"

[observation.stains]
title = "Stains"
ask = "Are there stains?"
)";

double blame_of(const well::Bench& bench, const char* id) {
    return blamed(bench.model(), bench.evidence,
                  bench.now())[cause_named(bench.knowledge(), id).index()];
}

// By hand: the noise is there in 0.1 (1 - 0.2 x 0.9) + 0.9 x 0.1 = 0.172 of all; the cause makes
// it, and nothing else does, in 0.1 x 0.8 x 0.9 = 0.072.
TEST(Blame, OfOneFindingIsTheChanceThatNothingElseMadeIt) {
    well::Bench bench(noisy_machine);
    bench.find("noise", "yes", Via::sure);
    EXPECT_NEAR(bench.now().cause[0], 0.082 / 0.172, 1e-12);
    EXPECT_NEAR(blame_of(bench, "worn"), 0.072 / 0.172, 1e-12);
}

TEST(Blame, OfWhatIsOnlyThereAnywayIsNone) {
    well::Bench bench(noisy_machine);
    bench.find("noise", "yes", Via::sure);
    EXPECT_NEAR(bench.now().cause[1], 0.25, 1e-12);
    EXPECT_NEAR(blame_of(bench, "rusty"), 0, 1e-12);
}

// What is as it should be counts on both sides: without shaking the cause is there in
// 0.1 x 0.5 / (0.1 x 0.5 + 0.9) anyway.
TEST(Blame, IsHeldAgainstWhatIsAsItShouldBe) {
    well::Bench bench(noisy_machine);
    bench.find("noise", "yes", Via::sure);
    bench.find("shaking", "no", Via::sure);
    const double all = 0.05 * 0.82 + 0.9 * 0.1;
    EXPECT_NEAR(bench.now().cause[0], 0.05 * 0.82 / all, 1e-12);
    EXPECT_NEAR(blame_of(bench, "worn"), 0.05 * 0.8 * 0.9 / all, 1e-12);
}

// With noise and work before it, the careless one is likelier for the work and has no part in the
// noise; by hand: it stands apart from the noise, so it is as likely as with the work alone.
TEST(Blame, OfWhatOnlyTheCircumstancesSpeakForIsNone) {
    const std::string before = std::string(noisy_machine) + R"(
[cause.careless]
title = "Careless"
present = 0.2
[cause.careless.shows]
worked-on = 0.8

[symptom.worked-on]
title = "Worked on"
ask = "Was it worked on?"
seen_anyway = 0.02
)";
    for (const bool circumstance : {true, false}) {
        well::Bench bench((before + (circumstance ? "circumstance = true\n" : "")).c_str());
        bench.find("noise", "yes", Via::sure);
        bench.find("worked-on", "yes", Via::sure);
        EXPECT_GT(bench.now().cause[2], 0.8);
        if (circumstance)
            EXPECT_NEAR(blame_of(bench, "careless"), 0, 1e-12);
        else
            EXPECT_GT(blame_of(bench, "careless"), 0.8);
        EXPECT_NEAR(blame_of(bench, "worn"), 0.072 / 0.172, 1e-12);
    }
}

TEST(Blame, IsNeverBelowNothing) {
    well::Bench bench(noisy_machine);
    bench.find("shaking", "no", Via::sure);
    EXPECT_EQ(blame_of(bench, "worn"), 0);
    EXPECT_EQ(blame_of(bench, "rusty"), 0);
}

TEST(Blame, OfAKnownCauseIsAllOfIt) {
    well::Bench bench(noisy_machine);
    bench.find("noise", "yes", Via::sure);
    bench.evidence.causes.push_back({CauseId(std::size_t{0}), true, 0});
    EXPECT_NEAR(blame_of(bench, "worn"), 1, 1e-12);
}

}  // namespace
}  // namespace knockwell
