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
                                   const Posterior& now, const std::vector<double>& own,
                                   CauseId cause, std::size_t most) {
    std::vector<LookLeft> left = looks_left(*model.knowledge, evidence);
    std::erase_if(left,
                  [&](const LookLeft& it) { return cannot_apply(it.step.only_if, evidence); });
    std::vector<Look> looks;
    for (const LookLeft& it : left)
        looks.push_back(it.look);
    const auto outcomes = predict_all(model, evidence, looks, now.cause, all_causes(model));
    const auto first = [&](const std::vector<double>& then, const Evidence& known) {
        return first_of(*model.knowledge, then, now.cause, own, spoken_of(model, known));
    };
    const bool first_now = first(now.cause, evidence) == cause;
    std::vector<Overturn> all;
    for (std::size_t i = 0; i < left.size(); ++i) {
        Overturn found;
        for (const Outcome& outcome : outcomes[i]) {
            if (outcome.cause.empty() || outcome.p < worth_naming)
                continue;
            const CauseId then = first(outcome.cause, with_outcome(evidence, looks[i], outcome));
            if ((then == cause) == first_now)
                continue;
            found.all += outcome.p;
            if (outcome.p <= found.p)
                continue;
            found.p = outcome.p;
            found.found = found_at(*model.knowledge, left[i].look.at, outcome);
            found.first = then;
            found.first_p = outcome.cause[then.index()];
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
