// Numbers at their ends: evidence with hardly any chance, causes that always show, and findings
// that cannot all be true.
#include "laws/asked.hpp"
#include "support/knowledge_of.hpp"

#include <algorithm>
#include <cmath>

namespace knockwell::laws {
namespace {

std::string named(const char* kind, std::size_t i) { return kind + std::to_string(i); }

/// `causes` causes with 1 in 100 each; flag number i is shown by causes i and 3 i + 1 (modulo their
/// number) and by nothing else, but for `leak`; every third cause is brought on by the one before.
std::string ring_of(std::size_t causes, std::size_t flags, const std::string& leak,
                    const std::string& strength) {
    std::string toml;
    std::vector<std::string> shows(causes);
    for (std::size_t f = 0; f < flags; ++f) {
        toml += "[symptom." + named("flag-", f) + "]\ntitle = \"Flag\"\nseen_anyway = \"" + leak +
                "\"\n";
        for (const std::size_t c : {f % causes, (3 * f + 1) % causes}) {
            if (shows[c].find(named("flag-", f) + " ") == std::string::npos)
                shows[c] += named("flag-", f) + " = \"" + strength + "\"\n";
        }
    }
    for (std::size_t c = 0; c < causes; ++c) {
        toml += "[cause." + named("cause-", c) + "]\ntitle = \"Cause\"\npresent = \"1 in 100\"\n";
        if (c % 3 == 2)
            toml += "brought_on_by = { " + named("cause-", c - 1) + " = \"" + strength + "\" }\n";
        toml += "[cause." + named("cause-", c) + ".shows]\n" + shows[c];
    }
    return toml;
}

Finding flag(std::size_t f, bool there, Via via = Via::sure) {
    return {SignId(f), there ? 1U : 0U, {}, {}, via, {}, 0};
}

/// What the sum over all worlds says of it.
void expect_the_sum_over_all_worlds(const Knowledge& knowledge, const Evidence& evidence,
                                    double log_at_most) {
    const Network network = compile(knowledge);
    const Added slow =
        add_up_all_worlds(knowledge, evidence, std::vector<bool>(evidence.findings.size(), false));
    ASSERT_GT(slow.evidence, 0);
    const Answer answer = posterior({&knowledge, &network}, evidence);
    ASSERT_TRUE(std::holds_alternative<Posterior>(answer));
    const auto& fast = std::get<Posterior>(answer);
    EXPECT_LT(fast.log_evidence, log_at_most);
    EXPECT_NEAR(fast.log_evidence, static_cast<double>(std::log(slow.evidence)),
                close * std::abs(fast.log_evidence));
    for (std::size_t c = 0; c < fast.cause.size(); ++c)
        EXPECT_TRUE(agrees(fast.cause[c], slow.cause[c] / slow.evidence)) << "cause " << c;
}

// 1e-250 is ln -575.6; below 1e-308 a double has no digits.
TEST(HardlyAnyChance, KeepsEveryDigit) {
    for (const auto& [flags, leak] : {std::pair{90U, "1 in 1000"}, std::pair{120U, "1 in 1000"},
                                      std::pair{90U, "1 in 1000000"}}) {
        SCOPED_TRACE(std::to_string(flags) + " flags, leak " + leak);
        const Knowledge knowledge = knowledge_of(ring_of(9, flags, leak, "1 in 2000"));
        Evidence evidence;
        for (std::size_t f = 0; f < flags; ++f)
            evidence.findings.push_back(flag(f, true));
        expect_the_sum_over_all_worlds(knowledge, evidence, -575.7);
    }
}

// The ways that lead to an answer divide by nothing that can be 0: with every strength `always` and
// no leak, each trigger leaves exactly 0 over.
TEST(Always, LeavesNothingToDivideBy) {
    const Knowledge knowledge = knowledge_of(ring_of(9, 12, "never", "always"));
    const Network network = compile(knowledge);
    const Model model{&knowledge, &network};
    for (std::size_t pattern = 0; pattern < 64; ++pattern) {
        SCOPED_TRACE("pattern " + std::to_string(pattern));
        Evidence evidence;
        for (std::size_t f = 0; f < 6; ++f)
            evidence.findings.push_back(flag(2 * f, (pattern >> f & 1U) != 0));
        const Added slow = add_up_all_worlds(knowledge, evidence, std::vector<bool>(6, false));
        const Answer answer = posterior(model, evidence);
        ASSERT_EQ(std::holds_alternative<Posterior>(answer), slow.evidence > 0);
        if (slow.evidence == 0)
            continue;
        const auto& fast = std::get<Posterior>(answer);
        for (std::size_t c = 0; c < fast.cause.size(); ++c)
            ASSERT_TRUE(agrees(fast.cause[c], slow.cause[c] / slow.evidence)) << "cause " << c;

        std::vector<Look> looks;
        for (std::size_t f = 0; f < 12; ++f)
            looks.push_back({{SignId(f)}, Via::sure, {}});
        std::vector<CauseId> causes;
        for (std::size_t c = 0; c < 9; ++c)
            causes.emplace_back(c);
        const auto all = predict_all(model, evidence, looks, fast.cause, causes);
        for (std::size_t f = 0; f < 12; ++f)
            for (const Outcome& outcome : all[f]) {
                Evidence then = evidence;
                then.findings.push_back(flag(f, outcome.values[0] == 1));
                const Added found = add_up_all_worlds(knowledge, then, std::vector<bool>(7, false));
                EXPECT_NEAR(outcome.p, static_cast<double>(found.evidence / slow.evidence), close);
                for (std::size_t c = 0; c < 9; ++c)
                    EXPECT_NEAR(outcome.cause[c] * outcome.p,
                                static_cast<double>(found.cause[c] / slow.evidence), close);
            }
        const Ranges drawn = ranges(model, evidence, 16);
        EXPECT_EQ(drawn.draws, 16U);
        for (const Range& range : drawn.cause)
            EXPECT_TRUE(range.low >= 0 && range.low <= range.high && range.high <= 1)
                << range.low << " to " << range.high;
        const CauseSets sets = most_probable_sets(model, evidence);
        ASSERT_FALSE(sets.sets.empty());
        EXPECT_TRUE(sets.proved);
        EXPECT_TRUE(agrees(sets.sets[0].p,
                           *std::max_element(slow.set.begin(), slow.set.end()) / slow.evidence));
    }
}

// Among forty findings the two that clash are named, and nothing else.
TEST(ImpossibleEvidence, IsToldByItsClashAlone) {
    const Knowledge knowledge = knowledge_of(ring_of(9, 40, "1 in 100", "5 in 10") + R"(
[symptom.only-by-one]
title = "Only by one"
seen_anyway = "never"
[symptom.always-with-it]
title = "Always with it"
seen_anyway = "never"
[cause.the-one]
title = "The one"
present = "1 in 10"
shows = { only-by-one = "5 in 10", always-with-it = "always" }
)");
    const Network network = compile(knowledge);
    const SignId one = sign_named(knowledge, "only-by-one");
    const SignId always = sign_named(knowledge, "always-with-it");
    Evidence evidence;
    for (std::size_t f = 0; f < 40; ++f)
        evidence.findings.push_back(flag(f, f % 3 == 0));
    evidence.findings.insert(evidence.findings.begin() + 11, flag(one.index(), true));
    evidence.findings.insert(evidence.findings.begin() + 29, flag(always.index(), false));
    const Answer answer = posterior({&knowledge, &network}, evidence);
    ASSERT_TRUE(std::holds_alternative<Impossible>(answer));
    EXPECT_EQ(std::get<Impossible>(answer).findings, (std::vector<std::size_t>{11, 29}));
    EXPECT_TRUE(std::get<Impossible>(answer).causes.empty());
    EXPECT_TRUE(std::get<Impossible>(answer).settings.empty());
}

}  // namespace
}  // namespace knockwell::laws
