// Every set of vector instructions that this machine has gives the same answers, lane by lane those
// of one number at a time.
#include "beliefs/frontier.hpp"

#include <boost/random/mersenne_twister.hpp>
#include <boost/random/uniform_01.hpp>
#include <gtest/gtest.h>

namespace knockwell {
namespace {

constexpr double close = 1e-13;

/// Ten causes, four findings of which one has three levels, settings of three values, joint
/// weights: enough ties that some are folded away and some are not.
template <class P, class Number>
SumOf<P> tangle(Number number) {
    SumOf<P> sum;
    std::vector<Var> settings;
    std::vector<Var> causes;
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
        sum.links.push_back({cause, {settings[i % 3]}, rows});
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
            sum.links.push_back({finding, {causes[c]}, rows});
        }
        std::vector<P> seen(values, P(0));
        seen.back() = 1;
        sum.weigh({finding}, std::move(seen));
    }
    sum.weigh({causes[0], causes[9]}, row(4));
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

TEST(Steps, OfEverySetOfInstructionsGiveTheAnswersOfOneNumberAtATime) {
    const SumOf<Pack> sum = eight();
    const Plan plan = plan_for(shape_of(sum));
    ASSERT_GT(plan.operations.size(), 20U) << "all of it was folded away";
    const std::vector<NamedSteps> all = all_steps();
    ASSERT_FALSE(all.empty());
    for (const NamedSteps& it : all) {
        SCOPED_TRACE(it.instructions);
        Frontier<Pack> frontier(plan, *it.steps);
        ASSERT_TRUE(frontier.run(sum));
        for (unsigned l = 0; l < Pack::lanes; ++l) {
            const Sum one = tangle<double>(Lane(l + 1));
            const Shares alone = shares_of(one, plan);
            ASSERT_TRUE(alone.possible);
            EXPECT_NEAR(frontier.total().log(l), alone.log_sum, close);
            for (Var v = 0; v < one.variables.size(); ++v)
                for (std::size_t a = 0; a < alone.value[v].size(); ++a)
                    EXPECT_NEAR(lane(frontier.share(v, a), l), alone.value[v][a], close);
        }
    }
}

TEST(Steps, AFoldedSumIsTheUnfoldedOne) {
    const Sum sum = tangle<double>(Lane(1));
    const Shares folded = shares_of(sum, plan_for(sum));
    const Shares plain = shares_of(sum, plan_for(shape_of(sum), 0));
    EXPECT_NEAR(folded.log_sum, plain.log_sum, close);
    for (Var v = 0; v < sum.variables.size(); ++v)
        for (std::size_t a = 0; a < plain.value[v].size(); ++a)
            EXPECT_NEAR(folded.value[v][a], plain.value[v][a], close);
}

}  // namespace
}  // namespace knockwell
