// A plan is the advice, one step after the other.
#include "advice/policy.hpp"
#include "advice/well.hpp"

#include <numeric>

namespace knockwell {
namespace {

Policy plan_of(const well::Bench& bench, Skill who, const PolicyOptions& options = {}) {
    return policy_from(bench.model(), bench.evidence, well::on_site(who), options);
}

TEST(Policy, BeginsWithTheStepThatTheAdvicePutsFirst) {
    well::Bench bench;
    bench.find("surging", "yes", Via::told);
    const Policy plan = plan_of(bench, Skill::qualified);
    ASSERT_FALSE(plan.steps.empty());
    const Advice advice = bench.advice(well::on_site(Skill::qualified), 1);
    EXPECT_EQ(plan.steps[0].step.id, advice.next[0].id);
    EXPECT_EQ(plan.steps[0].reach, 1);
    EXPECT_EQ(plan.steps[0].depth, 0U);
}

// The way down one branch, gone by hand: found, asked again, and so on.
TEST(Policy, UnderEachOutcomeIsTheStepThatTheAdviceThenPutsFirst) {
    well::Bench bench;
    bench.find("surging", "yes", Via::told);
    const Policy plan = plan_of(bench, Skill::qualified, {.depth = 3, .most = 20, .branches = 4});
    ASSERT_EQ(plan.steps[0].step.id, "knock");
    std::size_t gone = 0;
    for (const PolicyBranch& branch : plan.steps[0].branches) {
        if (!branch.then)
            continue;
        well::Bench after;
        after.find("surging", "yes", Via::told);
        after.find("tank-dull", branch.found.front() + "@knock");
        Situation there = well::on_site(Skill::qualified);
        there.reached = {access_named(after.knowledge(), "tank")};
        const Advice advice = after.advice(there, 1);
        ASSERT_FALSE(advice.next.empty());
        EXPECT_EQ(plan.steps[*branch.then].step.id, advice.next[0].id) << branch.found.front();
        EXPECT_EQ(plan.steps[*branch.then].step.minutes, advice.next[0].minutes);
        EXPECT_NEAR(branch.first_p, after.now().cause[branch.first.index()], 1e-9);
        EXPECT_NEAR(plan.steps[*branch.then].reach, branch.p, 1e-12);
        ++gone;
    }
    EXPECT_EQ(gone, 2U);
}

TEST(Policy, OutcomesSumToOneAndLeadForward) {
    well::Bench bench;
    bench.find("surging", "yes", Via::told);
    const Policy plan = plan_of(bench, Skill::qualified, {.depth = 4, .most = 30, .branches = 3});
    std::size_t summed = 0;
    std::size_t led = 0;
    for (std::size_t i = 0; i < plan.steps.size(); ++i) {
        const PolicyStep& step = plan.steps[i];
        double sum = step.rarer;
        for (const PolicyBranch& branch : step.branches) {
            sum += branch.p;
            if (branch.then) {
                ++led;
                EXPECT_GT(*branch.then, i);
                EXPECT_EQ(plan.steps[*branch.then].depth, step.depth + 1);
            }
        }
        if (!step.branches.empty()) {
            ++summed;
            EXPECT_NEAR(sum, 1, 1e-9) << step.step.id;
        }
        EXPECT_LT(step.depth, 4U);
    }
    EXPECT_GT(summed, 1U);
    EXPECT_GT(led, 1U);
}

TEST(Policy, HasNoMoreStepsThanThereIsRoomAndTheLikeliestFirst) {
    well::Bench bench;
    bench.find("surging", "yes", Via::told);
    const Policy all = plan_of(bench, Skill::qualified, {.depth = 4, .most = 30, .branches = 4});
    ASSERT_GT(all.steps.size(), 4U);
    const Policy few = plan_of(bench, Skill::qualified, {.depth = 4, .most = 3, .branches = 4});
    ASSERT_EQ(few.steps.size(), 3U);
    for (std::size_t i = 0; i < 3; ++i) {
        EXPECT_EQ(few.steps[i].step.id, all.steps[i].step.id);
    }
    EXPECT_EQ(
        plan_of(bench, Skill::qualified, {.depth = 1, .most = 30, .branches = 4}).steps.size(), 1U);
}

TEST(Policy, ARepairThatFailsIsNotOfferedAgainAndTheComplaintIsBack) {
    well::Bench bench;
    bench.find("surging", "yes", Via::told);
    bench.find("tank-dull", "yes@knock");
    Policy plan = plan_of(bench, Skill::qualified, {.depth = 3, .most = 30, .branches = 4});
    bool repaired = false;
    for (const PolicyStep& step : plan.steps) {
        if (step.step.kind != StepKind::repair)
            continue;
        repaired = true;
        ASSERT_EQ(step.branches.size(), 2U);
        EXPECT_TRUE(step.branches[0].cured);
        EXPECT_NEAR(step.branches[0].p, step.step.helps, 1e-12);
        if (step.branches[1].then) {
            EXPECT_NE(plan.steps[*step.branches[1].then].step.id, step.step.id);
        }
    }
    EXPECT_TRUE(repaired);
}

// A danger now leaves no steps; a danger that an outcome brings up ends that branch.
TEST(Policy, IsNeverMadeBeyondADanger) {
    well::Bench now;
    now.find("swollen", "yes");
    EXPECT_TRUE(plan_of(now, Skill::qualified).steps.empty());
    EXPECT_FALSE(plan_of(now, Skill::qualified).stops.empty());
    std::string text(well::text);
    const std::string after = "gauge         = { dangerous";
    ASSERT_NE(text.find(after), std::string::npos);
    text.insert(text.find(after), "runs-on       = \"6 in 10\"\n");
    text += R"(
[test.listen]
title   = "Listen to the pump"
how     = "Listen."
reveals = ["runs-on"]
minutes = 1
needs   = { skill = "owner" }
)";
    well::Bench bench(text);
    bench.find("comes-back", "yes", Via::told);
    std::size_t met = 0;
    const Policy plan = plan_of(bench, Skill::owner, {.depth = 6, .most = 60, .branches = 9});
    for (const PolicyStep& step : plan.steps)
        for (const PolicyBranch& branch : step.branches)
            if (!branch.stops.empty()) {
                ++met;
                EXPECT_FALSE(branch.then);
            }
    EXPECT_GT(met, 0U);
}

TEST(Policy, OffersAnOwnerNoMoreThanTheAdviceDoes) {
    well::Bench bench;
    bench.find("surging", "yes", Via::told);
    const Policy plan = plan_of(bench, Skill::owner, {.depth = 5, .most = 40});
    EXPECT_GT(plan.steps.size(), 1U);
    for (const PolicyStep& step : plan.steps) {
        EXPECT_NE(step.step.kind, StepKind::repair) << step.step.id;
        EXPECT_NE(step.step.id, "look-at-contacts");
        EXPECT_NE(step.step.id, "press-valve");
    }
}

}  // namespace
}  // namespace knockwell
