#include "beliefs/outside.hpp"
#include "beliefs/run.hpp"

#include <algorithm>
#include <limits>

namespace knockwell {
namespace {

std::vector<std::vector<double>> setting_chances(const Model& model, const Evidence& evidence,
                                                 const Run& run) {
    std::vector<std::vector<double>> chances;
    for (std::size_t s = 0; s < model.network->settings.size(); ++s) {
        const Var var = run.built.setting[s];
        std::vector<double>& of = chances.emplace_back(model.network->settings[s].states, 0.0);
        if (var == no_var)
            of[evidence.settings.at(SettingId(s))] = 1;
        for (std::size_t a = 0; var != no_var && a < of.size(); ++a)
            of[a] = run.shares.of(var, a);
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
        return log_chance(model_, left_) == -std::numeric_limits<double>::infinity();
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

std::vector<CauseId> by_chance(const Posterior& now) {
    std::vector<CauseId> order;
    for (std::size_t i = 0; i < now.cause.size(); ++i)
        order.emplace_back(i);
    std::stable_sort(order.begin(), order.end(), [&](CauseId a, CauseId b) {
        return now.cause[a.index()] > now.cause[b.index()];
    });
    return order;
}

std::vector<CauseId> spoken_by_chance(const Model& model, const Evidence& evidence,
                                      const Posterior& now) {
    const std::vector<bool> spoken = spoken_of(model, evidence);
    std::vector<CauseId> order = by_chance(now);
    std::erase_if(order, [&](CauseId id) { return !spoken[id.index()]; });
    return order;
}

std::shared_ptr<PlanCache> make_plan_cache() { return std::make_shared<PlanCache>(); }

Run run(const Model& model, const Evidence& evidence, std::span<const double> strengths,
        const BuildChoice& choice) {
    Run result;
    result.built = build(model, evidence, strengths, choice);
    const SumParts parts = parts_of(result.built.sum, *model.plans);
    result.width = std::max(parts.width(), result.built.refused);
    result.cost = parts.cost();
    result.too_wide = result.built.too_wide() || result.width > widest;
    if (!result.too_wide)
        result.shares = shares_of(result.built.sum, parts);
    return result;
}

LogChance log_chance_and_cost(const Model& model, const Evidence& evidence,
                              const BuildChoice& choice) {
    const Built built = build(model, evidence, point_values(*model.network), choice);
    const SumParts parts = parts_of(built.sum, *model.plans);
    const bool too_wide = built.too_wide() || parts.width() > widest;
    return {too_wide ? std::numeric_limits<double>::quiet_NaN() : log_sum_of(built.sum, parts),
            parts.cost()};
}

std::vector<double> cause_chances(const Model& model, const Evidence& evidence,
                                  std::span<const double> strengths, const Run& run) {
    const ShareOf<double> share = [&](Var var, std::size_t value) {
        return run.shares.of(var, value);
    };
    return carry_down(model, evidence, strengths, run.built, share);
}

Answer posterior(const Model& model, const Evidence& evidence, std::span<const double> strengths) {
    const Run result =
        run(model, evidence, strengths, {.causes = BuildChoice::Causes::and_inexact});
    if (result.too_wide)
        return TooWide{result.width};
    if (!result.shares.possible)
        return Clash(model, evidence).find();
    return Posterior{cause_chances(model, evidence, strengths, result),
                     setting_chances(model, evidence, result), result.shares.log_sum};
}

Answer posterior(const Model& model, const Evidence& evidence) {
    return posterior(model, evidence, point_values(*model.network));
}

}  // namespace knockwell
