// Orders of known width, plans that are remembered, and what is too wide.
#include "beliefs/beliefs.hpp"
#include "beliefs/whole.hpp"
#include "support/knowledge_of.hpp"

#include <gtest/gtest.h>

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

Plan plan_of(const Sum& sum) { return plan_for(sum.shape, static_cast<Slot>(sum.numbers.size())); }

/// Of the frontier alone, with nothing folded away.
double width_of(const Sum& sum) {
    const std::vector<std::uint8_t> all(sum.shape.variables.size(), 1);
    return better_order(sum.shape, all, order_for(sum.shape, all), 1000).width;
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
    const std::vector<Var> on{a, b};
    const std::vector<double> table(15, 0.5);
    sum.weigh(on, table);
    EXPECT_NEAR(width_of(sum), std::log2(15.0), 1e-12);
}

// Triggers go in one at a time: of forty causes of one sign one is open beside it.
TEST(PlanFor, TakesTheCausesOfASignOneByOne) {
    Sum sum;
    const Var sign = sum.add({0.9, 0.1});
    for (int i = 0; i < 40; ++i) {
        const Var cause = sum.add({0.9, 0.1});
        sum.link(sign, {cause}, {1, 0, 0.5, 0.5});
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
    EXPECT_GT(plan_of(path(40)).cost, plan_of(path(20)).cost);
    EXPECT_GT(plan_of(each_with_each(12)).cost, std::exp2(12.0));
}

/// The same structure with other numbers.
Sum other_numbers(Sum sum) {
    for (const SumVariable& variable : sum.shape.variables) {
        sum.numbers[variable.start] = 0.3;
        sum.numbers[variable.start + 1] = 0.7;
    }
    return sum;
}

SumParts parts_of(const Sum& sum, PlanCache& plans) { return knockwell::parts_of(sum, plans); }

TEST(PlanCache, GivesTheAnswerOfAFreshPlan) {
    PlanCache used;
    const SumParts first = parts_of(path(9), used);
    const SumParts second = parts_of(grid(3), used);
    const Sum asked = other_numbers(grid(3));
    const Shares remembered = shares_of(asked, parts_of(asked, used));
    PlanCache empty;
    const Shares fresh = shares_of(asked, parts_of(asked, empty));
    EXPECT_EQ(remembered.log_sum, fresh.log_sum);
    EXPECT_EQ(remembered.share, fresh.share);
}

TEST(PlanCache, RemembersByStructureAlone) {
    PlanCache cache;
    const SumParts first = parts_of(grid(3), cache);
    ASSERT_EQ(first.parts.size(), 1U);
    EXPECT_EQ(parts_of(other_numbers(grid(3)), cache).parts.at(0).plan, first.parts[0].plan);
    const SumParts other = parts_of(path(9), cache);
    EXPECT_NE(other.parts.at(0).plan, first.parts[0].plan);
    EXPECT_EQ(other.parts.at(0).plan->share_at.size(), 9U);
    EXPECT_EQ(parts_of(grid(3), cache).parts.at(0).plan, first.parts[0].plan);
}

// Two grids and three bits by themselves: two parts of one plan, and nothing for the bits.
TEST(PartsOf, AreWhatHangsTogether) {
    std::vector<std::pair<Var, Var>> pairs;
    const Sum one = grid(2);
    for (const SumWeight& weight : one.shape.weights)
        for (const Var first : {Var{1}, Var{6}})
            pairs.emplace_back(first + one.shape.on(weight)[0], first + one.shape.on(weight)[1]);
    const Sum sum = graph_of(11, pairs);
    PlanCache cache;
    const SumParts parts = parts_of(sum, cache);
    ASSERT_EQ(parts.parts.size(), 2U);
    EXPECT_EQ(parts.parts[0].plan, parts.parts[1].plan);
    EXPECT_EQ(parts.parts[0].vars, (std::vector<Var>{1, 2, 3, 4}));
    EXPECT_EQ(parts.parts[1].vars, (std::vector<Var>{6, 7, 8, 9}));
    EXPECT_TRUE(parts.where[0].is_alone() && parts.where[5].is_alone() &&
                parts.where[10].is_alone());
    for (const SumPart& part : parts.parts)
        for (Slot i = 0; i < part.numbers.size(); ++i)
            EXPECT_EQ(parts.number_at[part.numbers[i]], i);
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

/// One cause that shows in one flag, and a repair that ends it half of the time, or never.
Knowledge mended_one(double chance) {
    Knowledge knowledge = knowledge_of(all_show_in_all(1));
    Repair repair;
    repair.step.head.id = "repair";
    if (chance > 0)
        repair.fixes.push_back({CauseId(0), {{Count::Kind::exact, chance, 1}, {}}});
    knowledge.repairs.push_back(repair);
    return knowledge;
}

Evidence absent_after_each(std::size_t repairs) {
    Evidence evidence;
    evidence.repairs.assign(repairs, RepairId(0));
    for (std::size_t stage = 0; stage <= repairs; ++stage)
        evidence.findings.push_back({SignId(0), 0, {}, {}, Via::sure, {}, stage});
    return evidence;
}

// What each of twenty repairs may have ended has as many variables, and the flag a row for each of
// a million combinations of them; of more than 32 stages no word holds the bits.
TEST(TooWide, IsSaidOfAFlagThatWasAbsentAfterManyRepairs) {
    for (const std::size_t repairs : {20U, 40U}) {
        const Knowledge knowledge = mended_one(0.5);
        const Network network = compile(knowledge);
        const Answer answer = posterior({&knowledge, &network}, absent_after_each(repairs));
        ASSERT_TRUE(std::holds_alternative<TooWide>(answer)) << repairs;
        EXPECT_EQ(std::get<TooWide>(answer).width, static_cast<double>(repairs + 1));
    }
}

TEST(TooWide, IsNotSaidWhereTheRepairsDidNotTouchTheCause) {
    const Knowledge knowledge = mended_one(0);
    const Network network = compile(knowledge);
    const Answer answer = posterior({&knowledge, &network}, absent_after_each(20));
    ASSERT_TRUE(std::holds_alternative<Posterior>(answer));
    // What a cause shows it shows at every look (docs/model.md): absent 21 times tells as much as
    // once, 1 in 100 beforehand and half of that left.
    EXPECT_NEAR(std::get<Posterior>(answer).cause[0], 0.005 / (0.005 + 0.99), 1e-15);
}

TEST(TooWide, IsNotSaidOfWhatFits) {
    const Knowledge knowledge = knowledge_of(all_show_in_all(8));
    const Network network = compile(knowledge);
    EXPECT_TRUE(std::holds_alternative<Posterior>(posterior({&knowledge, &network}, all_found(8))));
}

}  // namespace
}  // namespace knockwell
