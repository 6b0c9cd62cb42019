#include "cli/effects.hpp"

#include "advice/tripped.hpp"

#include <algorithm>
#include <cmath>

namespace knockwell {
namespace {

constexpr std::size_t most_moved = 3;
constexpr double worth_moving = 0.005;  // what moves less is not spoken of

double size_of_move(const Moved& it) { return std::abs(it.after - it.before); }

Effect effect_of(const Model& model, const Evidence& evidence, const Look& look,
                 const Posterior& now, const std::vector<double>& own, const Outcome& outcome) {
    Effect effect;
    effect.found = found_at(*model.knowledge, look.at, outcome);
    effect.p = outcome.p;
    effect.first = first_of(*model.knowledge, outcome.cause, now.cause, own,
                            spoken_of(model, with_outcome(evidence, look, outcome)));
    effect.first_p = outcome.cause[effect.first.index()];
    for (std::size_t i = 0; i < outcome.cause.size(); ++i)
        effect.moved.push_back({CauseId(i), now.cause[i], outcome.cause[i]});
    std::stable_sort(effect.moved.begin(), effect.moved.end(), [](const Moved& a, const Moved& b) {
        return size_of_move(a) > size_of_move(b);
    });
    std::erase_if(effect.moved, [](const Moved& it) { return size_of_move(it) < worth_moving; });
    effect.moved.resize(std::min(effect.moved.size(), most_moved));
    return effect;
}

}  // namespace

std::vector<Effect> effects_of(const Model& model, const Evidence& evidence, const Posterior& now,
                               const std::vector<double>& own, const Look& look) {
    std::vector<Effect> effects;
    for (const Outcome& outcome : predict(model, evidence, look))
        if (!outcome.cause.empty())
            effects.push_back(effect_of(model, evidence, look, now, own, outcome));
    std::stable_sort(effects.begin(), effects.end(),
                     [](const Effect& a, const Effect& b) { return a.p > b.p; });
    return effects;
}

}  // namespace knockwell
