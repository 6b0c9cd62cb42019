// How the chance of the findings hangs on each number: the slopes of the beliefs are those of the
// chance itself, read off five neighbouring points; and on a network of one cause those on paper.
#include "laws/asked.hpp"
#include "support/knowledge_of.hpp"

#include <cmath>

namespace knockwell::laws {
namespace {

/// d ln P(e) / d strength by the five-point formula (M. Abramowitz & I. Stegun, Handbook of
/// Mathematical Functions, 25.3.6); its error is of the fourth order in `step`.
std::optional<double> five_points(const Posed& posed, std::vector<double> strengths,
                                  std::size_t which, double step) {
    const double at = strengths[which];
    const auto log_chance = [&](double by) {
        strengths[which] = at + by;
        const Answer answer = posterior(posed.model, posed.it.evidence, strengths);
        const auto* here = std::get_if<Posterior>(&answer);
        return here == nullptr ? std::nan("") : here->log_evidence;
    };
    const double slope = (8 * (log_chance(step) - log_chance(-step)) -
                          (log_chance(2 * step) - log_chance(-2 * step))) /
                         (12 * step);
    // Where shares use up everything there is no slope to both sides.
    const double bend = log_chance(step) + log_chance(-step) - 2 * log_chance(0);
    if (!std::isfinite(slope) || std::abs(bend) > 1e-2 * step * (1 + std::abs(slope)))
        return std::nullopt;
    return slope;
}

TEST(Slopes, AreThoseOfTheChanceOfTheFindings) {
    std::uint64_t compared = 0;
    std::uint64_t steep = 0;
    each_added_up({cases(400)}, 7, [&](const Posed& posed, const Added&) {
        const std::vector<double>& strengths = point_values(*posed.model.network);
        const auto all = slopes(posed.model, posed.it.evidence, strengths);
        ASSERT_TRUE(all.has_value());
        ASSERT_EQ(all->size(), strengths.size());
        for (std::size_t i = posed.seed % 5; i < strengths.size(); i += 5) {
            const double step = 1e-3 * std::min(strengths[i], 1 - strengths[i]);
            if (!(step > 1e-6))
                continue;
            const auto slope = five_points(posed, strengths, i, step);
            if (!slope)
                continue;
            ++compared;
            steep += std::abs(*slope) > 0.01 ? 1U : 0U;
            ASSERT_NEAR((*all)[i], *slope, 1e-7 * (1 + std::abs(*slope))) << "strength " << i;
        }
    });
    EXPECT_GT(compared, cases(400));
    EXPECT_GT(steep, cases(400) / 4) << "strengths that matter must be met";
}

// P(sign) = 1 - 0.98 (1 - 0.1 * 0.7) = 0.0886. By the cause's rate: 0.98 * 0.7 / 0.0886; by its
// link: 0.98 * 0.1 / 0.0886; by the leak: 0.93 / 0.0886.
TEST(Slopes, OfOneCauseAreThoseOnPaper) {
    const Knowledge knowledge = knowledge_of(R"(
        [cause.a]
        title = "A"
        present = "100 in 1000"
        shows = { s = "7000 in 10000" }
        [symptom.s]
        title = "S"
        seen_anyway = "20 in 1000"
    )");
    Network network = compile(knowledge);
    std::vector<double> strengths = point_values(network);
    const std::size_t rate = network.causes[0].base;
    const std::size_t link = network.signs[0].shown_by[0].high[0];
    const std::size_t leak = network.signs[0].leak_high[0];
    strengths[rate] = 0.1;
    strengths[link] = 0.7;
    strengths[leak] = 0.02;
    const auto all =
        slopes({&knowledge, &network}, {{}, {}, {{SignId(0), 1, {}, {}, Via::sure, {}, 0}}, {}, {}},
               strengths);
    ASSERT_TRUE(all.has_value());
    EXPECT_NEAR((*all)[rate], 0.98 * 0.7 / 0.0886, 1e-12);
    EXPECT_NEAR((*all)[link], 0.98 * 0.1 / 0.0886, 1e-12);
    EXPECT_NEAR((*all)[leak], 0.93 / 0.0886, 1e-12);
    // There with 0.1 (1 - 0.98 * 0.3) / 0.0886, fired with 0.1 * 0.7 / 0.0886.
    const double there = 0.1 * (1 - 0.98 * 0.3) / 0.0886;
    EXPECT_NEAR(0.7 * (there + 0.3 * (*all)[link]), 0.07 / 0.0886, 1e-12);
}

}  // namespace
}  // namespace knockwell::laws
