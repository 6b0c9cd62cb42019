// Information against a published network.
//
// Network: S. L. Lauritzen, D. J. Spiegelhalter, Local computations with probabilities on graphical
// structures, J. R. Statist. Soc. B 50, 1988, pp. 157-224. The mutual information was enumerated
// from its tables.
#include "advice/well.hpp"

namespace knockwell {
namespace {

// Tuberculosis and lung cancer are causes here. Odds 1:99 times 11 are 1:9, times 99/19 are 1:19.
constexpr std::string_view chest_clinic = R"(
[setting.asia]
title   = "Visit to Asia"
choices = { yes = 0.01, no = 0.99 }
[setting.smoke]
title   = "Smokes"
choices = { yes = 0.5, no = 0.5 }
[cause.tub]
title     = "Tuberculosis"
present   = 0.01
raised_by = [{ when = { asia = "yes" }, times = 5.2105263157894737 }]
[cause.lung]
title     = "Lung cancer"
present   = 0.01
raised_by = [{ when = { smoke = "yes" }, times = 11 }]
[table.bronc]
states = ["yes", "no"]
given  = ["smoke"]
rows   = [[0.6, 0.4], [0.3, 0.7]]
[table.xray]
states = ["yes", "no"]
given  = ["lung", "tub"]
rows   = [[0.05, 0.95], [0.98, 0.02], [0.98, 0.02], [0.98, 0.02]]
[table.dysp]
states = ["yes", "no"]
given  = ["bronc", "lung", "tub"]
rows   = [[0.8, 0.2], [0.9, 0.1], [0.9, 0.1], [0.9, 0.1],
          [0.1, 0.9], [0.7, 0.3], [0.7, 0.3], [0.7, 0.3]]
)";

struct Bits {
    double xray, bronc, smoke, asia;
};

Bits bits_about_lung(const well::Bench& bench) {
    const Knowledge& knowledge = bench.knowledge();
    const std::vector<CauseId> lung = {cause_named(knowledge, "lung")};
    const Posterior now = bench.now();
    const auto told_by = [&](const char* id) {
        const Look look{{setting_named(knowledge, id)}, Via::sure, {}};
        return bits(predict(bench.model(), bench.evidence, look), now.cause, lung);
    };
    return {told_by("xray"), told_by("bronc"), told_by("smoke"), told_by("asia")};
}

TEST(Reference, BitsAboutLungCancerAreTheMutualInformation) {
    const well::Bench bench(chest_clinic);
    const Bits got = bits_about_lung(bench);
    EXPECT_NEAR(got.xray, 0.18480723645315814, 1e-9);
    EXPECT_NEAR(got.bronc, 0.002539798463511589, 1e-9);
    EXPECT_NEAR(got.smoke, 0.032373995118163496, 1e-9);
    EXPECT_NEAR(got.asia, 0, 1e-9);
}

TEST(Reference, BitsAboutLungCancerGivenDyspnoea) {
    well::Bench bench(chest_clinic);
    Finding dyspnoea;
    dyspnoea.what = setting_named(bench.knowledge(), "dysp");
    dyspnoea.value = 0;
    dyspnoea.via = Via::sure;
    add(bench.evidence, dyspnoea);
    const Bits got = bits_about_lung(bench);
    EXPECT_NEAR(got.xray, 0.30174616355971245, 1e-9);
    EXPECT_NEAR(got.bronc, 0.0198902187021074, 1e-9);
    EXPECT_NEAR(got.smoke, 0.03427694915435372, 1e-9);
    EXPECT_NEAR(got.asia, 8.616866158e-07, 1e-9);
}

// I. J. Good: a deciban is a tenth of the decimal logarithm of the likelihood ratio; a factor of
// two is 3.0103 decibans, of ten 10.
TEST(Reference, WeightsAreDecibansOfTheLikelihoodRatio) {
    for (const auto& [ratio, decibans] :
         {std::pair{2.0, 3.010299956639812}, {5.0, 6.989700043360188}, {10.0, 10.0}}) {
        well::Bench bench(R"(
[table.urn]
states = ["good", "bad"]
given  = ["worn"]
rows   = [[0.95, 0.05], [)" +
                          std::to_string(1 - 0.05 * ratio) + ", " + std::to_string(0.05 * ratio) +
                          R"(]]
[cause.worn]
title   = "Worn"
present = 0.2
)");
        Finding bad;
        bad.what = setting_named(bench.knowledge(), "urn");
        bad.value = 1;
        bad.via = Via::sure;
        add(bench.evidence, bad);
        EXPECT_NEAR(weights(bench.model(), bench.evidence)[0][0], decibans, 1e-9);
    }
}

}  // namespace
}  // namespace knockwell
