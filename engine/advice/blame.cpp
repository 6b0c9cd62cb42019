#include "advice/blame.hpp"

#include "advice/mass.hpp"

#include <algorithm>
#include <variant>

namespace knockwell {
namespace {

/// Without what was found present: the settings, the repairs, what is as it should be, and what was
/// before the trouble.
Evidence as_it_should_be(const Knowledge& knowledge, Evidence evidence) {
    std::erase_if(evidence.findings, [&](const Finding& finding) {
        return found_trouble(knowledge, evidence, finding);
    });
    std::erase_if(evidence.causes, [](const KnownCause& cause) { return cause.present; });
    return evidence;
}

}  // namespace

std::vector<double> blamed(const Model& model, const Evidence& evidence, const Posterior& now) {
    std::vector<double> blame = now.cause;
    const Answer answer = posterior(model, as_it_should_be(*model.knowledge, evidence));
    const auto* before = std::get_if<Posterior>(&answer);
    if (before == nullptr)
        return blame;
    for (std::size_t c = 0; c < blame.size(); ++c) {
        const double anyway = before->cause[c];
        blame[c] = anyway < 1 ? std::max(0.0, (blame[c] - anyway) / (1 - anyway)) : 0;
    }
    return blame;
}

}  // namespace knockwell
