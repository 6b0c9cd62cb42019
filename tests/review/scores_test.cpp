// Scores of probabilities against published tables.
#include "review/scores.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace knockwell {
namespace {

struct ReliabilityRow {
    double said;
    int cases;
    int happened;
};

std::vector<Forecast> forecasts_of(const std::vector<ReliabilityRow>& rows) {
    std::vector<Forecast> all;
    for (const ReliabilityRow& row : rows) {
        all.push_back({row.said, true, static_cast<double>(row.happened)});
        all.push_back({row.said, false, static_cast<double>(row.cases - row.happened)});
    }
    return all;
}

// Rain over 0.2 mm at Tampere 2003, 24 hours ahead: data of the Finnish Meteorological Institute
// prepared by P. Nurmi and B. Ebert (set 'pop' of the R package verification); scores as published
// on the verification page of the Australian CAWCR: 0.144, 0.025, 0.060, 0.179, 0.194. Further
// digits by exact fractions.
TEST(Scores, RainInTampere) {
    const Scores scores = scores_of(forecasts_of({{0, 46, 1},
                                                  {0.1, 55, 1},
                                                  {0.2, 59, 5},
                                                  {0.3, 41, 5},
                                                  {0.4, 19, 4},
                                                  {0.5, 22, 8},
                                                  {0.6, 22, 6},
                                                  {0.7, 34, 16},
                                                  {0.8, 24, 16},
                                                  {0.9, 11, 8},
                                                  {1, 13, 11}}),
                                    0.01);
    EXPECT_EQ(scores.cases, 346);
    EXPECT_NEAR(scores.brier, 0.144, 0.0005);
    EXPECT_NEAR(scores.reliability, 0.025, 0.0005);
    EXPECT_NEAR(scores.resolution, 0.060, 0.0005);
    EXPECT_NEAR(scores.uncertainty, 0.179, 0.0005);
    EXPECT_NEAR(scores.skill, 0.194, 0.0005);
    EXPECT_NEAR(scores.brier, 0.144479768786127, 1e-12);
    EXPECT_NEAR(scores.reliability, 0.0253552549872717, 1e-12);
    EXPECT_NEAR(scores.resolution, 0.06017482797668, 1e-12);
    EXPECT_NEAR(scores.uncertainty, 0.179299341775535, 1e-12);
    EXPECT_NEAR(scores.skill, 0.194197996738877, 1e-12);
    EXPECT_NEAR(scores.log_score, 0.454348628483694, 1e-12);
    EXPECT_NEAR(scores.brier, scores.reliability - scores.resolution + scores.uncertainty, 1e-12);
    // The logarithmic score falls apart likewise, exactly (Weijs et al. 2010, equation 8).
    EXPECT_NEAR(scores.log_score,
                scores.log_reliability - scores.log_resolution + scores.log_uncertainty, 1e-12);
    // Entropy of 81 in 346, from its definition.
    const double rate = 81.0 / 346;
    EXPECT_NEAR(scores.log_uncertainty, -rate * std::log(rate) - (1 - rate) * std::log(1 - rate),
                1e-12);
    EXPECT_GT(scores.log_resolution, 0);
}

// The same, rain over 4.4 mm: published 0.037, 0.003, 0.020, 0.054, 0.312.
TEST(Scores, HeavyRainInTampere) {
    const Scores scores = scores_of(forecasts_of({{0, 243, 4},
                                                  {0.1, 58, 1},
                                                  {0.2, 19, 3},
                                                  {0.3, 13, 3},
                                                  {0.4, 5, 2},
                                                  {0.5, 1, 1},
                                                  {0.6, 6, 5},
                                                  {0.8, 1, 1}}),
                                    0.01);
    EXPECT_NEAR(scores.brier, 0.037, 0.0005);
    EXPECT_NEAR(scores.reliability, 0.003, 0.0005);
    EXPECT_NEAR(scores.resolution, 0.020, 0.0005);
    EXPECT_NEAR(scores.uncertainty, 0.054, 0.0005);
    EXPECT_NEAR(scores.skill, 0.312, 0.0005);
    EXPECT_NEAR(scores.brier, 0.0374566473988439, 1e-12);
    EXPECT_NEAR(scores.reliability, 0.00339810280407571, 1e-12);
    EXPECT_NEAR(scores.resolution, 0.0204036826764403, 1e-12);
    EXPECT_NEAR(scores.uncertainty, 0.0544622272712085, 1e-12);
    EXPECT_NEAR(scores.skill, 0.312245398773006, 1e-12);
    EXPECT_NEAR(scores.log_score, 0.151618184470372, 1e-12);
    EXPECT_NEAR(scores.brier, scores.reliability - scores.resolution + scores.uncertainty, 1e-12);
}

// D. S. Wilks, Statistical Methods in the Atmospheric Sciences, table 7.3, as carried in the R
// package verification, two misprints mended so that the shares sum to 1; base rate 0.162.
TEST(Scores, ATableOfShares) {
    const std::vector<double> said = {0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1};
    const std::vector<double> happened = {0.006, 0.019, 0.059, 0.15,  0.277, 0.377,
                                          0.511, 0.587, 0.723, 0.779, 0.934, 0.933};
    const std::vector<double> share = {0.4112, 0.0671, 0.1833, 0.0986, 0.0616, 0.0366,
                                       0.0303, 0.0275, 0.0245, 0.022,  0.017,  0.0203};
    std::vector<Forecast> all;
    for (std::size_t i = 0; i < said.size(); ++i) {
        all.push_back({said[i], true, share[i] * happened[i]});
        all.push_back({said[i], false, share[i] * (1 - happened[i])});
    }
    const Scores scores = scores_of(all);
    EXPECT_NEAR(scores.reliability, 0.0008276164, 1e-12);
    EXPECT_NEAR(scores.resolution, 0.06278662818844, 1e-12);
    EXPECT_NEAR(scores.uncertainty, 0.13542005178844, 1e-12);
    EXPECT_NEAR(scores.brier, 0.07346104, 1e-12);
    EXPECT_NEAR(scores.skill, 0.457532034363976, 1e-12);
    ASSERT_EQ(scores.rows.size(), said.size());
    EXPECT_NEAR(scores.rows[2].happened, 0.059, 1e-12);
}

// By hand, from the definitions (Brier 1950; Good 1952); numbers ours.
TEST(Scores, SixForecasts) {
    const std::vector<double> said = {0.9, 0.7, 0.2, 0.5, 0.05, 0.99};
    const std::vector<bool> happened = {true, true, false, true, false, false};
    std::vector<Forecast> all;
    for (std::size_t i = 0; i < said.size(); ++i)
        all.push_back({said[i], happened[i], 1});
    EXPECT_NEAR(scores_of(all).brier, (0.01 + 0.09 + 0.04 + 0.25 + 0.0025 + 0.9801) / 6, 1e-12);
    EXPECT_NEAR(scores_of(all).log_score, 1.005798279, 1e-9);
    // What was called impossible and came is punished, not without end.
    EXPECT_NEAR(scores_of(std::vector<Forecast>{{0, true, 1}}, 0.01).log_score, -std::log(0.01),
                1e-12);
    EXPECT_EQ(scores_of({}).cases, 0);
}

TEST(Scores, ClassesByEdgesHaveTheirMean) {
    const std::vector<double> edges = {0.1, 0.5};
    const std::vector<Forecast> averaged = in_means(
        std::vector<Forecast>{{0.02, true, 1}, {0.08, true, 2}, {0.1, true, 1}, {1, true, 1}},
        edges);
    EXPECT_NEAR(averaged[0].p, 0.06, 1e-15);
    EXPECT_NEAR(averaged[1].p, 0.06, 1e-15);
    EXPECT_NEAR(averaged[2].p, 0.1, 1e-15) << "an edge belongs to the upper class";
    EXPECT_NEAR(averaged[3].p, 1, 1e-15);
}

}  // namespace
}  // namespace knockwell
