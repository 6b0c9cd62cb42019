#include "beliefs/run.hpp"
#include "network/graph.hpp"

#include <algorithm>
#include <cmath>
#include <set>

namespace knockwell {
namespace {

Evidence without_finding(Evidence evidence, std::size_t which) {
    evidence.findings.erase(evidence.findings.begin() + static_cast<std::ptrdiff_t>(which));
    return evidence;
}

Evidence only_finding(Evidence evidence, std::size_t which) {
    evidence.findings = {evidence.findings[which]};
    evidence.causes.clear();
    return evidence;
}

/// What was set is not evidence: it is the ground that everything stands on.
Evidence only_settings(Evidence evidence) {
    evidence.findings.clear();
    evidence.causes.clear();
    return evidence;
}

Evidence only_cause(Evidence evidence, std::size_t which) {
    evidence.findings.clear();
    evidence.causes = {evidence.causes[which]};
    return evidence;
}

double log_odds(double p) { return std::log10(p) - std::log10(1 - p); }

}  // namespace

double unlisted(const Model& model, const Evidence& evidence) {
    const bool any =
        std::any_of(evidence.findings.begin(), evidence.findings.end(),
                    [&](const Finding& f) { return says_present(model, evidence, f); });
    if (!any)
        return 0;
    const double all = log_chance(model, evidence);
    if (std::isinf(all))
        return 0;
    return std::min(1.0, std::exp(log_chance(model, evidence, {.leaks_only = true}) - all));
}

Misfit misfit(const Model& model, const Evidence& evidence) {
    Misfit result;
    const double all = log_chance(model, evidence);
    const double nothing = log_chance(model, only_settings(evidence));
    result.overall = -all + nothing;
    for (std::size_t f = 0; f < evidence.findings.size(); ++f) {
        const double alone = log_chance(model, only_finding(evidence, f));
        result.overall += alone - nothing;
        result.each.push_back(alone - nothing + log_chance(model, without_finding(evidence, f)) -
                              all);
    }
    for (std::size_t c = 0; c < evidence.causes.size(); ++c)
        result.overall += log_chance(model, only_cause(evidence, c)) - nothing;
    return result;
}

std::vector<std::vector<double>> weights(const Model& model, const Evidence& evidence) {
    const std::vector<double> strengths = point_values(*model.network);
    std::vector<std::vector<double>> result(evidence.findings.size(),
                                            std::vector<double>(model.network->causes.size(), 0.0));
    const Run with = run(model, evidence, strengths);
    if (!with.ok())
        return result;
    const std::vector<double> now = cause_chances(with);
    for (std::size_t f = 0; f < evidence.findings.size(); ++f) {
        const Run without = run(model, without_finding(evidence, f), strengths);
        if (!without.ok())
            continue;
        const std::vector<double> before = cause_chances(without);
        for (std::size_t c = 0; c < now.size(); ++c)
            if (now[c] != before[c])
                result[f][c] = 10 * (log_odds(now[c]) - log_odds(before[c]));
    }
    return result;
}

std::vector<CauseId> explainers(const Model& model, const Evidence& evidence) {
    const Network& network = *model.network;
    Arrows turned;
    for (const auto& [from, to] : arrows_between_causes(network))
        turned.emplace_back(to, from);
    std::set<std::uint32_t> able;
    bool any = false;
    for (const Finding& finding : evidence.findings) {
        if (!says_present(model, evidence, finding))
            continue;
        any = true;
        for (const ShowLink& link : network.signs[std::get<SignId>(finding.what).index()].shown_by)
            if (!able.contains(link.from))
                for (const std::uint32_t c : reach(network.causes.size(), turned, link.from))
                    able.insert(c);
    }
    std::vector<CauseId> causes;
    for (std::uint32_t c = 0; c < network.causes.size(); ++c)
        if (!any || able.contains(c))
            causes.emplace_back(c);
    return causes;
}

}  // namespace knockwell
