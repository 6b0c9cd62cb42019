// What following the advice is worth: exactly on reduced problems, by a few calls on the shipped
// knowledge. The many calls are the program `trials` (docs/advice.md).
#include "knowledge/read.hpp"
#include "support/cases.hpp"
#include "support/knowledge_of.hpp"
#include "trials/followers.hpp"
#include "trials/small.hpp"
#include "trials/tally.hpp"

#include <gtest/gtest.h>

namespace knockwell::trials {
namespace {

struct Worth {
    double best = 0, advice = 0, repairs = 0, bits = 0, chart = 0;
};

Worth worth_on_small_problems(std::uint64_t many) {
    Worth sum;
    for (std::uint64_t seed = 1; seed <= many; ++seed) {
        const SmallProblem problem = small_problem(seed);
        const Knowledge knowledge = knowledge_of(problem.toml());
        const Network network = compile(knowledge);
        const Model model{&knowledge, &network};
        const double best = best_minutes(problem);
        const double advice = expected_minutes(problem, model, *by_advice());
        EXPECT_GE(advice, best - 1e-6) << "seed " << seed << ": better than the best plan";
        sum.best += best;
        sum.advice += advice;
        sum.repairs += expected_minutes(problem, model, *by_repairs_alone());
        sum.bits += expected_minutes(problem, model, *by_bits(true));
        sum.chart +=
            expected_minutes(problem, model, *by_chart(model, ChartOrder::common_first, 1));
    }
    return sum;
}

// Exact: every outcome is walked through, and so is every plan.
TEST(Trials, OnReducedProblemsTheAdviceIsWithinThreePercentOfTheBestPlan) {
    const Worth sum = worth_on_small_problems(cases(200));
    EXPECT_LE(sum.advice, 1.03 * sum.best);
    EXPECT_LT(sum.advice, sum.repairs);
    EXPECT_LT(sum.advice, sum.bits);
    EXPECT_LT(sum.advice, sum.chart);
}

const ReadResult& shipped_kb() {
    static const ReadResult read =
        read_knowledge(gather_sources(KNOCKWELL_KB_DIR), ReadFor::answers);
    return read;
}

// A few calls, each played by all who need little arithmetic; the one who knows the cause is ahead
// of all of them, and nobody is offered what breaks a rule.
TEST(Trials, NoStepBreaksARuleAndWhoKnowsTheCauseIsQuickest) {
    ASSERT_TRUE(shipped_kb().ok());
    const Network network = compile(shipped_kb().knowledge);
    const Model model{&shipped_kb().knowledge, &network};
    const SafetyTexts texts = SafetyTexts::of_folder(KNOCKWELL_KB_DIR);
    std::vector<std::unique_ptr<Follower>> followers;
    followers.push_back(by_truth());
    followers.push_back(by_chart(model, ChartOrder::common_first, 0.9));
    followers.push_back(by_chart(model, ChartOrder::cheap_first, 0.9));
    for (const bool redrawn : {false, true}) {
        const Outcomes got = run({&model, &texts, 200, 1, redrawn, {}}, followers);
        for (const Tally& it : got.tallies)
            EXPECT_EQ(it.unsafe, std::vector<std::string>{}) << it.name;
        EXPECT_GT(mean_difference(got.tallies[1].minutes, got.tallies[0].minutes).value, 0);
        EXPECT_GT(mean_difference(got.tallies[2].minutes, got.tallies[0].minutes).value, 0);
    }
}

// The advice itself, watched at every step by eyes that read the texts by themselves.
TEST(Trials, TheAdviceIsSafeAtEveryStepAndQuickerThanTheChart) {
    ASSERT_TRUE(shipped_kb().ok());
    const Network network = compile(shipped_kb().knowledge);
    const Model model{&shipped_kb().knowledge, &network};
    const SafetyTexts texts = SafetyTexts::of_folder(KNOCKWELL_KB_DIR);
    std::vector<SettingId> settings;
    for (const char* id : {"pump", "drive", "source"})
        settings.push_back(setting_named(shipped_kb().knowledge, id));
    std::vector<std::unique_ptr<Follower>> followers;
    followers.push_back(by_advice());
    followers.push_back(by_chart(model, ChartOrder::common_first, 0.9));
    const std::uint64_t calls = cases(60);
    const Outcomes got = run({&model, &texts, calls, 1, false, settings}, followers);
    EXPECT_EQ(got.tallies[0].unsafe, std::vector<std::string>{});
    EXPECT_GT(got.tallies[0].looks, 0U);
    constexpr std::uint64_t enough = 6;  // one call says nothing of who is quicker
    if (calls >= enough) {
        EXPECT_LT(mean_of(got.tallies[0].minutes).value, mean_of(got.tallies[1].minutes).value);
    }
}

}  // namespace
}  // namespace knockwell::trials
