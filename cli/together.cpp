#include "cli/together.hpp"

#include "advice/cost.hpp"

namespace knockwell {
namespace {

// Less is not worth a line (judgement).
constexpr double worth_saying = 2;

bool is_a_test(const Suggestion& step) { return step.kind == StepKind::test; }

}  // namespace

std::vector<Together> looks_together(const Knowledge& knowledge, const Situation& situation,
                                     const Advice& advice) {
    std::vector<Together> all;
    if (advice.next.empty() || !is_a_test(advice.next.front()))
        return all;
    const auto step = [&](const Suggestion& it) {
        return candidate(knowledge, test_named(knowledge, it.id));
    };
    const Situation then = outlay(knowledge, situation, step(advice.next.front())).then;
    for (std::size_t i = 1; i < advice.next.size(); ++i) {
        const Suggestion& other = advice.next[i];
        if (!is_a_test(other))
            continue;
        const double minutes = outlay(knowledge, then, step(other)).minutes;
        if (minutes <= other.minutes - worth_saying)
            all.push_back({i + 1, other.id, minutes, other.minutes});
    }
    return all;
}

}  // namespace knockwell
