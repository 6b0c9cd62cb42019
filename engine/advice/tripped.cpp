#include "advice/tripped.hpp"

#include "advice/rules.hpp"

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

CauseId first_of(const std::vector<double>& cause, const std::vector<double>& own) {
    std::size_t first = 0;
    for (std::size_t c = 1; c < cause.size(); ++c)
        if (cause[c] * own[c] > cause[first] * own[first])
            first = c;
    return CauseId(first);
}

}  // namespace knockwell
