// Orders with branches: trees are as narrow as they are, and branches that meet give what one table
// gives.
#include "beliefs/branches.hpp"
#include "beliefs/frontier.hpp"

#include <boost/random/mersenne_twister.hpp>
#include <boost/random/uniform_01.hpp>
#include <boost/random/uniform_int_distribution.hpp>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace knockwell {
namespace {

constexpr double no_limit = std::numeric_limits<double>::infinity();

/// Bits, each with a weight on itself and the one above it in a tree where all have two below.
Sum binary_tree(Var bits) {
    Sum sum;
    for (Var i = 0; i < bits; ++i)
        sum.add({0.5, 0.5});
    for (Var i = 1; i < bits; ++i)
        sum.weigh({i, (i - 1) / 2}, {0.9, 0.1, 0.2, 0.8});
    return sum;
}

Order branches_of(const Sum& sum) {
    const std::vector<std::uint8_t> all(sum.shape.variables.size(), 1);
    return branched_order(sum.shape, all, 4, no_limit).value_or(Order{});
}

// A tree has treewidth 1, so two bits at a time are enough; one table that is carried over a
// complete binary tree of height h holds at least h/2 bits beside (its pathwidth; H. L. Bodlaender,
// A partial k-arboretum of graphs with bounded treewidth, 1998; from memory).
TEST(BranchedOrder, CarriesATreeTwoBitsAtATime) {
    const Sum sum = binary_tree(127);
    EXPECT_DOUBLE_EQ(branches_of(sum).width, 2);
    const std::vector<std::uint8_t> all(127, 1);
    EXPECT_GE(order_for(sum.shape, all).width, 4);
}

TEST(BranchedOrder, SaysNothingWhereNothingIsKeptOrItWouldBeDearer) {
    const Sum sum = binary_tree(7);
    EXPECT_FALSE(branched_order(sum.shape, std::vector<std::uint8_t>(7, 0), 4, no_limit));
    EXPECT_FALSE(branched_order(sum.shape, std::vector<std::uint8_t>(7, 1), 4, 1));
}

TEST(BranchedOrder, LeavesMoreThan256VariablesToOthers) {
    const Sum sum = binary_tree(257);
    EXPECT_FALSE(branched_order(sum.shape, std::vector<std::uint8_t>(257, 1), 1, no_limit));
}

/// Forty causes of all of `signs` flags: closed one by one, each leaves a table that holds them
/// all.
Sum forty_of_all(Var signs) {
    Sum sum;
    for (Var s = 0; s < signs; ++s)
        sum.add({0.9, 0.1}, {2, 1});
    for (int c = 0; c < 40; ++c) {
        const Var cause = sum.add({0.9, 0.1});
        for (Var s = 0; s < signs; ++s)
            sum.link(s, std::span(&cause, 1), std::vector<double>{1, 0, 0.5, 0.5});
    }
    return sum;
}

// Two tables that grow in k flags meet by 3^k pairs of entries, and a plan keeps them: sixteen
// flags would be a gigabyte and more, though they could be added up in a second.
TEST(BranchedOrder, HasNoMeetingByMorePairsThanAPlanCanKeep) {
    const auto order_of = [](Var signs) {
        const Sum sum = forty_of_all(signs);
        return branched_order(sum.shape, std::vector<std::uint8_t>(sum.shape.variables.size(), 1),
                              1, no_limit);
    };
    EXPECT_TRUE(order_of(8));
    EXPECT_FALSE(order_of(16));
}

/// Settings, causes that settings and earlier causes bring, signs of 2 or 3 levels or of two
/// digits, and joint weights: what a network leaves, at random.
class Tangle {
public:
    explicit Tangle(std::uint32_t seed) : dice_(seed) {
        for (std::uint32_t i = 0; i < 3; ++i)
            sources_.push_back(sum.add(row(2 + pick(2))));
        const std::uint32_t causes = 5 + pick(4);
        for (std::uint32_t c = 0; c < causes; ++c)
            add_brought(2, {});
        const std::uint32_t signs = 1 + pick(3);
        for (std::uint32_t s = 0; s < signs; ++s) {
            const Join join = pick(3) == 0 ? Join{2, 2} : Join{2 + pick(2), 1};
            const Var sign = add_brought(join.digits == 2 ? 4 : join.base, join);
            std::vector<double> seen = row(join.digits == 2 ? 4 : join.base);
            seen[0] = pick(2) == 0 ? 0 : seen[0];
            sum.weigh(std::span(&sign, 1), seen);
            sources_.pop_back();
        }
        const std::vector<Var> pair{sources_[pick(3)], sources_[3 + pick(causes)]};
        sum.weigh(pair, row(sum.shape.combinations(pair)));
    }

    Sum sum;

private:
    std::uint32_t pick(std::uint32_t below) {
        return boost::random::uniform_int_distribution<std::uint32_t>(0, below - 1)(dice_);
    }

    std::vector<double> row(std::size_t values) {
        std::vector<double> all;
        double total = 0;
        for (std::size_t i = 0; i < values; ++i) {
            all.push_back(0.01 + boost::random::uniform_01<double>()(dice_));
            total += all.back();
        }
        for (double& x : all)
            x /= total;
        return all;
    }

    /// Two to five links, of one source or two.
    Var add_brought(std::uint32_t values, const Join& join) {
        const Var made = sum.add(row(values), join);
        const std::uint32_t links = 2 + pick(4);
        for (std::uint32_t l = 0; l < links; ++l) {
            std::vector<Var> from{sources_[pick(static_cast<std::uint32_t>(sources_.size()))]};
            const Var other = sources_[pick(static_cast<std::uint32_t>(sources_.size()))];
            if (pick(3) == 0 && other != from.front())
                from.push_back(other);
            std::vector<double> rows;
            for (std::size_t i = 0; i < sum.shape.combinations(from); ++i)
                for (const double x : row(values))
                    rows.push_back(x);
            sum.link(made, from, rows);
        }
        sources_.push_back(made);
        return made;
    }

    boost::random::mt19937 dice_;
    std::vector<Var> sources_;
};

struct Added {
    double log_sum = 0;
    std::vector<double> shares;
};

Added add_up(const Sum& sum, const Plan& plan) {
    Frontier<double> frontier(plan);
    std::copy(sum.numbers.begin(), sum.numbers.end(), frontier.numbers());
    Added added;
    if (!frontier.run())
        return added;
    added.log_sum = frontier.total().log(0);
    for (Var v = 0; v < sum.shape.variables.size(); ++v)
        for (std::uint32_t a = 0; a < sum.shape.variables[v].values; ++a)
            added.shares.push_back(frontier.share(v, a));
    return added;
}

/// Every variable in the one table, nothing folded away: frontier_test.cpp holds that against sums
/// added up by hand.
Plan plain(const Sum& sum) {
    return plan_folding(sum.shape, static_cast<Slot>(sum.numbers.size()), 0);
}

TEST(BranchedOrder, GivesWhatOneTableGives) {
    std::size_t met = 0;
    std::size_t joined = 0;
    for (std::uint32_t seed = 0; seed < 300; ++seed) {
        const Sum sum = Tangle(seed).sum;
        const Added right = add_up(sum, plain(sum));
        ASSERT_FALSE(right.shares.empty()) << seed;
        for (const std::size_t folded : {0U, 8U}) {
            const std::optional<Plan> plan =
                plan_branching(sum.shape, static_cast<Slot>(sum.numbers.size()), folded);
            if (!plan)
                continue;
            met += plan->meetings.size();
            for (const Meeting& meeting : plan->meetings)
                joined += meeting.grows.count > 2 ? 1 : 0;
            const Added branched = add_up(sum, *plan);
            ASSERT_NEAR(branched.log_sum, right.log_sum, 1e-12) << seed;
            ASSERT_EQ(branched.shares.size(), right.shares.size()) << seed;
            for (std::size_t i = 0; i < right.shares.size(); ++i)
                ASSERT_NEAR(branched.shares[i], right.shares[i], 1e-12) << seed << ", " << i;
        }
    }
    // Tables did meet, and some grew in more than one variable at once.
    EXPECT_GT(met, 1000U);
    EXPECT_GT(joined, 100U);
}

}  // namespace
}  // namespace knockwell
