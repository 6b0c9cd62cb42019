// How far what tripped came by itself, held against what is worked out by hand.
#include "advice/tripped.hpp"
#include "advice/well.hpp"

namespace knockwell {
namespace {

constexpr const char* tripping_breaker = R"(
[cause.grounded]
title = "Grounded"
present = 0.2
[cause.grounded.shows]
low-ohms = 0.9

[cause.bound]
title = "Bound"
present = 0.1

[cause.tripped]
title = "Tripped"
present = 0.05
brought_on_by = { grounded = 0.5, bound = 0.25 }
[cause.tripped.shows]
handle-down = 0.8

[observation.low-ohms]
title = "Low ohms"
ask = "Are the ohms low?"

[observation.handle-down]
title = "Handle down"
ask = "Is the handle down?"

[repair.reset]
title = "Reset"
how = "Once."
minutes = 1
fixes = { tripped = 1.0 }
resets = true
)";

std::vector<double> own_of(const well::Bench& bench) {
    return by_themselves(bench.model(), bench.evidence, bench.now());
}

// There it is in 1 - 0.95 x (1 - 0.2 x 0.5) x (1 - 0.1 x 0.25) = 0.166375 of all, and with neither
// of the two in 0.8 x 0.9 x 0.05 = 0.036.
TEST(Tripped, ByItselfIsWithNothingThereThatBringsItOn) {
    well::Bench bench(tripping_breaker);
    bench.find("handle-down", "yes", Via::sure);
    EXPECT_NEAR(bench.now().cause[2], 1, 1e-12);
    const std::vector<double> own = own_of(bench);
    EXPECT_NEAR(own[2], 0.036 / 0.166375, 1e-12);
    EXPECT_EQ(own[0], 1);
    EXPECT_EQ(own[1], 1);
}

// The good reading leaves 0.2 x 0.1 = 0.02 of the 0.2: there it is in
// 0.82 - 0.95 x (0.8 + 0.02 x 0.5) x 0.975 of all, and with neither in 0.036 as before.
TEST(Tripped, WhatSpeaksAgainstTheOthersSpeaksForItself) {
    well::Bench bench(tripping_breaker);
    bench.find("handle-down", "yes", Via::sure);
    bench.find("low-ohms", "no", Via::sure);
    EXPECT_NEAR(own_of(bench)[2], 0.036 / (0.82 - 0.95 * 0.81 * 0.975), 1e-12);
    bench.evidence.causes.push_back({cause_named(bench.knowledge(), "bound"), true, 0});
    EXPECT_EQ(own_of(bench)[2], 0) << "one is known to be there";
}

TEST(Tripped, WhatHardlyIsCountsAsIfTheOthersCameEachByItself) {
    well::Bench bench(tripping_breaker);
    bench.find("low-ohms", "no", Via::sure);
    bench.evidence.causes.push_back({cause_named(bench.knowledge(), "bound"), false, 0});
    bench.find("handle-down", "no", Via::sure);
    const Posterior now = bench.now();
    ASSERT_LT(now.cause[2], 0.02);
    EXPECT_NEAR(own_of(bench)[2], 1 - now.cause[0], 1e-12);
}

TEST(Tripped, StandsFirstOnlyAsFarAsItCameByItself) {
    Knowledge knowledge;
    knowledge.causes.resize(3);
    knowledge.causes[2].brought_on_by = {{CauseId(std::size_t{0}), {}},
                                         {CauseId(std::size_t{1}), {}}};
    const std::vector<double> now = {0.3, 0.2, 0.9};
    const auto first = [&](const std::vector<double>& then, double own) {
        return first_of(knowledge, then, now, {1, 1, own}, {true, true, true}).index();
    };
    EXPECT_EQ(first(now, 0.25), 0U);
    EXPECT_EQ(first(now, 0.5), 2U);
    // 0.25 x (0.75 x 0.98) / (0.7 x 0.8) = 0.328; of 0.9 that is above 0.25, and 0.25 of it is not.
    EXPECT_EQ(first({0.25, 0.02, 0.9}, 0.25), 2U) << "what could have tripped it is half gone";
    EXPECT_EQ(first({0, 0, 0.9}, 0.01), 2U);
    EXPECT_EQ(first_of(knowledge, {0.3, 0.3, 0.1}, now, {1, 1, 1}, {true, true, true}).index(), 0U);
    EXPECT_EQ(first_of(knowledge, {0.3, 0.3, 0.1}, now, {1, 1, 1}, {false, false, true}).index(),
              2U)
        << "what nothing speaks of is not first, however common it is";
}

}  // namespace
}  // namespace knockwell
