#include "cli/reasons.hpp"

#include <algorithm>
#include <cmath>

namespace knockwell {
namespace {

double size_of(const Reason& reason) {
    return std::isnan(reason.decibans) ? 0 : std::abs(reason.decibans);
}

}  // namespace

std::vector<Reasons> reasons_of(const Model& model, const AnswerNow& answer,
                                const std::vector<CauseId>& causes) {
    const auto all = weights(model, answer.course.evidence);
    std::vector<Reasons> result;
    for (const CauseId cause : causes) {
        Reasons reasons{cause, {}, {}};
        for (std::size_t i = 0; i < all.size(); ++i)
            reasons.findings.push_back({i, all[i][cause.index()]});
        std::stable_sort(reasons.findings.begin(), reasons.findings.end(),
                         [](const Reason& a, const Reason& b) { return size_of(a) > size_of(b); });
        if (const auto* known = std::get_if<Known>(&answer.says))
            reasons.overturns = overturns_of(model, answer.course.evidence, known->now,
                                             known->advice.own, cause, 3);
        result.push_back(std::move(reasons));
    }
    return result;
}

}  // namespace knockwell
