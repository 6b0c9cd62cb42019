#include "learning/simulated.hpp"
#include "learning/squarem.hpp"
#include "learning/taught.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace knockwell {
namespace {

constexpr std::string_view one_number = R"(
    [cause.worn]
    title   = "Worn"
    present = "always"
    shows   = { no-water = "5 in 10" }
    [symptom.no-water]
    title = "No water"
)";

double odds(double p) { return std::log(p / (1 - p)); }
double share(double a) { return 1 / (1 + std::exp(-a)); }

// Where each round goes 0.3 of the way that is left, by the logarithmic odds, two rounds tell the
// end: x + r + 0.7 r + 0.49 r + ... = x + r / 0.3.
TEST(Squarem, LeapsToTheEndOfAStraightWay) {
    const Pupil pupil(one_number);
    const StrengthIndex at = pupil.strength("cause.worn.shows.no-water");
    const double end = 2;
    const auto em = [&](std::vector<double> numbers) {
        numbers[at] = share(odds(numbers[at]) + 0.3 * (end - odds(numbers[at])));
        return numbers;
    };
    Squarem steps(pupil.coins, true);
    const std::vector<double> start = pupil.network.point;
    const std::vector<double> first = steps.next(start, em(start));
    EXPECT_FALSE(steps.leapt());
    EXPECT_EQ(first, em(start));
    const std::vector<double> second = steps.next(first, em(first));
    EXPECT_TRUE(steps.leapt());
    EXPECT_NEAR(odds(second[at]), end, 1e-9);
    // Not taken: on from where EM led.
    EXPECT_EQ(steps.instead(), em(first));
    EXPECT_FALSE(steps.leapt());
    Squarem plain(pupil.coins, false);
    const std::vector<double> one = plain.next(start, em(start));
    EXPECT_EQ(plain.next(one, em(one)), em(one));
    EXPECT_FALSE(plain.leapt());
}

constexpr std::string_view open_well = R"(
    [cause.worn]
    title   = "Worn"
    present = "40 in 1000"
    shows   = { no-water = "3 in 10", noise = "7 in 10", warm = "2 in 10" }
    [cause.tripped]
    title   = "Tripped"
    present = "30 in 1000"
    shows   = { no-water = "9 in 10", noise = "3 in 10", warm = "6 in 10" }
    [symptom.no-water]
    title       = "No water"
    seen_anyway = "1 in 1000"
    [observation.noise]
    title       = "Noise"
    seen_anyway = "5 in 100"
    [observation.warm]
    title       = "Warm"
    seen_anyway = "10 in 100"
    [test.look]
    title       = "Look"
    how         = "Look."
    reveals     = ["noise", "warm"]
    minutes     = 1
    misses      = "1 in 10"
    false_alarm = "1 in 20"
)";

// Nearly no job names its cause, so that EM creeps: the leaps come as high in fewer rounds, and no
// round is less likely than the one before.
TEST(Squarem, ComesAsHighInFewerRounds) {
    Pupil pupil(open_well);
    std::vector<double> truth = pupil.network.point;
    for (const char* name : {"cause.worn.shows.noise", "cause.tripped.shows.warm"})
        truth[pupil.strength(name)] = 0.9;
    simulate(pupil.knowledge, pupil.network, truth, {3, 2000, 1, 0.9, 0.02},
             [&](const Job& job) { pupil.book.add(job); });
    HowToLearn how;
    how.enough = 1e-8;
    how.most_rounds = 3000;
    const LearnedNumbers leaps = pupil.learned(how);
    how.hasten = false;
    const LearnedNumbers plain = pupil.learned(how);
    EXPECT_TRUE(leaps.settled);
    EXPECT_TRUE(plain.settled);
    EXPECT_LT(2 * leaps.rounds.size(), plain.rounds.size());
    EXPECT_GT(leaps.rounds.back(), plain.rounds.back() - 1e-3);
    for (const LearnedNumbers* one : {&leaps, &plain})
        for (std::size_t i = 1; i < one->rounds.size(); ++i)
            EXPECT_GE(one->rounds[i], one->rounds[i - 1] - 1e-9) << i;
}

}  // namespace
}  // namespace knockwell
