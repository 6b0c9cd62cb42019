#include "beliefs/entropy.hpp"
#include "beliefs/run.hpp"

#include <algorithm>
#include <cmath>

namespace knockwell {
namespace {

/// P(. | e) scaled by the chance of something: that chance, and for each cause the joint chance
/// with it.
struct Mass {
    double p = 0;
    std::vector<double> cause;
};

Mass operator-(Mass a, const Mass& b) {
    a.p = std::max(0.0, a.p - b.p);
    for (std::size_t c = 0; c < a.cause.size(); ++c)
        a.cause[c] = std::max(0.0, a.cause[c] - b.cause[c]);
    return a;
}

std::size_t values_of(const Model& model, const Findable& what) {
    if (const auto* sign = std::get_if<SignId>(&what))
        return (*model.knowledge)[*sign].value_count();
    return model.network->settings[std::get<SettingId>(what).index()].states;
}

class Prediction {
public:
    Prediction(const Model& model, const Evidence& evidence, const Look& look, BuildChoice choice)
        : model_(model), evidence_(evidence), look_(look), choice_(std::move(choice)),
          strengths_(point_values(*model.network)) {}

    std::vector<Outcome> outcomes() {
        const Run now = run(model_, evidence_, strengths_, choice_);
        if (!now.ok())
            return {};
        log_now_ = now.shares.log_sum;
        std::vector<std::size_t> values;
        split(values, {1.0, cause_chances(model_, evidence_, strengths_, now)});
        if (too_wide_)
            return {};
        for (Outcome& outcome : outcomes_)
            for (double& c : outcome.cause)
                c = std::min(1.0, c / outcome.p);
        return std::move(outcomes_);
    }

private:
    /// The last value of a sign is what the others leave, unless that is too little to keep its
    /// digits.
    void split(std::vector<std::size_t>& values, const Mass& all) {
        if (values.size() == look_.at.size()) {
            if (all.p > 0)
                outcomes_.push_back({values, all.p, all.cause});
            return;
        }
        const Findable what = look_.at[values.size()];
        const std::size_t count = values_of(model_, what);
        Mass left = all;
        for (std::size_t value = 0; value < count; ++value) {
            evidence_.findings.push_back(finding_of(look_, what, value, evidence_));
            const bool by_difference = value + 1 == count && left.p > 1e-4 * all.p;
            const Mass here = by_difference ? left : measured();
            if (!by_difference)
                left = std::move(left) - here;
            values.push_back(value);
            if (here.p > 0)
                split(values, here);
            values.pop_back();
            evidence_.findings.pop_back();
        }
    }

    /// An outcome that is too wide to add up is not one that cannot happen: it spoils the whole.
    [[nodiscard]] Mass measured() {
        const Run result = run(model_, evidence_, strengths_, choice_);
        too_wide_ = too_wide_ || result.too_wide;
        if (!result.ok())
            return {0, std::vector<double>(model_.network->causes.size(), 0.0)};
        Mass mass{std::exp(result.shares.log_sum - log_now_),
                  cause_chances(model_, evidence_, strengths_, result)};
        for (double& c : mass.cause)
            c *= mass.p;
        return mass;
    }

    const Model& model_;
    Evidence evidence_;
    const Look& look_;
    BuildChoice choice_;
    std::span<const double> strengths_;
    double log_now_ = 0;
    bool too_wide_ = false;
    std::vector<Outcome> outcomes_;
};

}  // namespace

std::vector<Outcome> predict(const Model& model, const Evidence& evidence, const Look& look) {
    return Prediction(model, evidence, look, {.causes = BuildChoice::Causes::and_inexact})
        .outcomes();
}

std::vector<Outcome> predict_some(const Model& model, const Evidence& evidence, const Look& look,
                                  std::span<const double> now, std::span<const CauseId> causes) {
    BuildChoice choice;
    for (const CauseId c : causes)
        choice.also.push_back(c.value);
    std::vector<Outcome> outcomes = Prediction(model, evidence, look, std::move(choice)).outcomes();
    for (Outcome& outcome : outcomes) {
        std::vector<double> all(now.begin(), now.end());
        for (const CauseId c : causes)
            all[c.index()] = outcome.cause[c.index()];
        outcome.cause = std::move(all);
    }
    return outcomes;
}

double bits(std::span<const Outcome> outcomes, std::span<const double> now,
            std::span<const CauseId> causes) {
    double sum = 0;
    for (const CauseId c : causes) {
        sum += entropy_of(now[c.index()]);
        for (const Outcome& outcome : outcomes)
            sum -= outcome.p * entropy_of(outcome.cause[c.index()]);
    }
    return std::max(0.0, sum);
}

}  // namespace knockwell
