// Every set of vector instructions that this machine has gives the same answers, lane by lane those
// of one number at a time.
#include "beliefs/frontier.hpp"

#include <boost/random/mersenne_twister.hpp>
#include <boost/random/uniform_01.hpp>
#include <gtest/gtest.h>

#include <algorithm>
#include <span>
#include <vector>

namespace knockwell {
namespace {

constexpr double close = 1e-13;

/// Ten causes, four findings of which one has three levels, settings of three values, joint
/// weights; and causes that only one finding or none hangs on: some are folded away, some are not.
template <class P, class Number>
SumOf<P> tangle(Number number) {
    SumOf<P> sum;
    std::vector<Var> settings;
    std::vector<Var> causes;
    std::vector<Var> findings;
    const auto row = [&](std::size_t values) {
        std::vector<P> all;
        P total = 0;
        for (std::size_t i = 0; i < values; ++i) {
            all.push_back(number());
            total += all.back();
        }
        for (P& x : all)
            x /= total;
        return all;
    };
    for (int i = 0; i < 3; ++i)
        settings.push_back(sum.add(row(3)));
    for (std::size_t i = 0; i < 10; ++i) {
        const Var cause = sum.add({P(1), P(0)});
        std::vector<P> rows;
        for (int s = 0; s < 3; ++s)
            for (const P& x : row(2))
                rows.push_back(x);
        sum.link(cause, std::span(&settings[i % 3], 1), rows);
        causes.push_back(cause);
    }
    for (std::uint32_t f = 0; f < 4; ++f) {
        const std::uint32_t values = f == 0 ? 3 : 2;
        const Var finding = sum.add(row(values), {values, 1});
        for (std::size_t c = f; c < causes.size(); c += 1 + f % 2) {
            std::vector<P> rows(values, P(0));
            rows[0] = 1;
            for (const P& x : row(values))
                rows.push_back(x);
            sum.link(finding, std::span(&causes[c], 1), rows);
        }
        std::vector<P> seen(values, P(0));
        seen.back() = 1;
        sum.weigh(std::span(&finding, 1), seen);
        findings.push_back(finding);
    }
    for (const Var finding : {findings[0], findings[1], findings[1]}) {
        const Var lone = sum.add(std::span<const P>(row(2)));
        const std::vector<P> rows = row(2 * sum.shape.variables[finding].values);
        sum.link(finding, std::span(&lone, 1), rows);
        sum.weigh(std::span(&lone, 1), row(2));
    }
    const Var unheard = sum.add(std::span<const P>(row(2)));
    sum.link(unheard, std::span(&settings[1], 1), row(6));
    const std::vector<Var> on{causes[0], causes[9]};
    sum.weigh(on, row(4));
    return sum;
}

/// The numbers of one lane, drawn in the same order for every kind of number.
class Lane {
public:
    explicit Lane(unsigned seed) : dice_(seed) {}
    double operator()() { return 0.01 + boost::random::uniform_01<double>()(dice_); }

private:
    boost::random::mt19937 dice_;
};

SumOf<Pack> eight() {
    std::vector<Lane> lanes;
    for (unsigned l = 0; l < Pack::lanes; ++l)
        lanes.emplace_back(l + 1);
    return tangle<Pack>([&] {
        Pack x = 0;
        for (std::size_t l = 0; l < Pack::lanes; ++l)
            set_lane(x, l, lanes[l]());
        return x;
    });
}

/// One plan under one set of numbers.
template <class P>
Frontier<P> ran(const Plan& plan, const SumOf<P>& sum, const Steps<P>& with = steps<P>()) {
    Frontier<P> frontier(plan, with);
    std::copy(sum.numbers.begin(), sum.numbers.end(), frontier.numbers());
    EXPECT_TRUE(frontier.run());
    return frontier;
}

TEST(Steps, OfEverySetOfInstructionsGiveTheAnswersOfOneNumberAtATime) {
    const SumOf<Pack> sum = eight();
    const Plan plan = plan_folding(sum.shape, static_cast<Slot>(sum.numbers.size()), 64);
    ASSERT_GT(plan.operations.size(), 20U) << "all of it was folded away";
    const std::vector<NamedSteps> all = all_steps();
    ASSERT_FALSE(all.empty());
    for (const NamedSteps& it : all) {
        SCOPED_TRACE(it.instructions);
        const Frontier<Pack> frontier = ran(plan, sum, *it.steps);
        for (unsigned l = 0; l < Pack::lanes; ++l) {
            const Sum one = tangle<double>(Lane(l + 1));
            const Frontier<double> alone = ran(plan, one);
            EXPECT_NEAR(frontier.total().log(l), alone.total().log(0), close);
            for (Var v = 0; v < one.shape.variables.size(); ++v)
                for (std::size_t a = 0; a < one.shape.variables[v].values; ++a)
                    EXPECT_NEAR(lane(frontier.share(v, a), l), alone.share(v, a), close);
        }
    }
}

TEST(Steps, AFoldedSumIsTheUnfoldedOne) {
    const Sum sum = tangle<double>(Lane(1));
    const auto numbers = static_cast<Slot>(sum.numbers.size());
    const Plan folding = plan_folding(sum.shape, numbers, 64);
    ASSERT_FALSE(folding.folding.folds.empty());
    const Plan plain = plan_folding(sum.shape, numbers, 0);
    ASSERT_TRUE(plain.folding.folds.empty());
    const Frontier<double> folded = ran(folding, sum);
    const Frontier<double> unfolded = ran(plain, sum);
    EXPECT_NEAR(folded.total().log(0), unfolded.total().log(0), close);
    for (Var v = 0; v < sum.shape.variables.size(); ++v)
        for (std::size_t a = 0; a < sum.shape.variables[v].values; ++a)
            EXPECT_NEAR(folded.share(v, a), unfolded.share(v, a), close);
}

}  // namespace
}  // namespace knockwell
