// Orders of known width, plans that are remembered, and what is too wide.
#include "beliefs/beliefs.hpp"
#include "beliefs/frontier.hpp"
#include "support/knowledge_of.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace knockwell {
namespace {

/// Bits, and a weight on each pair.
Sum graph_of(std::size_t bits, const std::vector<std::pair<Var, Var>>& pairs) {
    Sum sum;
    for (std::size_t i = 0; i < bits; ++i)
        sum.add({0.5, 0.5});
    for (const auto& [a, b] : pairs)
        sum.weigh({a, b}, {0.9, 0.1, 0.2, 0.8});
    return sum;
}

/// Of the frontier alone, with nothing folded away.
double width_of(const Sum& sum) {
    const Shape shape = shape_of(sum);
    return better_order(shape, order_for(shape)).width;
}

Sum path(Var bits) {
    std::vector<std::pair<Var, Var>> pairs;
    for (Var i = 1; i < bits; ++i)
        pairs.emplace_back(i - 1, i);
    return graph_of(bits, pairs);
}

Sum star(Var leaves) {
    std::vector<std::pair<Var, Var>> pairs;
    for (Var i = 1; i <= leaves; ++i)
        pairs.emplace_back(0, i);
    return graph_of(leaves + 1, pairs);
}

Sum ring(Var bits) {
    std::vector<std::pair<Var, Var>> pairs;
    for (Var i = 0; i < bits; ++i)
        pairs.emplace_back(i, (i + 1) % bits);
    return graph_of(bits, pairs);
}

Sum grid(Var side) {
    std::vector<std::pair<Var, Var>> pairs;
    for (Var row = 0; row < side; ++row)
        for (Var column = 0; column < side; ++column) {
            const Var here = row * side + column;
            if (column + 1 < side)
                pairs.emplace_back(here, here + 1);
            if (row + 1 < side)
                pairs.emplace_back(here, here + side);
        }
    return graph_of(std::size_t{side} * side, pairs);
}

Sum each_with_each(Var bits) {
    std::vector<std::pair<Var, Var>> pairs;
    for (Var a = 0; a < bits; ++a)
        for (Var b = a + 1; b < bits; ++b)
            pairs.emplace_back(a, b);
    return graph_of(bits, pairs);
}

// No order of bits has a table smaller than 2^(treewidth + 1). The treewidths: a tree 1, a ring 2,
// a square grid its side, a complete graph one less than its nodes; their pathwidths are the same
// but for trees (H. L. Bodlaender, A partial k-arboretum of graphs with bounded treewidth, 1998;
// from memory), and a path and a star have pathwidth 1 too.
TEST(PlanFor, FindsTheKnownWidthOfSmallGraphs) {
    EXPECT_DOUBLE_EQ(width_of(path(40)), 2);
    EXPECT_DOUBLE_EQ(width_of(star(40)), 2);
    EXPECT_DOUBLE_EQ(width_of(ring(12)), 3);
    EXPECT_DOUBLE_EQ(width_of(grid(3)), 4);
    EXPECT_DOUBLE_EQ(width_of(each_with_each(6)), 6);
}

TEST(PlanFor, CountsValuesInBits) {
    Sum sum;
    const Var a = sum.add({0.2, 0.3, 0.5});
    const Var b = sum.add({0.1, 0.2, 0.3, 0.2, 0.2});
    sum.weigh({a, b}, std::vector<double>(15, 0.5));
    EXPECT_NEAR(width_of(sum), std::log2(15.0), 1e-12);
}

// Triggers go in one at a time: of forty causes of one sign one is open beside it.
TEST(PlanFor, TakesTheCausesOfASignOneByOne) {
    Sum sum;
    const Var sign = sum.add({0.9, 0.1});
    for (int i = 0; i < 40; ++i) {
        const Var cause = sum.add({0.9, 0.1});
        sum.links.push_back({sign, {cause}, {1, 0, 0.5, 0.5}});
    }
    EXPECT_DOUBLE_EQ(width_of(sum), 2);
}

TEST(PlanFor, TakesWhatDoesNotHangTogetherOneAfterTheOther) {
    Sum sum = grid(3);
    for (int i = 0; i < 30; ++i)
        sum.add({0.5, 0.5});
    EXPECT_DOUBLE_EQ(width_of(sum), 4);
}

TEST(PlanFor, CostsMoreForMore) {
    EXPECT_GT(plan_for(path(40)).cost, plan_for(path(20)).cost);
    EXPECT_GT(plan_for(each_with_each(12)).cost, std::exp2(12.0));
}

/// The same structure with other numbers.
Sum other_numbers(Sum sum) {
    for (SumVariable& variable : sum.variables)
        variable.start = {0.3, 0.7};
    return sum;
}

TEST(PlanCache, GivesTheAnswerOfAFreshPlan) {
    PlanCache cache;
    ASSERT_NE(cache.plan(path(9)), nullptr);
    ASSERT_NE(cache.plan(grid(3)), nullptr);
    const Sum asked = other_numbers(grid(3));
    const Shares remembered = shares_of(asked, *cache.plan(asked));
    const Shares fresh = shares_of(asked, plan_for(asked));
    EXPECT_EQ(remembered.log_sum, fresh.log_sum);
    EXPECT_EQ(remembered.value, fresh.value);
}

TEST(PlanCache, RemembersByStructureAlone) {
    PlanCache cache;
    const std::shared_ptr<const Plan> first = cache.plan(grid(3));
    EXPECT_EQ(cache.plan(other_numbers(grid(3))), first);
    const std::shared_ptr<const Plan> other = cache.plan(path(9));
    EXPECT_NE(other, first);
    EXPECT_EQ(other->share_at.size(), 9U);
    EXPECT_EQ(cache.plan(grid(3)), first);
}

/// `n` causes that all show in all of `n` flags.
std::string all_show_in_all(int n) {
    std::string toml;
    std::string shows;
    for (int i = 0; i < n; ++i) {
        const std::string id = "sign-" + std::to_string(i);
        toml += "[symptom." + id + "]\ntitle = \"Sign\"\nseen_anyway = \"1 in 100\"\n";
        shows += (i == 0 ? "" : ", ") + id + " = \"5 in 10\"";
    }
    for (int i = 0; i < n; ++i)
        toml += "[cause.cause-" + std::to_string(i) +
                "]\ntitle = \"Cause\"\npresent = \"1 in 100\"\nshows = { " + shows + " }\n";
    return toml;
}

Evidence all_found(std::size_t n) {
    Evidence evidence;
    for (std::size_t i = 0; i < n; ++i)
        evidence.findings.push_back({SignId(i), 1, {}, {}, Via::sure, {}, 0});
    return evidence;
}

// A complete bipartite graph of 40 and 40 has treewidth 40: 2^41 numbers would be 16 TiB, so an
// attempt to make the table could not pass unseen.
TEST(TooWide, IsSaidBeforeATableIsMade) {
    const Knowledge knowledge = knowledge_of(all_show_in_all(40));
    const Network network = compile(knowledge);
    const Answer answer = posterior({&knowledge, &network}, all_found(40));
    ASSERT_TRUE(std::holds_alternative<TooWide>(answer));
    EXPECT_GE(std::get<TooWide>(answer).width, 41);
}

TEST(TooWide, IsNotSaidOfWhatFits) {
    const Knowledge knowledge = knowledge_of(all_show_in_all(8));
    const Network network = compile(knowledge);
    EXPECT_TRUE(std::holds_alternative<Posterior>(posterior({&knowledge, &network}, all_found(8))));
}

}  // namespace
}  // namespace knockwell
