// With what chance each trigger fired: as the chance of the findings changes where the trigger is
// sure to fire, and as the sum over all worlds has the causes and the settings.
#include "beliefs/expected.hpp"
#include "laws/asked.hpp"
#include "support/knowledge_of.hpp"

#include <cmath>

namespace knockwell::laws {
namespace {

double chance_under(const Posed& posed, const std::vector<double>& strengths) {
    const Answer answer = posterior(posed.model, posed.it.evidence, strengths);
    const auto* here = std::get_if<Posterior>(&answer);
    return here == nullptr ? 0 : std::exp(here->log_evidence);
}

TEST(Expected, CausesAreThereAsOftenAsOverAllWorlds) {
    std::uint64_t compared = 0;
    each_added_up({cases(400)}, 7, [&](const Posed& posed, const Added& slow) {
        if (!posed.it.evidence.repairs.empty())
            return;  // the worlds tell of the last stage, this of the first
        Expecting expecting(posed.model);
        const Expected* const fast =
            expecting.of(posed.it.evidence, point_values(*posed.model.network));
        ASSERT_NE(fast, nullptr);
        EXPECT_NEAR(fast->log_evidence, std::log(static_cast<double>(slow.evidence)), 1e-10);
        for (std::size_t c = 0; c < slow.cause.size(); ++c)
            if (fast->there[c] != not_spoken_of) {
                ++compared;
                EXPECT_NEAR(fast->there[c], static_cast<double>(slow.cause[c] / slow.evidence),
                            1e-10);
            }
    });
    EXPECT_GT(compared, cases(400));
}

// Where the cause of a trigger is there, the findings come about with P_l if it surely fires with
// level l. So P(it fired so | e) = w_l (P_l - P(absent, e)) / P(e).
TEST(Expected, TriggersFiredAsOftenAsBayesSays) {
    std::uint64_t compared = 0;
    each_added_up({cases(400)}, 6, [&](const Posed& posed, const Added& slow) {
        if (!posed.it.evidence.repairs.empty())
            return;
        const std::vector<double>& point = point_values(*posed.model.network);
        Expecting expecting(posed.model);
        const Expected* const fast = expecting.of(posed.it.evidence, point);
        ASSERT_NE(fast, nullptr);
        const auto all = static_cast<double>(slow.evidence);
        for (const SignNode& sign : posed.model.network->signs)
            for (const ShowLink& link : sign.shown_by) {
                if (link.high.empty() || fast->there[link.from] == not_spoken_of)
                    continue;
                double fired = 0;
                for (const StrengthIndex l : link.high)
                    fired += point[l] * fast->slope[l];
                const double there = fast->there[link.from];
                const double absent = 1 - there;
                for (const StrengthIndex l : link.high) {
                    std::vector<double> sure = point;
                    for (const StrengthIndex other : link.high)
                        sure[other] = other == l ? 1 : 0;
                    const double by_bayes = point[l] * (chance_under(posed, sure) / all - absent);
                    ++compared;
                    EXPECT_NEAR(point[l] * (there + fast->slope[l] - fired), by_bayes, 1e-9);
                }
            }
    });
    EXPECT_GT(compared, cases(400) / 4);
}

// The chance that its settings bring a cause, by hand: P(clay | it shows) from the two choices.
TEST(Expected, ChancesUnderAnUnknownSettingAreThoseOnPaper) {
    const Knowledge knowledge = knowledge_of(R"(
        [setting.soil]
        title = "Soil"
        ask = "What soil?"
        choices = { sand = 0.75, clay = 0.25 }
        [cause.a]
        title = "A"
        present = "100 in 1000"
        raised_by = [{ when = { soil = "clay" }, times = 9 }]
        shows = { s = 0.8 }
        [symptom.s]
        title = "S"
        seen_anyway = 0.1
    )");
    const Network network = compile(knowledge);
    const Model model{&knowledge, &network};
    Expecting expecting(model);
    const Expected* const it = expecting.of(
        {{}, {}, {{SignId(0), 1, {}, {}, Via::sure, {}, 0}}, {}, {}}, point_values(network));
    ASSERT_NE(it, nullptr);
    // Odds 1 to 9, on clay 1 to 1. P(s | a) = 1 - 0.9 * 0.2 = 0.82, P(s | not a) = 0.1.
    const double sand = 0.75 * (0.1 * 0.82 + 0.9 * 0.1);
    const double clay = 0.25 * (0.5 * 0.82 + 0.5 * 0.1);
    EXPECT_NEAR(it->log_evidence, std::log(sand + clay), 1e-12);
    EXPECT_NEAR(it->chance[0], (sand * 0.1 + clay * 0.5) / (sand + clay), 1e-12);
    EXPECT_NEAR(it->there[0], (0.75 * 0.1 + 0.25 * 0.5) * 0.82 / (sand + clay), 1e-12);
}

}  // namespace
}  // namespace knockwell::laws
