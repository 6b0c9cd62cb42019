#include "advice/advice.hpp"
#include "advice/mass.hpp"

#include <algorithm>

namespace knockwell {
namespace {

// A reading this far into danger stops: one chance in twenty is too much (judgement).
constexpr double enough_of_a_finding = 0.05;

// The first stage whose findings count: the one after the last repair that takes the danger away.
// Any other repair leaves a swollen tank swollen.
std::size_t first_stage(const Evidence& evidence, const Stop& stop) {
    std::size_t stage = evidence.repairs.size();
    while (stage > 0 && std::find(stop.mended_by.begin(), stop.mended_by.end(),
                                  evidence.repairs[stage - 1]) == stop.mended_by.end())
        --stage;
    return stage;
}

// Any one finding is enough, a customer's word too: findings that disagree do not cancel a danger.
bool is_found(const Knowledge& knowledge, const Evidence& evidence, const StopWhen& when,
              std::size_t from_stage) {
    return std::any_of(evidence.findings.begin(), evidence.findings.end(),
                       [&](const Finding& finding) {
                           if (finding.what != Findable(when.sign) || finding.stage < from_stage)
                               return false;
                           const std::vector<double> mass = masses(knowledge, evidence, finding);
                           double there = 0;
                           for (const std::size_t value : when.values)
                               there += mass[value];
                           return there >= enough_of_a_finding;
                       });
}

bool is_found(const Knowledge& knowledge, const Evidence& evidence, const Stop& stop) {
    const std::size_t from_stage = first_stage(evidence, stop);
    return std::all_of(stop.when.begin(), stop.when.end(), [&](const StopWhen& when) {
        return is_found(knowledge, evidence, when, from_stage);
    });
}

// Shown by findings that are no longer kept, and no repair since has taken it away.
bool is_carried_over(const Situation& situation, const Evidence& evidence, StopId id,
                     const Stop& stop) {
    return situation.stops_from_before.contains(id) && first_stage(evidence, stop) == 0;
}

// The least chance of any one condition: no smaller than the chance of all together, so it errs
// towards stopping. Nothing where one of them cannot be worked out and the others alone would not
// rule the stop out.
std::optional<double> chance_of_all(const Model& model, const Evidence& evidence,
                                    const Stop& stop) {
    const double enough = stop.likely->count.mean();
    double least = 1;
    bool all_told = true;
    for (const StopWhen& when : stop.when) {
        const auto p = chance_of(model, evidence, when.sign, when.values);
        all_told = all_told && p;
        least = std::min(least, p.value_or(1));
    }
    if (!all_told && least >= enough)
        return std::nullopt;
    return least;
}

// Any one of them: each by itself shows that the danger is over.
bool is_lifted(const Stop& stop, const Situation& situation) {
    return std::any_of(stop.cleared_by.begin(), stop.cleared_by.end(),
                       [&](SignId sign) { return situation.stops_cleared_by.contains(sign); });
}

}  // namespace

std::set<StopId> stops_found(const Knowledge& knowledge, const Evidence& evidence) {
    std::set<StopId> found;
    for (std::size_t i = 0; i < knowledge.stops.size(); ++i)
        if (is_found(knowledge, evidence, knowledge.stops[i]))
            found.insert(StopId(i));
    return found;
}

std::vector<StopNow> stops_now(const Model& model, const Evidence& evidence,
                               const Situation& situation) {
    const Knowledge& knowledge = *model.knowledge;
    std::vector<StopNow> stops;
    for (std::size_t i = 0; i < knowledge.stops.size(); ++i) {
        const Stop& stop = knowledge.stops[i];
        if (is_lifted(stop, situation))
            continue;
        if (is_found(knowledge, evidence, stop) ||
            is_carried_over(situation, evidence, StopId(i), stop)) {
            stops.push_back({StopId(i), 1, true});
        } else if (stop.likely) {
            // What cannot be worked out is no reason to think it safe.
            const std::optional<double> p = chance_of_all(model, evidence, stop);
            if (!p || *p >= stop.likely->count.mean())
                stops.push_back({StopId(i), p, false});
        }
    }
    std::stable_sort(stops.begin(), stops.end(), [](const StopNow& a, const StopNow& b) {
        return a.p.value_or(1) > b.p.value_or(1);
    });
    return stops;
}

}  // namespace knockwell
