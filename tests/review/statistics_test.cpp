// The statistics of small counts against published examples.
#include "review/statistics.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <random>
#include <stdexcept>

namespace knockwell {
namespace {

struct GarwoodRow {
    std::uint64_t count;
    double low;
    double high;
};

// F. Garwood, Biometrika 28, 1936, pp. 437-442. Read on public pages: 3.689 (none), 4.80 and 18.39
// (ten), 0.0253 and 5.572 (one); the 95 % rows agree with qchisq of R 4.2.2 to all digits.
const std::vector<GarwoodRow> garwood_95 = {{0, 0, 3.68887945411394},
                                            {1, 0.0253178079842899, 5.5716433909389},
                                            {2, 0.242209278543965, 7.22468766772396},
                                            {3, 0.618672122895601, 8.76727306974233},
                                            {4, 1.08986537362632, 10.2415886754037},
                                            {5, 1.62348639011842, 11.6683320793227},
                                            {6, 2.20189425349085, 13.0594740225187},
                                            {7, 2.81436305151987, 14.4226753617024},
                                            {8, 3.4538321767485, 15.7631892201933},
                                            {9, 4.11537309737833, 17.0848034514192},
                                            {10, 4.79538869613243, 18.3903560420178},
                                            {15, 8.39538613278331, 24.7402188714858},
                                            {20, 12.2165195854039, 30.8883779026746},
                                            {30, 20.2408740214209, 42.8268653948077},
                                            {50, 37.1109637374619, 65.9187666643368},
                                            {100, 81.3639912509231, 121.626793792426}};
const std::vector<GarwoodRow> garwood_99 = {{0, 0, 5.29831736654804},
                                            {1, 0.00501254182354428, 7.43012950028012},
                                            {2, 0.103494546748091, 9.27379208925555},
                                            {3, 0.337863388727733, 10.9774774953298},
                                            {4, 0.672206543507405, 12.5940897859856},
                                            {5, 1.07792824065232, 14.149759411023},
                                            {6, 1.53691181904467, 15.6596748112976},
                                            {7, 2.03733747869967, 17.1335932689133},
                                            {8, 2.57110272152185, 18.5782257283034},
                                            {9, 3.13240234225323, 19.9984231564693},
                                            {10, 3.71692213146712, 21.3978274996543},
                                            {15, 6.89335992975136, 28.1640574798555},
                                            {20, 10.353267658485, 34.6679987284502},
                                            {30, 17.7672455393693, 47.2093264739372},
                                            {50, 33.6637816527396, 71.2660884754511},
                                            {100, 76.1204958436892, 128.760580120102}};
const std::vector<GarwoodRow> garwood_90 = {{0, 0, 2.99573227355399},
                                            {1, 0.0512932943875505, 4.74386451839058},
                                            {2, 0.355361510698662, 6.29579362187199},
                                            {3, 0.817691447163953, 7.75365652793273},
                                            {4, 1.36631839674983, 9.15351902663757},
                                            {5, 1.97014956805953, 10.5130349087415},
                                            {6, 2.61301474419632, 11.8423956524203},
                                            {7, 3.28531569189467, 13.1481138024321},
                                            {8, 3.98082278618928, 14.4346497151963},
                                            {9, 4.69522754034449, 15.7052164221155},
                                            {10, 5.42540569709129, 16.9622192357219},
                                            {15, 9.24633049097673, 23.0971297601392},
                                            {20, 13.2546515983466, 29.062018840434},
                                            {30, 21.5939792269949, 40.6905075944495},
                                            {50, 38.9647325825086, 63.2870740957472},
                                            {100, 84.1392772183142, 118.079272782097}};

TEST(Statistics, ExactLimitsOfAPoissonMean) {
    const auto check = [](const std::vector<GarwoodRow>& rows, double confidence) {
        for (const GarwoodRow& row : rows) {
            const Limits limits = poisson_limits(row.count, confidence);
            EXPECT_NEAR(limits.low, row.low, 1e-9) << row.count;
            EXPECT_NEAR(limits.high, row.high, 1e-9) << row.count;
        }
    };
    check(garwood_95, 0.95);
    check(garwood_99, 0.99);
    check(garwood_90, 0.90);
    EXPECT_THROW((void)poisson_limits(1, 1), std::domain_error);
}

// R's documented example of poisson.test (Snedecor and Cochran): 137 events in 24.19893; R 4.2.2
// prints the rate 5.661407 and 4.753125 to 6.692709.
TEST(Statistics, OneRateAndItsTail) {
    constexpr double base = 24.19893;
    EXPECT_NEAR(137 / base, 5.661407, 1e-6);
    EXPECT_NEAR(poisson_limits(137).low / base, 4.753125, 1e-6);
    EXPECT_NEAR(poisson_limits(137).high / base, 6.692709, 1e-6);
    EXPECT_NEAR(poisson_at_least(137, base) / 2.8452272641144835e-56, 1, 1e-9);
    // Nine where 3.3 are expected; computed in R 4.2.2.
    EXPECT_NEAR(poisson_at_least(9, 3.3), 0.006911812241, 1e-12);
    EXPECT_EQ(poisson_at_least(0, 3.3), 1);
    EXPECT_THROW((void)poisson_at_least(1, 0), std::domain_error);
}

// D. Clayton, J. Kaldor, Biometrics 43, 1987, pp. 671-681: lip cancer in 56 districts of Scotland;
// counts and rounded expectations as in many public copies. The published gamma, from memory, has
// shape 1.88 and rate 1.32; the further digits were worked out apart, in R.
const std::vector<std::uint64_t> lip_observed = {
    9, 39, 11, 9,  15, 8,  26, 7, 6,  20, 13, 5, 3, 8, 17, 9,  2, 7,  9,
    7, 16, 31, 11, 7,  19, 15, 7, 10, 16, 11, 5, 3, 7, 8,  11, 9, 11, 8,
    6, 4,  10, 8,  2,  6,  19, 3, 2,  3,  28, 6, 1, 1, 1,  1,  0, 0};
const std::vector<double> lip_expected = {
    1.4,  8.7,  3,    2.5, 4.3, 2.4, 8.1,  2.3,  2,    6.6, 4.4,  1.8,  1.1,  3.3,
    7.8,  4.6,  1.1,  4.2, 5.5, 4.4, 10.5, 22.7, 8.8,  5.6, 15.5, 12.5, 6,    9,
    14.4, 10.2, 4.8,  2.9, 7,   8.5, 12.3, 10.1, 12.7, 9.4, 7.2,  5.3,  18.8, 15.8,
    4.3,  14.6, 50.7, 8.2, 5.6, 9.3, 88.7, 19.6, 3.4,  3.6, 5.7,  7,    4.2,  1.8};

TEST(Statistics, TheGammaThatFitsDistrictsByMaximumLikelihood) {
    const GammaSpread spread = fit_gamma(lip_observed, lip_expected);
    EXPECT_NEAR(spread.shape, 1.88, 0.005);
    EXPECT_NEAR(spread.rate, 1.32, 0.005);
    EXPECT_NEAR(spread.shape, 1.87948997432, 1e-5);
    EXPECT_NEAR(spread.rate, 1.32166712941, 1e-5);
    EXPECT_NEAR(spread.log_likelihood, -181.576074141, 1e-7);
    const std::vector<double> shrunk = {
        3.997362446,  4.079110735,  2.980213327,  2.846791624,  3.002577276,  2.654587213,
        2.959082463,  2.451768663,  2.372149185,  2.761980479,  2.600551489,  2.203787172,
        2.014930093,  2.137646373,  2.069741168,  1.837234302,  1.601991425,  1.608117579,
        1.594843279,  1.551906074,  1.512433888,  1.368743052,  1.272467254,  1.282854233,
        1.241225963,  1.22123401,   1.21276887,   1.150927445,  1.137251529,  1.117849512,
        1.12379354,   1.155820633,  1.067032583,  1.005887274,  0.9455149544, 0.9525308216,
        0.9185419862, 0.9214509138, 0.92464184,   0.8879168734, 0.5903829885, 0.5770168232,
        0.6900959955, 0.494891013,  0.4013614159, 0.5124617263, 0.5604849095, 0.4593902176,
        0.331914426,  0.3766186473, 0.6098460343, 0.5850639425, 0.4100863686, 0.3460232102,
        0.3403845126, 0.6020789201};
    for (std::size_t i = 0; i < shrunk.size(); ++i)
        EXPECT_NEAR(shrunk_ratio(spread, lip_observed[i], lip_expected[i]), shrunk[i], 1e-5) << i;
}

TEST(Statistics, TheDistrictsThatStandOut) {
    std::vector<double> p;
    for (std::size_t i = 0; i < lip_observed.size(); ++i)
        p.push_back(poisson_at_least(lip_observed[i], lip_expected[i]));
    const std::vector<double> upper = {1.62888145517e-05,
                                       4.56063415698e-14,
                                       0.000292336950647,
                                       0.0011402528326,
                                       4.47551852151e-05,
                                       0.00333861694923,
                                       4.46117722753e-07,
                                       0.00936193389104,
                                       0.0165636084806,
                                       1.98831668601e-05,
                                       0.000657979914289,
                                       0.0364066610011,
                                       0.0995837185967,
                                       0.0197770911347,
                                       0.00290126511979,
                                       0.0450719640523,
                                       0.300970724234,
                                       0.13253600405,
                                       0.105643322192,
                                       0.156354824917,
                                       0.0683349390648,
                                       0.0561377884507,
                                       0.270576632904,
                                       0.329742202026,
                                       0.217536011824,
                                       0.274968115819,
                                       0.393697217587,
                                       0.412591755668,
                                       0.370698865452,
                                       0.441965750237,
                                       0.523741246374,
                                       0.554036801443,
                                       0.550288944151,
                                       0.614402898173,
                                       0.683417281272,
                                       0.678326900893,
                                       0.721668607901,
                                       0.720829128325,
                                       0.724102547273,
                                       0.774590434284,
                                       0.990093815098,
                                       0.98873168018,
                                       0.928086637235,
                                       0.996320758945,
                                       0.99999988809,
                                       0.988239334134,
                                       0.975594099471,
                                       0.995104689526,
                                       1,
                                       0.99990246088,
                                       0.96662673004,
                                       0.972676277553,
                                       0.996654034543,
                                       0.999088118034,
                                       1,
                                       1};
    for (std::size_t i = 0; i < upper.size(); ++i)
        EXPECT_NEAR(p[i] / upper[i], 1, 1e-8) << i;
    const std::vector<double> adjusted = false_discovery(p);
    std::vector<std::size_t> flagged;
    for (std::size_t i = 0; i < adjusted.size(); ++i)
        if (adjusted[i] <= 0.05)
            flagged.push_back(i + 1);
    EXPECT_EQ(flagged, (std::vector<std::size_t>{1, 2, 3, 4, 5, 6, 7, 8, 10, 11, 15}));
}

// Counts that differ as chance alone lets them are drawn all the way to one ratio.
TEST(Statistics, WhereNothingDiffersBeyondChanceOneRatioIsLeft) {
    const std::vector<std::uint64_t> observed(40, 5);
    const std::vector<double> expected(40, 5.0);
    const GammaSpread spread = fit_gamma(observed, expected);
    EXPECT_TRUE(std::isinf(spread.shape));
    EXPECT_NEAR(shrunk_ratio(spread, 5, 5), 1, 1e-12);
    EXPECT_EQ(fit_gamma(std::vector<std::uint64_t>{0, 0}, std::vector<double>{1, 1}).mean, 0);
    EXPECT_THROW((void)fit_gamma(std::vector<std::uint64_t>{1}, std::vector<double>{0}),
                 std::domain_error);
}

// Gamma(1) is the exponential, whose quantiles are plain; Gamma(n) halves the chi-square of 2n
// degrees (its 2.5 and 97.5 % points for 20 degrees, 9.591 and 34.170, stand in every table).
TEST(Statistics, LimitsOfADrawnRatio) {
    const GammaSpread spread{1, 2, 0.5, 0};
    const Limits one = shrunk_limits(spread, 0, 0);
    EXPECT_NEAR(one.low, -std::log(0.975) / 2, 1e-12);
    EXPECT_NEAR(one.high, -std::log(0.025) / 2, 1e-12);
    const Limits ten = shrunk_limits(spread, 9, 3);
    EXPECT_NEAR(ten.low, 9.591 / 2 / 5, 1e-4);
    EXPECT_NEAR(ten.high, 34.170 / 2 / 5, 1e-4);
    constexpr double infinite = std::numeric_limits<double>::infinity();
    const Limits alike = shrunk_limits({infinite, infinite, 0.7, 0}, 9, 3);
    EXPECT_EQ(alike.low, 0.7);
    EXPECT_EQ(alike.high, 0.7);
    EXPECT_THROW((void)shrunk_limits(spread, 1, 1, 1), std::domain_error);
}

// Y. Benjamini, Y. Hochberg, J. R. Statist. Soc. B 57, 1995, pp. 289-300: fifteen p-values, four of
// them rejected at 0.05. Adjusted values as p.adjust of R gives them.
TEST(Statistics, FalseDiscoveriesAmongFifteen) {
    const std::vector<double> p = {0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344,
                                   0.0459, 0.324,  0.4262, 0.5719, 0.6528, 0.759,  1};
    const std::vector<double> wanted = {
        0.0015, 0.003,  0.0095, 0.035625,          0.0603,   0.0638571428571429, 0.0638571428571429,
        0.0645, 0.0765, 0.486,  0.581181818181818, 0.714875, 0.753230769230769,  0.813214285714286,
        1};
    const std::vector<double> adjusted = false_discovery(p);
    ASSERT_EQ(adjusted.size(), wanted.size());
    for (std::size_t i = 0; i < wanted.size(); ++i)
        EXPECT_NEAR(adjusted[i], wanted[i], 1e-12) << i;
    EXPECT_EQ(std::count_if(adjusted.begin(), adjusted.end(), [](double q) { return q <= 0.05; }),
              4);
    EXPECT_TRUE(false_discovery({}).empty());
}

// J. M. Lucas, Technometrics 27, 1985: reference value k = (mu1 - mu0) / ln(mu1 / mu0); the sums
// here are those of the counts minus k, times ln(mu1 / mu0). Counts ours.
TEST(Statistics, ThePoissonCusumClimbsWhenTheRateDoubles) {
    const std::vector<std::uint64_t> counts = {1, 0, 2, 1, 3, 2, 4, 3};
    const std::vector<double> lucas = {0,           0,           0.5573049591, 0.1146099182,
                                       1.671914877, 2.229219836, 4.786524796,  6.343829755};
    const std::vector<double> sums = poisson_cusum(counts, std::vector<double>(8, 1.0), 2);
    for (std::size_t i = 0; i < lucas.size(); ++i)
        EXPECT_NEAR(sums[i], lucas[i] * std::log(2), 1e-9) << i;
    EXPECT_NEAR(cusum_chance(std::log(1000), 12), 0.012, 1e-12);
    EXPECT_EQ(cusum_chance(0, 12), 1);
}

// The bound holds: of 4,000 quiet runs of five years no more reach a height than it says.
TEST(Statistics, AQuietCusumIsWrongNoMoreOftenThanLordenSays) {
    std::mt19937_64 engine(5);
    std::poisson_distribution<std::uint64_t> draw(1.3);
    constexpr std::size_t runs = 4000;
    constexpr double height = 6;
    std::size_t wrong = 0;
    for (std::size_t run = 0; run < runs; ++run) {
        std::vector<std::uint64_t> counts(60);
        for (std::uint64_t& one : counts)
            one = draw(engine);
        const auto sums = poisson_cusum(counts, std::vector<double>(60, 1.3), 3);
        wrong += *std::max_element(sums.begin(), sums.end()) >= height ? 1U : 0U;
    }
    EXPECT_LE(static_cast<double>(wrong) / runs, cusum_chance(height, 60));
    EXPECT_GT(wrong, 0U);
}

/// The same p by walking through every way in which `n` jobs can fall into the periods.
double slow_trend(const std::vector<double>& share, std::size_t n, std::uint64_t score) {
    if (n == 0)
        return score == 0 ? 1 : 0;
    double p = 0;
    for (std::size_t i = 0; i < share.size(); ++i)
        p += share[i] * slow_trend(share, n - 1, score > i ? score - i : 0);
    return p;
}

TEST(Statistics, ARisingTrendIsTheSumOverAllWaysToFall) {
    const std::vector<double> expected = {1, 2, 1.5, 3};
    std::vector<double> share = expected;
    for (double& one : share)
        one /= 7.5;
    for (const std::vector<std::uint64_t>& counts : std::vector<std::vector<std::uint64_t>>{
             {0, 0, 0, 6}, {6, 0, 0, 0}, {1, 2, 1, 3}, {0, 1, 2, 3}, {0, 0, 0, 0}}) {
        const std::size_t n = std::accumulate(counts.begin(), counts.end(), std::uint64_t{0});
        const std::uint64_t score = counts[1] + 2 * counts[2] + 3 * counts[3];
        EXPECT_NEAR(rising_trend(counts, expected), slow_trend(share, n, score), 1e-12);
    }
    // Beyond 500 the normal law takes over where the exact one ends.
    const std::vector<double> flat(5, 1.0);
    EXPECT_NEAR(rising_trend(std::vector<std::uint64_t>{90, 95, 100, 105, 110}, flat),
                rising_trend(std::vector<std::uint64_t>{90, 95, 100, 106, 110}, flat), 0.01);
}

TEST(Statistics, AShareAtLeastIsABinomialTail) {
    EXPECT_NEAR(share_at_least(3, 3, 0.5), 0.125, 1e-15);
    EXPECT_EQ(share_at_least(0, 3, 0.5), 1);
    EXPECT_NEAR(share_at_least(1, 2, 0.25), 1 - 0.5625, 1e-15);
}

// Clopper and Pearson's limits: R's own example binom.test(682, 925), from W. J. Conover, Practical
// Nonparametric Statistics, 1971, p. 97f, prints 0.7076683 to 0.7654066 (from memory). None of n:
// 1 - 0.025^(1/n).
TEST(ShareLimits, AreThoseOfClopperAndPearson) {
    const Limits conover = share_limits(682, 925);
    EXPECT_NEAR(conover.low, 0.7076683, 5e-8);
    EXPECT_NEAR(conover.high, 0.7654066, 5e-8);
    EXPECT_EQ(share_limits(0, 10).low, 0);
    EXPECT_NEAR(share_limits(0, 10).high, 1 - std::pow(0.025, 0.1), 1e-12);
    EXPECT_NEAR(share_limits(10, 10).low, std::pow(0.025, 0.1), 1e-12);
    EXPECT_EQ(share_limits(10, 10).high, 1);
    EXPECT_EQ(share_limits(0, 0).high, 1);
    EXPECT_THROW((void)share_limits(3, 2), std::domain_error);
}

TEST(ShareAtMost, IsTheOtherTail) {
    EXPECT_NEAR(share_at_most(1, 3, 0.5), 0.5, 1e-12);
    EXPECT_EQ(share_at_most(3, 3, 0.9), 1);
    EXPECT_NEAR(share_at_most(2, 9, 0.3) + share_at_least(3, 9, 0.3), 1, 1e-12);
}

// Student (W. S. Gosset), Biometrika 6, 1908, p. 20: hours of sleep gained by one drug over the
// other in ten patients; R's t.test prints t = 4.0621, p = 0.002833, limits 0.7001142 and
// 2.4598858 (from memory).
TEST(Means, AreThoseOfStudentsSleepers) {
    const std::vector<double> gained = {1.2, 2.4, 1.3, 1.3, 0, 1, 1.8, 0.8, 4.6, 1.4};
    const double mean = std::accumulate(gained.begin(), gained.end(), 0.0) / 10;
    double squares = 0;
    for (const double one : gained)
        squares += (one - mean) * (one - mean);
    const double deviation = std::sqrt(squares / 9);
    EXPECT_NEAR(mean_by_chance(mean, deviation, 10), 0.002833, 5e-7);
    EXPECT_NEAR(mean_limits(mean, deviation, 10).low, 0.7001142, 5e-8);
    EXPECT_NEAR(mean_limits(mean, deviation, 10).high, 2.4598858, 5e-8);
    EXPECT_THROW((void)mean_limits(1, 0, 10), std::domain_error);
}

// P(X <= x) of Beta(2, 1) is x squared.
TEST(BetaQuantile, OfAPlainCase) {
    EXPECT_NEAR(beta_quantile(2, 1, 0.25), 0.5, 1e-12);
    EXPECT_THROW((void)beta_quantile(0, 1, 0.5), std::domain_error);
}

}  // namespace
}  // namespace knockwell
