#include "cli/at_once.hpp"

#include "advice/looks.hpp"
#include "beliefs/joint.hpp"
#include "cli/together.hpp"

namespace knockwell {
namespace {

std::optional<Look> look_at(const Knowledge& knowledge, const Suggestion& step) {
    switch (step.kind) {
    case StepKind::test:
        return look_of(knowledge, candidate(knowledge, test_named(knowledge, step.id)));
    case StepKind::question:
        return look_of(knowledge, candidate(knowledge, sign_named(knowledge, step.id)));
    case StepKind::setting:
        return look_of(knowledge, candidate(knowledge, setting_named(knowledge, step.id)));
    case StepKind::repair:
    case StepKind::refer:
        break;
    }
    return std::nullopt;
}

}  // namespace

AtOnce told_at_once(const Model& model, const Evidence& evidence, const Situation& situation,
                    const Advice& advice) {
    if (advice.next.empty())
        return {};
    const Knowledge& knowledge = *model.knowledge;
    const std::optional<Look> first = look_at(knowledge, advice.next.front());
    if (!first)
        return {};
    std::vector<Bundle> bundles{{*first}};
    for (const Together& other : looks_together(knowledge, situation, advice))
        bundles.push_back({*first, *look_at(knowledge, advice.next[other.place - 1])});
    const std::vector<std::optional<Range>> bits = joint_bits(model, evidence, bundles);
    return {bits.front(), {bits.begin() + 1, bits.end()}};
}

}  // namespace knockwell
