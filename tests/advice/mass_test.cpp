// What a finding says by itself.
#include "advice/mass.hpp"
#include "advice/well.hpp"

#include <numeric>

namespace knockwell {
namespace {

std::vector<double> mass_of(const well::Bench& bench) {
    return masses(bench.knowledge(), bench.evidence, bench.evidence.findings.front());
}

TEST(Mass, OfANamedValueIsAllItsOwn) {
    well::Bench bench;
    bench.find("surging", "yes");
    EXPECT_EQ(mass_of(bench), (std::vector<double>{0, 1}));
    EXPECT_TRUE(found_present(bench.knowledge(), bench.evidence, bench.evidence.findings.front()));
}

TEST(Mass, OfSomethingOrOtherIsShared) {
    well::Bench bench;
    Finding some;
    some.what = sign_named(bench.knowledge(), "gauge");
    some.weights = {0, 3, 1};
    bench.evidence.findings = {some};
    EXPECT_EQ(mass_of(bench), (std::vector<double>{0, 0.75, 0.25}));
}

// Standard normal distribution: 0.0227501 lies beyond two deviations (tables; from memory).
TEST(Mass, OfAReadingIsTheNormalOne) {
    well::Bench bench;
    bench.set("plate", "75");
    bench.find("gauge", "65.5 psi");
    const std::vector<double> mass = mass_of(bench);
    EXPECT_NEAR(mass[1], 0.0227501, 1e-7);
    EXPECT_NEAR(mass[2], 0, 1e-12);
    EXPECT_NEAR(std::accumulate(mass.begin(), mass.end(), 0.0), 1, 1e-12);
    EXPECT_FALSE(found_present(bench.knowledge(), bench.evidence, bench.evidence.findings.front()));
}

TEST(Mass, OfAReadingUnderAnUnknownPlateIsAveraged) {
    well::Bench bench;
    bench.find("gauge", "90 psi");
    EXPECT_NEAR(mass_of(bench)[1], 0.5, 1e-12) << "past one plate, well under the other";
}

}  // namespace
}  // namespace knockwell
