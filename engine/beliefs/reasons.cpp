#include "beliefs/cases.hpp"
#include "beliefs/run.hpp"
#include "network/graph.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
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

constexpr double no_number = std::numeric_limits<double>::quiet_NaN();

/// The share `part` of `all`, both logarithms; nothing where there is no such share.
std::optional<double> share(double part, double all) {
    if (std::isnan(part) || !std::isfinite(all))
        return std::nullopt;
    return std::min(1.0, std::exp(part - all));
}

// ---- what a cause can show

/// A value that has this much of the likelihood of the likeliest one may be what is there
/// (judgement; a reading near an edge may belong to either level).
constexpr double may_be_there = 0.05;

void add_values(const std::vector<double>& likelihood, std::set<std::size_t>& values) {
    const double most = *std::max_element(likelihood.begin(), likelihood.end());
    for (std::size_t v = 1; v < likelihood.size(); ++v)
        if (likelihood[v] > 0 && likelihood[v] >= may_be_there * most)
            values.insert(v);
}

/// The values other than normal that the finding may mean, before any channel; those of a reading
/// under any choice of the settings that are not known.
std::set<std::size_t> values_found(const Model& model, const Evidence& evidence,
                                   const Finding& finding) {
    const Knowledge& knowledge = *model.knowledge;
    const Sign& sign = knowledge[std::get<SignId>(finding.what)];
    std::set<std::size_t> values;
    if (!finding.reading) {
        add_values(plain_likelihood(finding, sign.value_count()), values);
        return values;
    }
    Cases cases(knowledge, evidence, givers_of(knowledge, evidence, sign));
    for (std::size_t which = 0; which < cases.count(); ++which) {
        cases.choose(which);
        add_values(level_likelihood(knowledge, finding, cases.quantities()), values);
    }
    return values;
}

/// Whether the cause behind the link can give one of the values (Sign::value_name).
bool can_give(const Network& network, const ShowLink& link, std::uint32_t high_levels,
              const std::set<std::size_t>& values) {
    const auto ever = [&](StrengthRange side, std::size_t level) {
        return level < side.size() && network.strengths[side[level]].mean > 0;
    };
    return std::any_of(values.begin(), values.end(), [&](std::size_t value) {
        return value <= high_levels ? ever(link.high, value - 1)
                                    : ever(link.low, value - 1 - high_levels);
    });
}

}  // namespace

std::optional<double> unlisted(const Model& model, const Evidence& evidence,
                               std::optional<double> log_evidence) {
    const bool any =
        std::any_of(evidence.findings.begin(), evidence.findings.end(),
                    [&](const Finding& f) { return shows_trouble(model, evidence, f); });
    if (!any)
        return 0;
    return share(log_chance(model, evidence, {.leaks_only = true}),
                 log_evidence ? *log_evidence : log_chance(model, evidence));
}

std::optional<double> chance_of(const Model& model, const Evidence& evidence, SignId sign,
                                std::span<const std::size_t> values) {
    Finding finding;
    finding.what = sign;
    finding.via = Via::sure;
    finding.stage = evidence.repairs.size();
    finding.weights.assign((*model.knowledge)[sign].value_count(), 0.0);
    for (const std::size_t value : values)
        finding.weights[value] = 1;
    Evidence with = evidence;
    with.findings.push_back(std::move(finding));
    return share(log_chance(model, with), log_chance(model, evidence));
}

namespace {

/// Whether there is time for the same without each of the findings by itself.
bool is_quick_for_each(double cost, const Evidence& evidence) {
    return cost * static_cast<double>(evidence.findings.size()) < patience;
}

}  // namespace

double misfit(const Model& model, const Evidence& evidence, std::optional<double> log_evidence) {
    const double all = log_evidence ? *log_evidence : log_chance(model, evidence);
    const double nothing = log_chance(model, only_settings(evidence));
    std::vector<double> shares;  // what each thing known adds
    for (std::size_t f = 0; f < evidence.findings.size(); ++f)
        shares.push_back(log_chance(model, only_finding(evidence, f)) - nothing);
    for (std::size_t c = 0; c < evidence.causes.size(); ++c)
        shares.push_back(log_chance(model, only_cause(evidence, c)) - nothing);
    // Added in ascending order: the same bytes in whatever order they were found.
    std::sort(shares.begin(), shares.end(),
              [](double a, double b) { return std::strong_order(a, b) < 0; });
    return std::accumulate(shares.begin(), shares.end(), nothing - all);
}

std::vector<double> misfit_of_each(const Model& model, const Evidence& evidence) {
    std::vector<double> each(evidence.findings.size(), no_number);
    const auto [all, cost] = log_chance_and_cost(model, evidence);
    if (!is_quick_for_each(cost, evidence))
        return each;
    const double nothing = log_chance(model, only_settings(evidence));
    for (std::size_t f = 0; f < each.size(); ++f)
        each[f] = log_chance(model, only_finding(evidence, f)) - nothing +
                  log_chance(model, without_finding(evidence, f)) - all;
    return each;
}

std::vector<std::vector<double>> weights(const Model& model, const Evidence& evidence) {
    const std::vector<double>& strengths = point_values(*model.network);
    const BuildChoice choice{.causes = BuildChoice::Causes::and_inexact};
    std::vector<std::vector<double>> result(evidence.findings.size(),
                                            std::vector<double>(model.network->causes.size(), 0.0));
    const Run with = run(model, evidence, strengths, choice);
    if (!with.ok())
        return result;
    const std::vector<double> now = cause_chances(model, evidence, strengths, with);
    if (!is_quick_for_each(with.cost, evidence)) {
        for (std::vector<double>& one : result)
            one.assign(now.size(), no_number);
        return result;
    }
    for (std::size_t f = 0; f < evidence.findings.size(); ++f) {
        const Evidence others = without_finding(evidence, f);
        const Run without = run(model, others, strengths, choice);
        if (without.too_wide)
            result[f].assign(now.size(), no_number);
        if (!without.ok())
            continue;
        const std::vector<double> before = cause_chances(model, others, strengths, without);
        for (std::size_t c = 0; c < now.size(); ++c)
            if (now[c] != before[c])
                result[f][c] = 10 * (log_odds(now[c]) - log_odds(before[c]));
    }
    return result;
}

namespace {

/// What was found present; where the trouble itself shows, without what was before it.
std::vector<const Finding*> to_explain(const Model& model, const Evidence& evidence) {
    std::vector<const Finding*> shown;
    std::vector<const Finding*> before;
    for (const Finding& finding : evidence.findings)
        if (says_present(model, evidence, finding))
            (is_circumstance(*model.knowledge, finding) ? before : shown).push_back(&finding);
    return shown.empty() ? before : shown;
}

}  // namespace

std::vector<CauseId> explainers(const Model& model, const Evidence& evidence) {
    const Network& network = *model.network;
    Arrows turned;
    for (const auto& [from, to] : arrows_between_causes(network))
        turned.emplace_back(to, from);
    std::set<std::uint32_t> able;
    const std::vector<const Finding*> wanted = to_explain(model, evidence);
    for (const Finding* finding : wanted) {
        const SignNode& sign = network.signs[std::get<SignId>(finding->what).index()];
        const std::set<std::size_t> values = values_found(model, evidence, *finding);
        for (const ShowLink& link : sign.shown_by)
            if (!able.contains(link.from) && can_give(network, link, sign.high, values))
                for (const std::uint32_t c : reach(network.causes.size(), turned, link.from))
                    able.insert(c);
    }
    std::vector<CauseId> causes;
    for (std::uint32_t c = 0; c < network.causes.size(); ++c)
        if (wanted.empty() || able.contains(c))
            causes.emplace_back(c);
    return causes;
}

std::vector<bool> spoken_of(const Model& model, const Evidence& evidence) {
    std::vector<bool> spoken(model.network->causes.size(), false);
    for (const CauseId id : explainers(model, evidence))
        spoken[id.index()] = true;
    for (const KnownCause& known : evidence.causes)
        spoken[known.cause.index()] = true;
    for (const std::uint32_t c : model.network->cause_order)
        for (const WeightedLink& parent : model.network->causes[c].parents)
            spoken[c] = spoken[c] || spoken[parent.from];
    return spoken;
}

}  // namespace knockwell
