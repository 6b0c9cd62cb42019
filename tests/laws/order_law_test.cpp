// Same evidence, same bytes: neither the order of findings and files, nor what was asked before,
// nor who asks at the same time changes an answer. Where a plan was kept from other evidence the
// last digits may differ.
#include "bench/instances.hpp"
#include "knowledge/read.hpp"
#include "laws/asked.hpp"

#include <algorithm>
#include <cmath>
#include <random>
#include <thread>

namespace knockwell::laws {
namespace {

constexpr double kept_close = 1e-13;

/// Everything that is asked on a visit, to be compared to the last bit.
struct AllAnswers {
    Answer posterior;
    std::vector<std::vector<Outcome>> outcomes;
    CauseSets sets;
    Ranges ranges;
    std::optional<double> unlisted;
    double misfit = 0;
};

AllAnswers ask_all(const Model& model, const Evidence& evidence, std::span<const Look> looks) {
    AllAnswers all{posterior(model, evidence),          {},
                   most_probable_sets(model, evidence), ranges(model, evidence, 20),
                   unlisted(model, evidence),           misfit(model, evidence)};
    if (const auto* now = std::get_if<Posterior>(&all.posterior))
        all.outcomes = predict_all(model, evidence, looks, now->cause, explainers(model, evidence));
    return all;
}

bool same(double a, double b) { return a == b || (std::isnan(a) && std::isnan(b)); }

void expect_same_bytes(const AllAnswers& one, const AllAnswers& other) {
    ASSERT_EQ(one.posterior.index(), other.posterior.index());
    if (!std::holds_alternative<Posterior>(one.posterior))
        return;
    const auto& a = std::get<Posterior>(one.posterior);
    const auto& b = std::get<Posterior>(other.posterior);
    EXPECT_EQ(a.cause, b.cause);
    EXPECT_EQ(a.setting, b.setting);
    EXPECT_EQ(a.log_evidence, b.log_evidence);
    EXPECT_EQ(one.unlisted, other.unlisted);
    EXPECT_TRUE(same(one.misfit, other.misfit)) << one.misfit << " and " << other.misfit;
    ASSERT_EQ(one.sets.sets.size(), other.sets.sets.size());
    for (std::size_t i = 0; i < one.sets.sets.size(); ++i) {
        EXPECT_EQ(one.sets.sets[i].causes, other.sets.sets[i].causes);
        EXPECT_EQ(one.sets.sets[i].p, other.sets.sets[i].p);
    }
    for (std::size_t c = 0; c < one.ranges.cause.size(); ++c) {
        EXPECT_EQ(one.ranges.cause[c].low, other.ranges.cause[c].low);
        EXPECT_EQ(one.ranges.cause[c].high, other.ranges.cause[c].high);
    }
    EXPECT_EQ(one.ranges.first_in, other.ranges.first_in);
    ASSERT_EQ(one.outcomes.size(), other.outcomes.size());
    for (std::size_t i = 0; i < one.outcomes.size(); ++i) {
        ASSERT_EQ(one.outcomes[i].size(), other.outcomes[i].size());
        for (std::size_t o = 0; o < one.outcomes[i].size(); ++o) {
            EXPECT_EQ(one.outcomes[i][o].values, other.outcomes[i][o].values);
            EXPECT_EQ(one.outcomes[i][o].p, other.outcomes[i][o].p);
            EXPECT_EQ(one.outcomes[i][o].cause, other.outcomes[i][o].cause);
        }
    }
}

std::vector<Look> look_at_each(const Knowledge& knowledge) {
    std::vector<Look> looks;
    for (std::size_t s = 0; s < knowledge.signs.size(); ++s)
        looks.push_back({{SignId(s)}, Via::looked, {}});
    return looks;
}

Ranges drawn_by(std::size_t helpers, const Model& model, const Evidence& evidence,
                std::uint32_t draws) {
    Redrawing redrawing(model, evidence, draws);
    {
        std::vector<std::jthread> all;
        for (std::size_t i = 0; i < helpers; ++i)
            all.emplace_back([&] { redrawing.help(); });
    }
    return redrawing.result();
}

TEST(Order, OfThoseWhoDrawDoesNotMatter) {
    constexpr std::uint32_t draws = 45;  // the last batch is not full
    std::uint32_t drawn = 0;
    for (std::uint64_t seed = 1; seed <= cases(200); ++seed) {
        const Case it = random_case(seed, {6, 4, 5});
        SCOPED_TRACE("seed " + std::to_string(seed) + "\n" + to_text(it));
        const Network network = compile(it.knowledge);
        const Model model{&it.knowledge, &network};
        const Ranges one = drawn_by(1, model, it.evidence, draws);
        const Ranges three = drawn_by(3, model, it.evidence, draws);
        EXPECT_EQ(one.draws, three.draws);
        EXPECT_EQ(one.first_in, three.first_in);
        for (std::size_t c = 0; c < one.cause.size(); ++c) {
            EXPECT_EQ(one.cause[c].low, three.cause[c].low);
            EXPECT_EQ(one.cause[c].high, three.cause[c].high);
        }
        EXPECT_LE(one.draws, draws);
        drawn += one.draws;
        EXPECT_EQ(drawn_by(0, model, it.evidence, draws).draws, 0U);
        if (HasFailure())
            return;
    }
    EXPECT_GT(drawn, 0U);
}

TEST(Order, OfFindingsDoesNotMatter) {
    for (std::uint64_t seed = 1; seed <= cases(500); ++seed) {
        const Case it = random_case(seed, {6, 4, 5});
        SCOPED_TRACE("seed " + std::to_string(seed) + "\n" + to_text(it));
        const Network network = compile(it.knowledge);
        const std::vector<Look> looks = look_at_each(it.knowledge);
        Evidence turned = it.evidence;
        std::reverse(turned.findings.begin(), turned.findings.end());
        std::reverse(turned.causes.begin(), turned.causes.end());
        expect_same_bytes(ask_all({&it.knowledge, &network}, it.evidence, looks),
                          ask_all({&it.knowledge, &network}, turned, looks));
        if (HasFailure())
            return;
    }
}

/// A network of 43 causes with 36 findings, which no fold takes to nothing.
class OrderOfMany : public testing::Test {
protected:
    static void SetUpTestSuite() { it_ = bench::make_instance(bench::small).release(); }
    static void TearDownTestSuite() {
        delete it_;
        it_ = nullptr;
    }
    [[nodiscard]] static Model cold() { return {&it_->knowledge, &it_->network}; }
    [[nodiscard]] static bench::Found found(std::uint32_t which) {
        return bench::make_found(it_->plain, 12, which, false);
    }
    // NOLINTNEXTLINE(cppcoreguidelines-avoid-non-const-global-variables): as gtest keeps a suite's
    static const bench::Instance* it_;
};
// NOLINTNEXTLINE(cppcoreguidelines-avoid-non-const-global-variables)
const bench::Instance* OrderOfMany::it_ = nullptr;

TEST_F(OrderOfMany, FindingsDoesNotMatter) {
    std::mt19937_64 dice(7);
    for (std::uint32_t which = 0; which < 5; ++which) {
        const std::vector<Look> looks = bench::open_checks(it_->plain, found(which));
        const Evidence evidence = bench::evidence_of(found(which));
        const AllAnswers straight = ask_all(cold(), evidence, looks);
        ASSERT_TRUE(std::holds_alternative<Posterior>(straight.posterior));
        for (int turn = 0; turn < 3; ++turn) {
            Evidence mixed = evidence;
            for (std::size_t i = mixed.findings.size(); i > 1; --i)
                std::swap(mixed.findings[i - 1], mixed.findings[dice() % i]);
            expect_same_bytes(straight, ask_all(cold(), mixed, looks));
        }
    }
}

TEST_F(OrderOfMany, QuestionsDoesNotMatter) {
    const Evidence first = bench::evidence_of(found(0));
    const Evidence second = bench::evidence_of(found(1));
    const std::vector<Look> looks = bench::open_checks(it_->plain, found(1));
    const Model warm = cold();
    ask_all(warm, first, looks);
    ask_all(warm, second, looks);
    expect_same_bytes(ask_all(warm, second, looks), ask_all(cold(), second, looks));
}

TEST_F(OrderOfMany, ThreadsDoesNotMatter) {
    const Evidence evidence = bench::evidence_of(found(0));
    const std::vector<Look> looks = bench::open_checks(it_->plain, found(0));
    const AllAnswers alone = ask_all(cold(), evidence, looks);
    std::vector<AllAnswers> together(3);
    {
        std::vector<std::jthread> threads;
        for (AllAnswers& answers : together)
            threads.emplace_back([&] { answers = ask_all(cold(), evidence, looks); });
    }
    for (const AllAnswers& answers : together)
        expect_same_bytes(alone, answers);
}

// A job adds one finding at a time; whatever of the last plan is kept, the digits stay.
TEST_F(OrderOfMany, FindingsOneAtATimeIsTheAnswerToAll) {
    for (std::uint32_t which = 0; which < 5; ++which) {
        const Evidence all = bench::evidence_of(found(which));
        const Model warm = cold();
        Evidence so_far;
        so_far.causes = all.causes;
        for (std::size_t i = 0; i < all.findings.size(); ++i) {
            // Present and absent ones in turn, from both ends.
            const std::size_t next = i % 2 == 0 ? i / 2 : all.findings.size() - 1 - i / 2;
            so_far.findings.push_back(all.findings[next]);
            const Answer kept = posterior(warm, so_far);
            const Answer afresh = posterior(cold(), so_far);
            ASSERT_TRUE(std::holds_alternative<Posterior>(kept));
            ASSERT_TRUE(std::holds_alternative<Posterior>(afresh));
            const auto& a = std::get<Posterior>(kept);
            const auto& b = std::get<Posterior>(afresh);
            ASSERT_NEAR(a.log_evidence, b.log_evidence, kept_close * std::abs(b.log_evidence));
            for (std::size_t c = 0; c < a.cause.size(); ++c)
                ASSERT_NEAR(a.cause[c], b.cause[c], kept_close * b.cause[c])
                    << "case " << which << ", " << i + 1 << " findings, cause " << c;
        }
    }
}

// A look is predicted the same whether it is asked about alone or among many.
TEST_F(OrderOfMany, LooksDoesNotMatter) {
    const Evidence evidence = bench::evidence_of(found(0));
    const std::vector<Look> looks = bench::open_checks(it_->plain, found(0));
    const Model model = cold();
    const Answer answer = posterior(model, evidence);
    ASSERT_TRUE(std::holds_alternative<Posterior>(answer));
    const std::vector<double>& now = std::get<Posterior>(answer).cause;
    const std::vector<CauseId> causes = explainers(model, evidence);
    const auto together = predict_all(model, evidence, looks, now, causes);
    for (std::size_t i = 0; i < looks.size(); ++i) {
        const auto alone = predict_all(model, evidence, {&looks[i], 1}, now, causes);
        ASSERT_EQ(alone[0].size(), together[i].size());
        for (std::size_t o = 0; o < alone[0].size(); ++o) {
            EXPECT_NEAR(alone[0][o].p, together[i][o].p, kept_close);
            for (const CauseId c : causes)
                EXPECT_NEAR(alone[0][o].cause[c.index()] * alone[0][o].p,
                            together[i][o].cause[c.index()] * together[i][o].p, kept_close);
        }
    }
}

/// The network's text in three files: the symptoms, and the causes in halves.
std::vector<Source> in_three_files(const std::string& toml, std::size_t causes) {
    const std::size_t first = toml.find("[cause.cause-0]");
    const std::size_t half = toml.find("[cause.cause-" + std::to_string(causes / 2) + "]");
    return {{"symptoms.toml", toml.substr(0, first)},
            {"some-causes.toml", toml.substr(first, half - first)},
            {"more-causes.toml", toml.substr(half)}};
}

/// The same evidence in knowledge that was read from a text.
Evidence told_in(const Knowledge& knowledge, Evidence evidence, const Knowledge& was) {
    for (Finding& finding : evidence.findings)
        finding.what = sign_named(knowledge, was[std::get<SignId>(finding.what)].head.id);
    for (KnownCause& known : evidence.causes)
        known.cause = cause_named(knowledge, was[known.cause].head.id);
    return evidence;
}

// Neither how they are called nor which is read first.
TEST_F(OrderOfMany, FilesDoesNotMatter) {
    std::vector<Source> files =
        in_three_files(bench::toml_of(it_->plain), it_->plain.causes.size());
    const ReadResult one = read_knowledge(files);
    std::reverse(files.begin(), files.end());
    const ReadResult other = read_knowledge(files);
    ASSERT_TRUE(one.ok() && other.ok());
    const Network of_one = compile(one.knowledge);
    const Network of_other = compile(other.knowledge);
    const Evidence evidence = told_in(one.knowledge, bench::evidence_of(found(0)), it_->knowledge);
    EXPECT_EQ(evidence, told_in(other.knowledge, bench::evidence_of(found(0)), it_->knowledge));
    const std::vector<Look> looks = look_at_each(one.knowledge);
    const AllAnswers straight = ask_all({&one.knowledge, &of_one}, evidence, looks);
    ASSERT_TRUE(std::holds_alternative<Posterior>(straight.posterior));
    expect_same_bytes(straight, ask_all({&other.knowledge, &of_other}, evidence, looks));
}

// With settings that are not known, tables, and causes that bring others on.
TEST(Order, OfTheShippedFilesDoesNotMatter) {
    std::vector<Source> files = gather_sources(KNOCKWELL_KB_DIR);
    const ReadResult one = read_knowledge(files);
    std::reverse(files.begin(), files.end());
    for (std::size_t i = 0; i < files.size(); ++i)
        files[i].name = "renamed-" + std::to_string(i) + ".toml";
    const ReadResult other = read_knowledge(files);
    ASSERT_TRUE(one.ok() && other.ok());
    const auto ask = [](const Knowledge& knowledge) {
        Evidence evidence;
        for (const char* name : {"no-water", "hums-no-start"})
            evidence.findings.push_back({sign_named(knowledge, name), 1, {}, {}, Via::told, {}, 0});
        const Network network = compile(knowledge);
        return ask_all({&knowledge, &network}, evidence, {});
    };
    const AllAnswers straight = ask(one.knowledge);
    ASSERT_TRUE(std::holds_alternative<Posterior>(straight.posterior));
    expect_same_bytes(straight, ask(other.knowledge));
}

}  // namespace
}  // namespace knockwell::laws
