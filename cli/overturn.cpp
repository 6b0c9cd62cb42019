#include "cli/overturn.hpp"

#include "advice/looks.hpp"
#include "advice/rules.hpp"
#include "advice/tripped.hpp"

#include <algorithm>
#include <utility>

namespace knockwell {
namespace {

constexpr double worth_naming = 0.001;

std::vector<CauseId> all_causes(const Model& model) {
    std::vector<CauseId> all;
    for (std::size_t i = 0; i < model.knowledge->causes.size(); ++i)
        all.emplace_back(i);
    return all;
}

}  // namespace

std::vector<Overturn> overturns_of(const Model& model, const Evidence& evidence,
                                   const Posterior& now, CauseId cause, std::size_t most) {
    std::vector<LookLeft> left = looks_left(*model.knowledge, evidence);
    std::erase_if(left,
                  [&](const LookLeft& it) { return cannot_apply(it.step.only_if, evidence); });
    std::vector<Look> looks;
    for (const LookLeft& it : left)
        looks.push_back(it.look);
    const auto outcomes = predict_all(model, evidence, looks, now.cause, all_causes(model));
    const bool first_now = first_spoken_of(now.cause, spoken_of(model, evidence)) == cause;
    std::vector<Overturn> all;
    for (std::size_t i = 0; i < left.size(); ++i) {
        Overturn found;
        for (const Outcome& outcome : outcomes[i]) {
            if (outcome.cause.empty() || outcome.p < worth_naming)
                continue;
            const CauseId first = first_spoken_of(
                outcome.cause, spoken_of(model, with_outcome(evidence, looks[i], outcome)));
            if ((first == cause) == first_now)
                continue;
            found.all += outcome.p;
            if (outcome.p <= found.p)
                continue;
            found.p = outcome.p;
            found.found = found_at(*model.knowledge, left[i].look.at, outcome);
            found.first = first;
            found.first_p = outcome.cause[first.index()];
        }
        if (found.all > 0) {
            found.look = left[i].step;
            all.push_back(std::move(found));
        }
    }
    std::stable_sort(all.begin(), all.end(),
                     [](const Overturn& a, const Overturn& b) { return a.all > b.all; });
    if (all.size() > most)
        all.resize(most);
    return all;
}

}  // namespace knockwell
