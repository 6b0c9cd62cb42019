#include "beliefs/run.hpp"

#include <cmath>
#include <limits>

namespace knockwell {
namespace {

std::vector<std::vector<double>> setting_chances(const Model& model, const Evidence& evidence,
                                                 const Run& run) {
    std::vector<std::vector<double>> chances;
    for (std::size_t s = 0; s < model.network->settings.size(); ++s) {
        const Var var = run.built.setting[s];
        if (var != no_var) {
            chances.push_back(run.shares.value[var]);
            continue;
        }
        chances.emplace_back(model.network->settings[s].states, 0.0);
        chances.back()[evidence.settings.at(SettingId(s))] = 1;
    }
    return chances;
}

/// What one may take away from the evidence, one thing at a time.
class Clash {
public:
    Clash(const Model& model, const Evidence& evidence) : model_(model), left_(evidence) {}

    /// Deletion filter: whatever can go while the rest stays impossible, goes. What is left is
    /// irreducible.
    Impossible find() {
        std::vector<std::size_t> findings = thin(left_.findings);
        std::vector<std::size_t> causes = thin(left_.causes);
        Impossible clash{std::move(findings), std::move(causes), {}};
        const std::map<SettingId, std::size_t> settings = left_.settings;
        for (const auto& [setting, state] : settings) {
            left_.settings.erase(setting);
            if (still_impossible())
                continue;
            left_.settings.emplace(setting, state);
            clash.settings.push_back(setting);
        }
        return clash;
    }

private:
    [[nodiscard]] bool still_impossible() const {
        return !std::isfinite(log_chance(model_, left_));
    }

    template <class Item>
    std::vector<std::size_t> thin(std::vector<Item>& items) {
        std::vector<std::size_t> kept;
        std::size_t at = 0;
        for (std::size_t original = 0, count = items.size(); original < count; ++original) {
            const Item taken = items[at];
            items.erase(items.begin() + static_cast<std::ptrdiff_t>(at));
            if (still_impossible())
                continue;
            items.insert(items.begin() + static_cast<std::ptrdiff_t>(at), taken);
            kept.push_back(original);
            ++at;
        }
        return kept;
    }

    const Model& model_;
    Evidence left_;
};

}  // namespace

std::shared_ptr<PlanCache> make_plan_cache() { return std::make_shared<PlanCache>(); }

Run run(const Model& model, const Evidence& evidence, std::span<const double> strengths,
        const BuildChoice& choice) {
    Run result;
    result.built = build(model, evidence, strengths, choice);
    const std::shared_ptr<const Plan> plan = model.plans->plan(result.built.sum);
    result.width = plan->width;
    result.too_wide = result.built.too_wide || plan->width > widest;
    if (!result.too_wide)
        result.shares = shares_of(result.built.sum, *plan);
    return result;
}

double log_chance(const Model& model, const Evidence& evidence, BuildChoice choice) {
    choice.whole = false;
    const std::vector<double> strengths = point_values(*model.network);
    const Built built = build(model, evidence, strengths, choice);
    const std::shared_ptr<const Plan> plan = model.plans->plan(built.sum);
    if (built.too_wide || plan->width > widest)
        return std::numeric_limits<double>::quiet_NaN();
    return log_sum_of(built.sum, *plan);
}

std::vector<double> cause_chances(const Run& run) {
    std::vector<double> chances;
    for (const std::vector<Var>& by_stage : run.built.cause)
        chances.push_back(by_stage.empty() ? 0 : run.shares.value[by_stage.back()][1]);
    return chances;
}

Answer posterior(const Model& model, const Evidence& evidence, std::span<const double> strengths) {
    const Run result = run(model, evidence, strengths);
    if (result.too_wide)
        return TooWide{result.width};
    if (!result.shares.possible)
        return Clash(model, evidence).find();
    return Posterior{cause_chances(result), setting_chances(model, evidence, result),
                     result.shares.log_sum};
}

Answer posterior(const Model& model, const Evidence& evidence) {
    return posterior(model, evidence, point_values(*model.network));
}

}  // namespace knockwell
