#include "advice/mass.hpp"

#include "beliefs/likelihood.hpp"

#include <algorithm>
#include <map>
#include <numeric>
#include <string>
#include <variant>

namespace knockwell {
namespace {

// The settings that the edges hang on and that are not known, each once.
std::vector<SettingId> unknown_givers(const Knowledge& knowledge, const Evidence& evidence,
                                      const Reading& reading) {
    std::vector<SettingId> unknown;
    for (const auto* side : {&reading.low, &reading.high})
        for (const Edge& edge : *side) {
            if (edge.quantity.empty() || evidence.quantities.contains(edge.quantity))
                continue;
            const auto from = giver_of(knowledge, edge.quantity);
            if (!from || evidence.settings.contains(*from))
                continue;
            if (std::find(unknown.begin(), unknown.end(), *from) == unknown.end())
                unknown.push_back(*from);
        }
    return unknown;
}

double quantity_at(const Knowledge& knowledge, const Evidence& evidence,
                   const std::map<SettingId, std::size_t>& settings, const std::string& quantity) {
    const auto set = evidence.quantities.find(quantity);
    if (set != evidence.quantities.end())
        return set->second;
    const SettingId from = *giver_of(knowledge, quantity);
    return knowledge[from].gives[settings.at(from)].at(quantity);
}

// Averages over the priors of the settings from `next` on, one after the other.
std::vector<double> averaged(const Knowledge& knowledge, const Evidence& evidence,
                             const Finding& finding, const std::vector<SettingId>& unknown,
                             std::size_t next, std::map<SettingId, std::size_t>& settings) {
    if (next == unknown.size())
        return level_likelihood(knowledge, finding, [&](const std::string& quantity) {
            return quantity_at(knowledge, evidence, settings, quantity);
        });
    const Setting& setting = knowledge[unknown[next]];
    std::vector<double> sum;
    for (std::size_t state = 0; state < setting.states.size(); ++state) {
        const double share = setting.prior[state].count.mean();
        settings[unknown[next]] = state;
        const std::vector<double> part =
            averaged(knowledge, evidence, finding, unknown, next + 1, settings);
        sum.resize(part.size(), 0.0);
        for (std::size_t v = 0; v < sum.size(); ++v)
            sum[v] += share * part[v];
    }
    settings.erase(unknown[next]);
    return sum;
}

std::vector<double> masses_of_reading(const Knowledge& knowledge, const Evidence& evidence,
                                      const Finding& finding) {
    const Sign& sign = knowledge[std::get<SignId>(finding.what)];
    std::map<SettingId, std::size_t> settings = evidence.settings;
    const auto unknown = unknown_givers(knowledge, evidence, *sign.reading);
    return averaged(knowledge, evidence, finding, unknown, 0, settings);
}

void sum_to_one(std::vector<double>& mass) {
    const double sum = std::accumulate(mass.begin(), mass.end(), 0.0);
    if (sum > 0)
        for (double& share : mass)
            share /= sum;
}

std::size_t values_of(const Knowledge& knowledge, const Findable& what) {
    if (const auto* sign = std::get_if<SignId>(&what))
        return knowledge[*sign].value_count();
    return knowledge[std::get<SettingId>(what)].states.size();
}

}  // namespace

std::vector<double> masses(const Knowledge& knowledge, const Evidence& evidence,
                           const Finding& finding) {
    if (finding.value) {
        std::vector<double> mass(values_of(knowledge, finding.what), 0.0);
        mass[*finding.value] = 1;
        return mass;
    }
    std::vector<double> mass =
        finding.reading ? masses_of_reading(knowledge, evidence, finding) : finding.weights;
    sum_to_one(mass);
    return mass;
}

bool found_present(const Knowledge& knowledge, const Evidence& evidence, const Finding& finding) {
    if (!std::holds_alternative<SignId>(finding.what))
        return false;
    const std::vector<double> mass = masses(knowledge, evidence, finding);
    return !mass.empty() && mass.front() < 0.5;
}

bool found_trouble(const Knowledge& knowledge, const Evidence& evidence, const Finding& finding) {
    return !is_circumstance(knowledge, finding) && found_present(knowledge, evidence, finding);
}

const Finding* said_now(const Knowledge& knowledge, const Evidence& evidence, SignId sign,
                        const std::vector<std::size_t>& values) {
    const Finding* first = nullptr;
    for (const Finding& finding : evidence.findings) {
        if (finding.what != Findable(sign) || finding.stage + 1 != evidence.stages())
            continue;
        const std::vector<double> mass = masses(knowledge, evidence, finding);
        double said = 0;
        for (const std::size_t value : values)
            said += mass[value];
        if (said <= 0.5)
            return nullptr;
        first = first == nullptr ? &finding : first;
    }
    return first;
}

bool anything_found(const Knowledge& knowledge, const Evidence& evidence) {
    return std::any_of(evidence.findings.begin(), evidence.findings.end(),
                       [&](const Finding& it) { return found_trouble(knowledge, evidence, it); }) ||
           std::any_of(evidence.causes.begin(), evidence.causes.end(),
                       [](const KnownCause& it) { return it.present; });
}

}  // namespace knockwell
