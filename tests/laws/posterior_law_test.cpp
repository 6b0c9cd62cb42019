// The fast answers are the sum over all worlds, on random knowledge small enough to add up.
#include "laws/asked.hpp"

#include <algorithm>
#include <cmath>

namespace knockwell::laws {
namespace {

/// In parts, so that two cores share them.
class Posteriors : public testing::TestWithParam<std::uint64_t> {};
constexpr std::uint64_t parts = 4;
INSTANTIATE_TEST_SUITE_P(Part, Posteriors, testing::Values(1, 2, 3, 4));

// Every number to 1e-12 of itself: P(e), and each posterior however small.
TEST_P(Posteriors, AreTheSumOverAllWorlds) {
    const std::uint64_t count = cases(20000);
    std::uint64_t possible = 0;
    std::uint64_t asked = 0;
    for (std::uint64_t seed = GetParam(); seed <= count; seed += parts, ++asked) {
        const Posed posed(seed);
        const Added slow = posed.add_up();
        SCOPED_TRACE(posed.label());
        const Answer answer = posterior(posed.model, posed.it.evidence);
        if (slow.evidence == 0) {
            ASSERT_TRUE(std::holds_alternative<Impossible>(answer));
            continue;
        }
        ++possible;
        ASSERT_TRUE(std::holds_alternative<Posterior>(answer));
        const auto& fast = std::get<Posterior>(answer);
        ASSERT_NEAR(fast.log_evidence, static_cast<double>(std::log(slow.evidence)), close);
        for (std::size_t c = 0; c < fast.cause.size(); ++c)
            ASSERT_TRUE(agrees(fast.cause[c], slow.cause[c] / slow.evidence)) << "cause " << c;
        for (std::size_t s = 0; s < fast.setting.size(); ++s)
            for (std::size_t a = 0; a < fast.setting[s].size(); ++a)
                ASSERT_TRUE(agrees(fast.setting[s][a], slow.setting[s][a] / slow.evidence))
                    << "setting " << s;
    }
    EXPECT_GT(possible, asked / 2) << "most random cases must be possible, or the test says little";
}

TEST(Posterior, ClashesAreIrreducible) {
    std::uint64_t clashes = 0;
    for (std::uint64_t seed = 1; seed <= cases(5000); ++seed) {
        const Posed posed(seed);
        const Model& model = posed.model;
        const Evidence& evidence = posed.it.evidence;
        SCOPED_TRACE(posed.label());
        const Answer answer = posterior(model, evidence);
        if (!std::holds_alternative<Impossible>(answer))
            continue;
        const auto& clash = std::get<Impossible>(answer);
        Evidence only;
        only.repairs = evidence.repairs;
        only.quantities = evidence.quantities;
        for (const SettingId s : clash.settings)
            only.settings[s] = evidence.settings.at(s);
        for (const std::size_t f : clash.findings)
            only.findings.push_back(evidence.findings[f]);
        for (const std::size_t c : clash.causes)
            only.causes.push_back(evidence.causes[c]);
        ASSERT_TRUE(std::holds_alternative<Impossible>(posterior(model, only)));
        const auto possible_without = [&](const Evidence& fewer) {
            return std::holds_alternative<Posterior>(posterior(model, fewer));
        };
        for (std::size_t f = 0; f < only.findings.size(); ++f) {
            Evidence fewer = only;
            fewer.findings.erase(fewer.findings.begin() + static_cast<std::ptrdiff_t>(f));
            ASSERT_TRUE(possible_without(fewer)) << "finding " << f << " is not needed";
        }
        for (std::size_t c = 0; c < only.causes.size(); ++c) {
            Evidence fewer = only;
            fewer.causes.erase(fewer.causes.begin() + static_cast<std::ptrdiff_t>(c));
            ASSERT_TRUE(possible_without(fewer)) << "known cause " << c << " is not needed";
        }
        for (const SettingId s : clash.settings) {
            Evidence fewer = only;
            fewer.settings.erase(s);
            ASSERT_TRUE(possible_without(fewer)) << "setting " << s.index() << " is not needed";
        }
        ++clashes;
    }
    EXPECT_GT(clashes, 3U);
}

TEST(Unlisted, IsTheShareOfWorldsInWhichNoCauseWasNoticed) {
    std::uint64_t some = 0;
    each_added_up({cases(2000)}, 9, [&](const Posed& posed, const Added& slow) {
        const std::vector<bool> present = posed.present();
        const bool any = std::find(present.begin(), present.end(), true) != present.end();
        ASSERT_TRUE(agrees(unlisted(posed.model, posed.it.evidence).value(),
                           any ? slow.silent / slow.evidence : 0));
        some += any ? 1 : 0;
    });
    EXPECT_GT(some, 0U);
}

TEST(Sets, AreTheMostProbableOfAllSets) {
    const std::uint64_t asked =
        each_added_up({cases(1000)}, 9, [](const Posed& posed, const Added& slow) {
            const CauseSets fast = most_probable_sets(posed.model, posed.it.evidence, 5);
            std::vector<Real> all = slow.set;
            std::sort(all.rbegin(), all.rend());
            ASSERT_TRUE(fast.proved);
            for (std::size_t i = 0; i < fast.sets.size(); ++i) {
                ASSERT_TRUE(agrees(fast.sets[i].p, all[i] / slow.evidence)) << "set " << i;
                std::size_t bits = 0;
                for (const CauseId c : fast.sets[i].causes)
                    bits |= std::size_t{1} << c.index();
                ASSERT_TRUE(agrees(fast.sets[i].p, slow.set[bits] / slow.evidence)) << "set " << i;
            }
            // With a bound below: the same, up to that.
            const double least = fast.sets[fast.sets.size() / 2].p;
            const CauseSets above = most_probable_sets(posed.model, posed.it.evidence, 5, least);
            ASSERT_TRUE(above.proved);
            std::size_t sure = 0;
            while (sure < fast.sets.size() && fast.sets[sure].p > least * (1 + 1e-12))
                ++sure;
            ASSERT_GE(above.sets.size(), sure);
            for (std::size_t i = 0; i < sure; ++i)
                ASSERT_EQ(above.sets[i].causes, fast.sets[i].causes) << "set " << i;
            ASSERT_LE(above.sets.size(), fast.sets.size());
            // A set whose chance is lost in rounding may be left out.
            const std::size_t there = std::min<std::size_t>(5, all.size());
            ASSERT_TRUE(fast.sets.size() == there || all[fast.sets.size()] < 1e-15 * slow.evidence);
        });
    EXPECT_GT(asked, cases(1000) / 4);
}

}  // namespace
}  // namespace knockwell::laws
