#include "trials/tally.hpp"

#include <cmath>

namespace knockwell::trials {
namespace {

// Of the network's redraws, which have seeds of their own.
constexpr std::uint64_t seed_of_redraws = 7;

void add_to(Tally& tally, const Played& played, std::uint64_t seed) {
    tally.minutes.push_back(played.minutes);
    tally.looks += played.looks;
    tally.repairs += played.repairs;
    tally.last_resorts += played.last_resort ? 1 : 0;
    tally.called_back += played.called_back ? 1 : 0;
    for (const std::string& rule : played.unsafe)
        tally.unsafe.push_back("house " + std::to_string(seed) + ", " + rule);
}

}  // namespace

Mean mean_of(const std::vector<double>& values) {
    const auto n = static_cast<double>(values.size());
    if (values.empty())
        return {};
    double sum = 0;
    for (const double value : values)
        sum += value;
    const double mean = sum / n;
    double squares = 0;
    for (const double value : values)
        squares += (value - mean) * (value - mean);
    return {mean, n > 1 ? 1.96 * std::sqrt(squares / (n - 1) / n) : 0};
}

Mean mean_difference(const std::vector<double>& a, const std::vector<double>& b) {
    std::vector<double> differences;
    for (std::size_t i = 0; i < a.size(); ++i)
        differences.push_back(a[i] - b[i]);
    return mean_of(differences);
}

Outcomes run(const Trials& trials, const std::vector<std::unique_ptr<Follower>>& followers,
             const Tell& tell) {
    const Model& model = *trials.model;
    Outcomes outcomes;
    for (const auto& follower : followers)
        outcomes.tallies.emplace_back().name = follower->name();
    std::size_t played = 0;
    for (std::uint64_t seed = trials.seed; played < trials.calls; ++seed) {
        ++outcomes.houses;
        const auto strengths = trials.redrawn ? redraw(*model.network, seed_of_redraws,
                                                       static_cast<std::uint32_t>(seed))
                                              : point_values(*model.network);
        const House house(model, strengths, seed);
        const auto call = call_of(*model.knowledge, house, seed);
        if (!call)
            continue;
        if (!call->listed) {
            ++outcomes.unlisted;
            continue;
        }
        ++played;
        outcomes.several += call->causes > 1 ? 1U : 0U;
        for (std::size_t i = 0; i < followers.size(); ++i) {
            const Played it =
                play(model, *trials.texts, house, *call, trials.settings, *followers[i]);
            add_to(outcomes.tallies[i], it, seed);
            if (tell)
                tell(*call, house, *followers[i], it);
        }
    }
    return outcomes;
}

}  // namespace knockwell::trials
