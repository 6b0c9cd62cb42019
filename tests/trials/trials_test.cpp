// What following the advice is worth: exactly on reduced problems, by a few calls on the shipped
// knowledge. The many calls are the program `trials` (docs/advice.md).
#include "advice/cost.hpp"
#include "knowledge/read.hpp"
#include "support/cases.hpp"
#include "support/knowledge_of.hpp"
#include "trials/followers.hpp"
#include "trials/printed_chart.hpp"
#include "trials/small.hpp"
#include "trials/tally.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <sstream>

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

// One gauge at zero is a finding: the gauge may stick, another may read otherwise, and what is to
// be opened at zero is opened behind an opened drain all the same.
TEST(Trials, OneGaugeAtZeroProvesNoPressureZero) {
    ASSERT_TRUE(shipped_kb().ok());
    const Knowledge& knowledge = shipped_kb().knowledge;
    const Network network = compile(knowledge);
    const Model model{&knowledge, &network};
    const CauseId sticks = cause_named(knowledge, "stuck-gauge");
    Evidence evidence;
    const auto chance_that_it_sticks = [&] {
        return std::get<Posterior>(posterior(model, evidence)).cause[sticks.index()];
    };
    const double before = chance_that_it_sticks();
    Finding empty;
    empty.what = sign_named(knowledge, "system-pressure");
    empty.via = Via::test;
    empty.test = test_named(knowledge, "read-gauge");
    for (std::size_t v = 1; v < knowledge[sign_named(knowledge, "system-pressure")].value_count();
         ++v)
        if (knowledge[sign_named(knowledge, "system-pressure")].value_name(v) == "empty")
            empty.value = v;
    ASSERT_TRUE(empty.value);
    add(evidence, empty);
    EXPECT_GT(chance_that_it_sticks(), 3 * before);
    const std::vector<std::size_t> yes = {1};
    EXPECT_GT(*chance_of(model, evidence, sign_named(knowledge, "second-gauge-differs"), yes),
              0.03);

    Situation here;
    here.who = Skill::qualified;
    here.on_site = true;
    const Candidate opens = candidate(knowledge, repair_named(knowledge, "clear-switch-port"));
    const Outlay cost = outlay(knowledge, here, opens);
    EXPECT_TRUE(std::any_of(cost.first.begin(), cost.first.end(), [](const Preparation& it) {
        return it.what == Prepares::relieve || it.what == Prepares::drain;
    }));
}

// A few calls, each played by all who need little arithmetic; the one who knows the cause is ahead
// of all of them, and nobody is offered what breaks a rule.
TEST(Trials, NoStepBreaksARuleAndWhoKnowsTheCauseIsQuickest) {
    ASSERT_TRUE(shipped_kb().ok());
    const Network network = compile(shipped_kb().knowledge);
    const Model model{&shipped_kb().knowledge, &network};
    const SafetyTexts texts = SafetyTexts::of_folder(KNOCKWELL_KB_DIR);
    const auto crew = [](const Model& of) {
        std::vector<std::unique_ptr<Follower>> followers;
        followers.push_back(by_truth());
        followers.push_back(by_chart(of, ChartOrder::common_first, 0.9));
        followers.push_back(by_printed_chart(of, KNOCKWELL_TESTS_DIR "/trials/chart.toml",
                                             by_chart(of, ChartOrder::common_first, 0.9)));
        return followers;
    };
    for (const bool redrawn : {false, true}) {
        const Outcomes got = run({&model, &texts, 200, 1, redrawn, false, {}}, crew);
        for (const Tally& it : got.tallies)
            EXPECT_EQ(it.unsafe, 0U) << it.name;
        EXPECT_GT(mean_difference(got.tallies[1].minutes, got.tallies[0].minutes).value, 0);
        EXPECT_GT(mean_difference(got.tallies[2].minutes, got.tallies[0].minutes).value, 0);
    }
}

// What came out of a call hangs on its seed alone: not on the thread that played it, nor on what
// was played before, so that a run may be broken off and taken up again.
TEST(Trials, ACallComesOutTheSameHoweverTheRunIsSharedOut) {
    ASSERT_TRUE(shipped_kb().ok());
    const Network network = compile(shipped_kb().knowledge);
    const Model model{&shipped_kb().knowledge, &network};
    const SafetyTexts texts = SafetyTexts::of_folder(KNOCKWELL_KB_DIR);
    const auto crew = [](const Model&) {
        std::vector<std::unique_ptr<Follower>> followers;
        followers.push_back(by_repairs_alone());
        return followers;
    };
    const Trials trials{&model, &texts, 40, 1, false, false, {}};
    const auto play_again = [&](const Records& known, unsigned threads) {
        std::stringstream out;
        play_all(
            trials, known, crew, {threads, 0},
            [&](const Call& call, const House&, const Follower& follower, const Played& played) {
                write_record(out, call.seed, std::string(follower.name()), record_of(played));
            });
        return read_records(out);
    };
    const std::string name(by_repairs_alone()->name());
    const auto alone = play_again({}, 1).at(name);
    ASSERT_EQ(alone.size(), 40U);
    Records half;
    for (const auto& [seed, record] : alone)
        if (seed % 2 == 0)
            half[name][seed] = record;
    auto rest = play_again(half, 2).at(name);
    EXPECT_EQ(rest.size(), 40 - half.at(name).size());
    rest.insert(half.at(name).begin(), half.at(name).end());
    EXPECT_EQ(rest, alone);
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
    const auto crew = [](const Model& of) {
        std::vector<std::unique_ptr<Follower>> followers;
        followers.push_back(by_advice());
        followers.push_back(by_chart(of, ChartOrder::common_first, 0.9));
        return followers;
    };
    const std::uint64_t calls = few_cases() ? cases(200) : 200;
    const Outcomes got = run({&model, &texts, calls, 1, false, false, settings}, crew);
    EXPECT_EQ(got.tallies[0].unsafe, 0U);
    EXPECT_GT(got.tallies[0].looks, 0U);
    constexpr std::uint64_t enough = 6;  // one call says nothing of who is quicker
    if (calls >= enough) {
        EXPECT_LT(mean_of(got.tallies[0].minutes).value, mean_of(got.tallies[1].minutes).value);
    }
}

}  // namespace
}  // namespace knockwell::trials
