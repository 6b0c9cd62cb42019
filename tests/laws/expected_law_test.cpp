// With what chance each trigger fired: as the chance of the findings changes where the trigger is
// sure to fire, and as the sum over all worlds has the causes and the settings.
#include "beliefs/expected.hpp"
#include "beliefs/installations.hpp"
#include "laws/asked.hpp"
#include "support/knowledge_of.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <random>

namespace knockwell::laws {
namespace {

/// Slopes as far as they mean something: shares of which nothing is left cannot all grow.
std::vector<double> meant(const Network& network, std::vector<double> slope) {
    const auto centre = [&](StrengthRange shares) {
        double all = 0;
        double mean = 0;
        for (const StrengthIndex i : shares) {
            all += network.point[i];
            mean += network.point[i] * slope[i];
        }
        for (const StrengthIndex i : shares)
            slope[i] -= all > 1 - 1e-12 ? mean : 0;
    };
    for (const SignNode& sign : network.signs)
        for (const ShowLink& link : sign.shown_by) {
            centre(link.high);
            centre(link.low);
        }
    return slope;
}

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

/// Installations of each of which some settings are known, one in two.
std::vector<Installations::Settings> some_installations(const Knowledge& knowledge,
                                                        std::uint64_t seed) {
    std::mt19937_64 dice(seed);
    std::vector<Installations::Settings> all(19);
    for (Installations::Settings& known : all)
        for (std::size_t s = 0; s < knowledge.settings.size(); ++s)
            if (dice() % 2 == 0)
                known[SettingId(s)] = dice() % knowledge.settings[s].states.size();
    return all;
}

/// As often as each counts, and more where it is likelier, so that the chance is asked for.
double counts(std::size_t which, double log_chance) {
    return 1 + static_cast<double>(which % 5) + std::exp(log_chance);
}

/// Adds `times` of `part`; what is not spoken of stays so.
void add_times(std::vector<double>& into, double times, const std::vector<double>& part) {
    if (into.empty())
        into.assign(part.size(), not_spoken_of);
    for (std::size_t i = 0; i < part.size(); ++i)
        if (part[i] != not_spoken_of)
            into[i] = times * part[i] + (into[i] == not_spoken_of ? 0 : into[i]);
}

Expected one_after_the_other(const Posed& posed, const std::vector<Installations::Settings>& all) {
    const std::vector<double>& point = point_values(*posed.model.network);
    Expecting expecting(posed.model);
    Expected sum;
    sum.times = 0;
    sum.slope.assign(point.size(), 0);
    for (std::size_t i = 0; i < all.size(); ++i) {
        Evidence evidence = posed.it.evidence;
        evidence.settings = all[i];
        const Expected* const one = expecting.of(evidence, point);
        if (one == nullptr)
            continue;
        const double times = counts(i, one->log_evidence);
        sum.times += times;
        for (std::size_t s = 0; s < point.size(); ++s)
            sum.slope[s] += times * one->slope[s];
        add_times(sum.there, times, one->there);
        add_times(sum.chance, times, one->chance);
        add_times(sum.open, times, one->open);
    }
    return sum;
}

Expected all_at_once(const Posed& posed, const std::vector<Installations::Settings>& all) {
    Installations installations(posed.model, posed.it.evidence);
    std::map<std::size_t, std::vector<std::size_t>> groups;
    for (std::size_t i = 0; i < all.size(); ++i)
        groups[installations.group_of(all[i])].push_back(i);
    installations.begin(point_values(*posed.model.network));
    for (const auto& group : groups) {
        const std::vector<std::size_t>& which = group.second;
        for (std::size_t from = 0; from < which.size(); from += Installations::at_once) {
            std::vector<const Installations::Settings*> known;
            for (std::size_t i = from; i < which.size() && known.size() < Installations::at_once;
                 ++i)
                known.push_back(&all[which[i]]);
            EXPECT_TRUE(installations.add(known, [&](std::size_t i, double log_chance) {
                return counts(which[from + i], log_chance);
            }));
        }
    }
    return installations.sum();
}

void expect_near(const std::vector<double>& a, const std::vector<double>& b) {
    ASSERT_EQ(a.size(), b.size());
    for (std::size_t i = 0; i < a.size(); ++i)
        EXPECT_NEAR(a[i], b[i], 1e-9 * (1 + std::abs(b[i]))) << i;
}

TEST(Installations, SayTogetherWhatTheySayOneAfterTheOther) {
    std::uint64_t compared = 0;
    for (std::uint64_t seed = 1; seed <= cases(8000); ++seed) {
        Posed posed(seed);
        const std::vector<Setting>& settings = posed.it.knowledge.settings;
        if (settings.empty() || std::any_of(settings.begin(), settings.end(),
                                            [](const Setting& it) { return it.table; }))
            continue;
        posed.it.evidence.settings.clear();
        posed.it.evidence.quantities.clear();
        const auto all = some_installations(posed.it.knowledge, seed);
        const Expected slow = one_after_the_other(posed, all);
        const Expected fast = all_at_once(posed, all);
        EXPECT_NEAR(fast.times, slow.times, 1e-9 * slow.times) << posed.label();
        if (!(slow.times > 0))
            continue;
        ++compared;
        expect_near(fast.there, slow.there);
        expect_near(fast.chance, slow.chance);
        expect_near(fast.open, slow.open);
        // Of the shares of settings they do not tell.
        std::vector<double> told = slow.slope;
        for (const SettingNode& setting : posed.network.settings)
            for (const StrengthIndex i : setting.prior)
                told[i] = fast.slope[i];
        expect_near(meant(posed.network, fast.slope), meant(posed.network, told));
        ASSERT_FALSE(testing::Test::HasFailure()) << posed.label();
    }
    EXPECT_GT(compared, cases(8000) / 20);
}

// Of what is said of a cause and wrong one time in so many, a part is as good as nothing said, and
// the rest as good as known.
TEST(Expected, WhatIsSaidOfACauseIsHalfKnown) {
    std::uint64_t compared = 0;
    const double wrongly = 0.3;
    each_possible({cases(1000)}, [&](const Posed& posed, const Posterior&) {
        const std::vector<double>& point = point_values(*posed.model.network);
        const std::uint64_t dice = posed.seed * 7919;
        const KnownCause said{CauseId(dice % posed.it.knowledge.causes.size()), dice % 3 != 0,
                              dice / 3 % (posed.it.evidence.repairs.size() + 1)};
        Expecting expecting(posed.model);
        const Expected one = *expecting.of(posed.it.evidence, point, {{{said, 1}}, 1});
        const Expected* const fast = expecting.of(posed.it.evidence, point, {{{said, wrongly}}, 1});
        ASSERT_NE(fast, nullptr) << posed.label();
        const Expected both = *fast;
        Evidence known = posed.it.evidence;
        known.causes.push_back(said);
        const Expected* const sure = expecting.of(known, point);
        const double of_one = wrongly * std::exp(one.log_evidence - both.log_evidence);
        const double of_sure =
            sure == nullptr ? 0 : (1 - wrongly) * std::exp(sure->log_evidence - both.log_evidence);
        EXPECT_NEAR(of_one + of_sure, 1, 1e-9) << posed.label();
        if (sure == nullptr)
            return;
        ++compared;
        const auto mean = [&](double a, double b) { return of_one * a + of_sure * b; };
        std::vector<double> slope = both.slope;
        for (std::size_t i = 0; i < point.size(); ++i)
            slope[i] -= mean(one.slope[i], sure->slope[i]);
        slope = meant(posed.network, slope);
        for (std::size_t i = 0; i < point.size(); ++i)
            EXPECT_NEAR(slope[i], 0, 1e-8 * (1 + std::abs(both.slope[i]))) << posed.label();
        for (std::size_t c = 0; c < both.there.size(); ++c)
            if (sure->there[c] != not_spoken_of) {
                EXPECT_NEAR(both.there[c], mean(one.there[c], sure->there[c]), 1e-9);
                EXPECT_NEAR(both.chance[c], mean(one.chance[c], sure->chance[c]), 1e-9);
                EXPECT_NEAR(both.open[c], mean(one.open[c], sure->open[c]), 1e-9);
            }
    });
    EXPECT_GT(compared, cases(1000) / 4);
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
