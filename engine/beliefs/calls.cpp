#include "beliefs/calls.hpp"

#include <algorithm>
#include <cmath>

namespace knockwell {
Evidence nobody_calls(const Knowledge& knowledge) {
    Evidence quiet;
    for (std::size_t i = 0; i < knowledge.signs.size(); ++i) {
        if (!knowledge.signs[i].symptom || knowledge.signs[i].circumstance)
            continue;
        Finding absent;
        absent.what = SignId(i);
        absent.value = 0;
        absent.via = Via::sure;
        quiet.findings.push_back(absent);
    }
    return quiet;
}

std::optional<std::vector<double>> shares_of_calls(const Model& model) {
    const Answer before = posterior(model, {});
    const Answer after = posterior(model, nobody_calls(*model.knowledge));
    const auto* all = std::get_if<Posterior>(&before);
    if (all == nullptr || std::holds_alternative<TooWide>(after))
        return std::nullopt;
    // Where the symptoms cannot all be absent, every installation calls.
    const auto* quiet = std::get_if<Posterior>(&after);
    const double none = quiet == nullptr ? 0 : std::exp(quiet->log_evidence - all->log_evidence);
    if (!(none < 1))
        return std::nullopt;
    std::vector<double> shares = all->cause;
    for (std::size_t c = 0; c < shares.size(); ++c) {
        const double unheard = quiet == nullptr ? 0 : quiet->cause[c] * none;
        shares[c] = std::clamp((all->cause[c] - unheard) / (1 - none), 0.0, 1.0);
    }
    return shares;
}

}  // namespace knockwell
