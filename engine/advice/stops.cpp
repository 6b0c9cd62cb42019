#include "advice/advice.hpp"
#include "advice/mass.hpp"

#include <algorithm>

namespace knockwell {
namespace {

// A reading this far into danger stops: one chance in twenty is too much (judgement).
constexpr double enough_of_a_finding = 0.05;

bool in_last_stage(const Evidence& evidence, const Finding& finding) {
    return finding.stage + 1 == evidence.stages();
}

// Any one finding is enough, a customer's word too: findings that disagree do not cancel a danger.
bool is_found(const Knowledge& knowledge, const Evidence& evidence, const StopWhen& when) {
    return std::any_of(
        evidence.findings.begin(), evidence.findings.end(), [&](const Finding& finding) {
            if (finding.what != Findable(when.sign) || !in_last_stage(evidence, finding))
                return false;
            const std::vector<double> mass = masses(knowledge, evidence, finding);
            double there = 0;
            for (const std::size_t value : when.values)
                there += mass[value];
            return there >= enough_of_a_finding;
        });
}

bool is_found(const Knowledge& knowledge, const Evidence& evidence, const Stop& stop) {
    return std::all_of(stop.when.begin(), stop.when.end(),
                       [&](const StopWhen& when) { return is_found(knowledge, evidence, when); });
}

// The least chance of any one condition: no smaller than the chance of all together, so it errs
// towards stopping.
double chance_of_all(const Model& model, const Evidence& evidence, const Stop& stop) {
    double least = 1;
    for (const StopWhen& when : stop.when)
        least = std::min(least, chance_of(model, evidence, when.sign, when.values));
    return least;
}

// Any one of them: each by itself shows that the danger is over.
bool is_lifted(const Stop& stop, const Situation& situation) {
    return std::any_of(stop.cleared_by.begin(), stop.cleared_by.end(),
                       [&](SignId sign) { return situation.stops_cleared_by.contains(sign); });
}

}  // namespace

std::vector<StopNow> stops_now(const Model& model, const Evidence& evidence,
                               const Situation& situation) {
    const Knowledge& knowledge = *model.knowledge;
    std::vector<StopNow> stops;
    for (std::size_t i = 0; i < knowledge.stops.size(); ++i) {
        const Stop& stop = knowledge.stops[i];
        if (is_lifted(stop, situation))
            continue;
        if (is_found(knowledge, evidence, stop)) {
            stops.push_back({StopId(i), 1, true});
        } else if (stop.likely) {
            const double p = chance_of_all(model, evidence, stop);
            if (p >= stop.likely->count.mean())
                stops.push_back({StopId(i), p, false});
        }
    }
    std::stable_sort(stops.begin(), stops.end(),
                     [](const StopNow& a, const StopNow& b) { return a.p > b.p; });
    return stops;
}

}  // namespace knockwell
