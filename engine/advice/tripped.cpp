#include "advice/tripped.hpp"

#include <algorithm>
#include <cmath>
#include <variant>

namespace knockwell {
namespace {

// What is less likely is in nobody's way.
constexpr double worth_working_out = 0.02;

/// P(none of what brings it on is there, and it is | e) / P(it is | e).
double exactly(const Model& model, Evidence evidence, const Posterior& now, CauseId tripped) {
    const Cause& cause = (*model.knowledge)[tripped];
    for (const CauseStrength& by : cause.brought_on_by)
        evidence.causes.push_back({by.cause, false, evidence.repairs.size()});
    const Answer answer = posterior(model, evidence);
    if (const auto* without = std::get_if<Posterior>(&answer))
        return std::min(1.0, std::exp(without->log_evidence - now.log_evidence) *
                                 without->cause[tripped.index()] / now.cause[tripped.index()]);
    return std::holds_alternative<Impossible>(answer) ? 0 : by_itself(cause, now.cause);
}

/// The likeliest cause of those that are spoken of; of equal ones the first.
CauseId first_spoken_of(const std::vector<double>& cause, const std::vector<bool>& spoken) {
    std::size_t first = 0;
    for (std::size_t c = 0; c < cause.size(); ++c)
        if (spoken[c] && (!spoken[first] || cause[c] > cause[first]))
            first = c;
    return CauseId(first);
}

}  // namespace

std::vector<double> by_themselves(const Model& model, const Evidence& evidence,
                                  const Posterior& now) {
    const Knowledge& knowledge = *model.knowledge;
    std::vector<double> own(now.cause.size(), 1.0);
    for (const Repair& repair : knowledge.repairs) {
        if (!repair.resets)
            continue;
        for (const CauseStrength& fix : repair.fixes) {
            const Cause& tripped = knowledge[fix.cause];
            if (!tripped.brought_on_by.empty())
                own[fix.cause.index()] = now.cause[fix.cause.index()] < worth_working_out
                                             ? by_itself(tripped, now.cause)
                                             : exactly(model, evidence, now, fix.cause);
        }
    }
    return own;
}

double by_itself(const Cause& tripped, std::span<const double> cause) {
    double none = 1;
    for (const CauseStrength& by : tripped.brought_on_by)
        none *= 1 - cause[by.cause.index()];
    return none;
}

CauseId likeliest_to_trip(const Cause& tripped, std::span<const double> cause) {
    const auto& by = tripped.brought_on_by;
    return std::max_element(by.begin(), by.end(),
                            [&](const CauseStrength& a, const CauseStrength& b) {
                                return cause[a.cause.index()] < cause[b.cause.index()];
                            })
        ->cause;
}

CauseId first_of(const Knowledge& knowledge, const std::vector<double>& then,
                 const std::vector<double>& now, const std::vector<double>& own,
                 const std::vector<bool>& spoken) {
    std::vector<double> weighed = then;
    for (std::size_t c = 0; c < then.size(); ++c) {
        if (own[c] == 1)
            continue;
        const double before = by_itself(knowledge.causes[c], now);
        const double after = by_itself(knowledge.causes[c], then);
        weighed[c] *= before > 0 ? std::min(1.0, own[c] * after / before) : after;
    }
    return first_spoken_of(weighed, spoken);
}

}  // namespace knockwell
