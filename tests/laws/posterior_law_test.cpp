// The fast answers are the sum over all worlds, on random knowledge small enough to add up.
#include "beliefs/beliefs.hpp"
#include "beliefs/run.hpp"
#include "laws/random_case.hpp"
#include "laws/worlds.hpp"
#include "support/cases.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace knockwell::laws {
namespace {

Size size_for(std::uint64_t seed) {
    if (seed % 125 == 7)
        return {14, 4, 3};
    return {2 + seed % 7, 2 + seed % 4, 1 + seed % 6};
}

struct Asked {
    Case it;
    Network network;
    Model model;
    Added slow;
    explicit Asked(std::uint64_t seed)
        : it(random_case(seed, size_for(seed))),
          network(compile(it.knowledge)), model{&it.knowledge, &network} {
        std::vector<bool> present;
        for (const Finding& finding : it.evidence.findings)
            present.push_back(says_present(model, it.evidence, finding));
        slow = add_up_all_worlds(it.knowledge, it.evidence, present);
    }
};

std::string label(std::uint64_t seed, const Case& it) {
    return "seed " + std::to_string(seed) + "\n" + to_text(it);
}

constexpr double close = 1e-10;

TEST(Posterior, IsTheSumOverAllWorlds) {
    std::uint64_t possible = 0;
    for (std::uint64_t seed = 1; seed <= cases(5000); ++seed) {
        const Asked asked(seed);
        SCOPED_TRACE(label(seed, asked.it));
        const Answer answer = posterior(asked.model, asked.it.evidence);
        if (asked.slow.evidence == 0) {
            ASSERT_TRUE(std::holds_alternative<Impossible>(answer));
            continue;
        }
        ++possible;
        ASSERT_TRUE(std::holds_alternative<Posterior>(answer));
        const auto& fast = std::get<Posterior>(answer);
        ASSERT_NEAR(fast.log_evidence, std::log(asked.slow.evidence), close);
        for (std::size_t c = 0; c < fast.cause.size(); ++c)
            ASSERT_NEAR(fast.cause[c], asked.slow.cause[c] / asked.slow.evidence, close)
                << "cause " << c;
        for (std::size_t s = 0; s < fast.setting.size(); ++s)
            for (std::size_t a = 0; a < fast.setting[s].size(); ++a)
                ASSERT_NEAR(fast.setting[s][a], asked.slow.setting[s][a] / asked.slow.evidence,
                            close)
                    << "setting " << s;
    }
    EXPECT_GT(possible, cases(5000) / 2)
        << "most random cases must be possible, or the test says little";
}

TEST(Posterior, ClashesAreIrreducible) {
    std::uint64_t clashes = 0;
    for (std::uint64_t seed = 1; seed <= cases(5000); ++seed) {
        const Case it = random_case(seed, size_for(seed));
        const Network network = compile(it.knowledge);
        const Model model{&it.knowledge, &network};
        SCOPED_TRACE(label(seed, it));
        const Answer answer = posterior(model, it.evidence);
        if (!std::holds_alternative<Impossible>(answer))
            continue;
        const auto& clash = std::get<Impossible>(answer);
        Evidence only;
        only.repairs = it.evidence.repairs;
        only.quantities = it.evidence.quantities;
        for (const SettingId s : clash.settings)
            only.settings[s] = it.evidence.settings.at(s);
        for (const std::size_t f : clash.findings)
            only.findings.push_back(it.evidence.findings[f]);
        for (const std::size_t c : clash.causes)
            only.causes.push_back(it.evidence.causes[c]);
        ASSERT_TRUE(std::holds_alternative<Impossible>(posterior(model, only)));
        for (std::size_t f = 0; f < only.findings.size(); ++f) {
            Evidence fewer = only;
            fewer.findings.erase(fewer.findings.begin() + static_cast<std::ptrdiff_t>(f));
            ASSERT_TRUE(std::holds_alternative<Posterior>(posterior(model, fewer)))
                << "finding " << f << " of the clash is not needed";
        }
        ++clashes;
    }
    EXPECT_GT(clashes, 3U);
}

TEST(Unlisted, IsTheShareOfWorldsInWhichNoCauseWasNoticed) {
    std::uint64_t some = 0;
    for (std::uint64_t seed = 1; seed <= cases(2000); ++seed) {
        if (size_for(seed).causes > 9)
            continue;
        const Asked asked(seed);
        if (asked.slow.evidence == 0)
            continue;
        SCOPED_TRACE(label(seed, asked.it));
        bool any = false;
        for (const Finding& finding : asked.it.evidence.findings)
            any = any || says_present(asked.model, asked.it.evidence, finding);
        ASSERT_NEAR(unlisted(asked.model, asked.it.evidence).value(),
                    any ? asked.slow.silent / asked.slow.evidence : 0, close);
        some += any ? 1 : 0;
    }
    EXPECT_GT(some, 0U);
}

TEST(Sets, AreTheMostProbableOfAllSets) {
    for (std::uint64_t seed = 1; seed <= cases(1000); ++seed) {
        if (size_for(seed).causes > 9)
            continue;
        const Asked asked(seed);
        if (asked.slow.evidence == 0)
            continue;
        SCOPED_TRACE(label(seed, asked.it));
        const CauseSets fast = most_probable_sets(asked.model, asked.it.evidence, 5);
        std::vector<double> all = asked.slow.set;
        std::sort(all.rbegin(), all.rend());
        ASSERT_TRUE(fast.proved);
        for (std::size_t i = 0; i < fast.sets.size(); ++i) {
            ASSERT_NEAR(fast.sets[i].p, all[i] / asked.slow.evidence, close) << "set " << i;
            std::size_t bits = 0;
            for (const CauseId c : fast.sets[i].causes)
                bits |= std::size_t{1} << c.index();
            ASSERT_NEAR(fast.sets[i].p, asked.slow.set[bits] / asked.slow.evidence, close);
        }
        // A set whose chance is lost in rounding may be left out.
        const std::size_t there = std::min<std::size_t>(5, all.size());
        ASSERT_TRUE(fast.sets.size() == there ||
                    all[fast.sets.size()] < 1e-15 * asked.slow.evidence);
    }
}

/// What is predicted is what the sum over all worlds says once the outcome is added to the
/// evidence.
TEST(Predict, OutcomesAreTheWorldsInWhichTheyAreFound) {
    std::uint64_t looked = 0;
    for (std::uint64_t seed = 1; seed <= cases(1000); ++seed) {
        if (size_for(seed).causes > 7)
            continue;
        const Asked asked(seed);
        if (asked.slow.evidence == 0)
            continue;
        SCOPED_TRACE(label(seed, asked.it));
        Look look{
            {SignId(seed % asked.it.knowledge.signs.size())}, Via::test, TestId(std::size_t{0})};
        if (seed % 3 == 0)
            look.at.emplace_back(SignId((seed + 1) % asked.it.knowledge.signs.size()));
        double sum = 0;
        for (const Outcome& outcome : predict(asked.model, asked.it.evidence, look)) {
            Evidence then = asked.it.evidence;
            for (std::size_t i = 0; i < look.at.size(); ++i)
                then.findings.push_back({look.at[i],
                                         outcome.values[i],
                                         {},
                                         {},
                                         look.via,
                                         look.test,
                                         then.repairs.size()});
            const Added slow = add_up_all_worlds(asked.it.knowledge, then,
                                                 std::vector<bool>(then.findings.size(), false));
            ASSERT_NEAR(outcome.p, slow.evidence / asked.slow.evidence, close);
            for (std::size_t c = 0; c < outcome.cause.size(); ++c)
                ASSERT_NEAR(outcome.cause[c] * outcome.p, slow.cause[c] / asked.slow.evidence,
                            close);
            sum += outcome.p;
        }
        ASSERT_NEAR(sum, 1, close);
        ++looked;
    }
    EXPECT_GT(looked, 10U);
}

/// Every look at one sign, at two neighbouring ones, and at every setting that is not known.
std::vector<Look> every_look(const Case& it) {
    std::vector<Look> looks;
    const std::size_t signs = it.knowledge.signs.size();
    for (std::size_t s = 0; s < signs; ++s) {
        looks.push_back({{SignId(s)}, Via::test, TestId(std::size_t{0})});
        looks.push_back({{SignId(s)}, Via::sure, {}});
        if (s + 1 < signs)
            looks.push_back({{SignId(s), SignId(s + 1)}, Via::looked, {}});
    }
    for (std::size_t s = 0; s < it.knowledge.settings.size(); ++s)
        if (!it.evidence.settings.contains(SettingId(s)))
            looks.push_back({{SettingId(s)}, Via::sure, {}});
    return looks;
}

TEST(PredictAll, GivesEveryLookWhatItWouldGetAlone) {
    std::uint64_t looked = 0;
    for (std::uint64_t seed = 1; seed <= cases(2000); ++seed) {
        const Case it = random_case(seed, size_for(seed));
        const Network network = compile(it.knowledge);
        const Model model{&it.knowledge, &network};
        const Answer answer = posterior(model, it.evidence);
        if (!std::holds_alternative<Posterior>(answer))
            continue;
        SCOPED_TRACE(label(seed, it));
        const std::vector<Look> looks = every_look(it);
        // Now all causes are asked for, now one.
        std::vector<CauseId> causes;
        for (std::size_t c = 0; c < it.knowledge.causes.size(); ++c)
            if (seed % 2 == 0 || c == seed % it.knowledge.causes.size())
                causes.emplace_back(c);
        const std::vector<double>& now = std::get<Posterior>(answer).cause;
        const auto all = predict_all(model, it.evidence, looks, now, causes);
        ASSERT_EQ(all.size(), looks.size());
        for (std::size_t i = 0; i < looks.size(); ++i) {
            std::vector<Outcome> alone = predict(model, it.evidence, looks[i]);
            std::erase_if(alone, [](const Outcome& outcome) { return outcome.p < 1e-11; });
            std::vector<Outcome> together = all[i];
            std::erase_if(together, [](const Outcome& outcome) { return outcome.p < 1e-11; });
            ASSERT_EQ(together.size(), alone.size()) << "look " << i;
            for (std::size_t o = 0; o < alone.size(); ++o) {
                ASSERT_EQ(together[o].values, alone[o].values) << "look " << i;
                ASSERT_NEAR(together[o].p, alone[o].p, close) << "look " << i << " outcome " << o;
                for (const CauseId c : causes)
                    ASSERT_NEAR(together[o].p * together[o].cause[c.index()],
                                alone[o].p * alone[o].cause[c.index()], close)
                        << "look " << i << " outcome " << o << " cause " << c.value;
            }
            ++looked;
        }
    }
    EXPECT_GT(looked, cases(2000));
}

/// Causes that the evidence does not speak of have the chances that they have in the sum of all.
TEST(Outside, CarriedDownIsThePosterior) {
    std::uint64_t left_out = 0;
    for (std::uint64_t seed = 1; seed <= cases(5000); ++seed) {
        const Case it = random_case(seed, size_for(seed));
        const Network network = compile(it.knowledge);
        const Model model{&it.knowledge, &network};
        const Answer answer = posterior(model, it.evidence);
        if (!std::holds_alternative<Posterior>(answer))
            continue;
        SCOPED_TRACE(label(seed, it));
        const std::vector<double>& strengths = point_values(network);
        using Causes = BuildChoice::Causes;
        const knockwell::Run all = run(model, it.evidence, strengths, {.causes = Causes::all});
        ASSERT_TRUE(all.ok());
        const Built without = build(model, it.evidence, strengths, {.causes = Causes::and_inexact});
        for (std::size_t c = 0; c < network.causes.size(); ++c) {
            left_out += without.holds(c) ? 0U : 1U;
            ASSERT_NEAR(std::get<Posterior>(answer).cause[c], all.shares.of(all.built.last(c), 1),
                        close)
                << "cause " << c;
        }
    }
    EXPECT_GT(left_out, cases(5000) / 20) << "causes outside of the sum must be met";
}

TEST(ChanceOf, IsTheShareOfWorldsWithTheSign) {
    for (std::uint64_t seed = 1; seed <= cases(1000); ++seed) {
        const Case it = random_case(seed, size_for(seed));
        const Network network = compile(it.knowledge);
        const Model model{&it.knowledge, &network};
        if (!std::holds_alternative<Posterior>(posterior(model, it.evidence)))
            continue;
        SCOPED_TRACE(label(seed, it));
        const SignId sign(seed % it.knowledge.signs.size());
        double sum = 0;
        for (std::size_t v = 0; v < it.knowledge[sign].value_count(); ++v)
            sum += chance_of(model, it.evidence, sign, std::vector<std::size_t>{v}).value();
        ASSERT_NEAR(sum, 1, close);
    }
}

}  // namespace
}  // namespace knockwell::laws
