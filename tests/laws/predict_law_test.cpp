// What looks are predicted to show is what the sum over all worlds says once it is found; what is
// asked together is what is asked alone.
#include "beliefs/run.hpp"
#include "laws/asked.hpp"

#include <algorithm>

namespace knockwell::laws {
namespace {

double as_double(Real x) { return static_cast<double>(x); }

// An outcome may be the difference of two sums, so it is right to 1e-12 of the whole, not of
// itself.
TEST(Predict, OutcomesAreTheWorldsInWhichTheyAreFound) {
    const std::uint64_t looked =
        each_added_up({cases(1000)}, 7, [](const Posed& posed, const Added& slow) {
            const std::size_t signs = posed.it.knowledge.signs.size();
            Look look{{SignId(posed.seed % signs)}, Via::test, TestId(std::size_t{0})};
            if (posed.seed % 3 == 0)
                look.at.emplace_back(SignId((posed.seed + 1) % signs));
            double sum = 0;
            for (const Outcome& outcome : predict(posed.model, posed.it.evidence, look)) {
                Evidence then = posed.it.evidence;
                for (std::size_t i = 0; i < look.at.size(); ++i)
                    then.findings.push_back({look.at[i],
                                             outcome.values[i],
                                             {},
                                             {},
                                             look.via,
                                             look.test,
                                             then.repairs.size()});
                const Added found = add_up_all_worlds(
                    posed.it.knowledge, then, std::vector<bool>(then.findings.size(), false));
                ASSERT_NEAR(outcome.p, as_double(found.evidence / slow.evidence), close);
                for (std::size_t c = 0; c < outcome.cause.size(); ++c)
                    ASSERT_NEAR(outcome.cause[c] * outcome.p,
                                as_double(found.cause[c] / slow.evidence), close);
                sum += outcome.p;
            }
            ASSERT_NEAR(sum, 1, close);
        });
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

/// Outcomes that both ways of asking must give.
std::vector<Outcome> worth_comparing(std::vector<Outcome> outcomes) {
    std::erase_if(outcomes, [](const Outcome& outcome) { return outcome.p < 1e-11; });
    return outcomes;
}

class Looks : public testing::TestWithParam<std::uint64_t> {};
INSTANTIATE_TEST_SUITE_P(Part, Looks, testing::Values(1, 2));

TEST_P(Looks, TogetherGiveEachWhatItWouldGetAlone) {
    std::uint64_t looked = 0;
    each_possible({cases(2000), GetParam(), 2}, [&](const Posed& posed, const Posterior& now) {
        const std::vector<Look> looks = every_look(posed.it);
        // Now all causes are asked for, now one.
        std::vector<CauseId> causes;
        const std::size_t count = posed.it.knowledge.causes.size();
        for (std::size_t c = 0; c < count; ++c)
            if (posed.seed % 4 < 2 || c == posed.seed % count)
                causes.emplace_back(c);
        const auto all = predict_all(posed.model, posed.it.evidence, looks, now.cause, causes);
        const std::vector<double> told =
            bits_of_all(posed.model, posed.it.evidence, looks, now.cause, causes);
        ASSERT_EQ(all.size(), looks.size());
        ASSERT_EQ(told.size(), looks.size());
        for (std::size_t i = 0; i < looks.size(); ++i) {
            const std::vector<Outcome> alone =
                worth_comparing(predict(posed.model, posed.it.evidence, looks[i]));
            const std::vector<Outcome> together = worth_comparing(all[i]);
            ASSERT_NEAR(told[i], bits(all[i], now.cause, causes), 1e-10) << "look " << i;
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
    });
    EXPECT_GT(looked, cases(2000) / 2);
}

/// Causes that the evidence does not speak of have the chances that they have in the sum of all.
TEST(Outside, CarriedDownIsThePosterior) {
    std::uint64_t left_out = 0;
    each_possible({cases(5000)}, [&](const Posed& posed, const Posterior& carried) {
        using Causes = BuildChoice::Causes;
        const Evidence& evidence = posed.it.evidence;
        const std::vector<double>& strengths = point_values(posed.network);
        const knockwell::Run all = run(posed.model, evidence, strengths, {.causes = Causes::all});
        ASSERT_TRUE(all.ok());
        const Built without =
            build(posed.model, evidence, strengths, {.causes = Causes::and_inexact});
        for (std::size_t c = 0; c < posed.network.causes.size(); ++c) {
            left_out += without.holds(c) ? 0U : 1U;
            ASSERT_TRUE(agrees(carried.cause[c], Real(all.shares.of(all.built.last(c), 1))))
                << "cause " << c;
        }
    });
    EXPECT_GT(left_out, cases(5000) / 20) << "causes outside of the sum must be met";
}

TEST(ChanceOf, OfAllValuesAddsUpToOne) {
    const std::uint64_t asked =
        each_possible({cases(1000)}, [](const Posed& posed, const Posterior& /*now*/) {
            const SignId sign(posed.seed % posed.it.knowledge.signs.size());
            double sum = 0;
            for (std::size_t v = 0; v < posed.it.knowledge[sign].value_count(); ++v)
                sum += chance_of(posed.model, posed.it.evidence, sign, std::vector<std::size_t>{v})
                           .value();
            ASSERT_NEAR(sum, 1, close);
        });
    EXPECT_GT(asked, cases(1000) / 4);
}

}  // namespace
}  // namespace knockwell::laws
