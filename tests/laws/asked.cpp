#include "laws/asked.hpp"

#include "beliefs/build.hpp"
#include "beliefs/parts.hpp"

#include <cmath>

namespace knockwell::laws {

Size size_for(std::uint64_t seed) {
    if (seed % 125 == 7)
        return {10 + seed / 125 % 7, 5, 5};
    return {2 + seed % 7, 2 + seed % 4, 1 + seed % 6};
}

Posed::Posed(std::uint64_t from)
    : seed(from), it(random_case(from, size_for(from))),
      network(compile(it.knowledge)), model{&it.knowledge, &network} {
    // Small sums are seldom worth a branch or a case: the laws hold them anyway.
    if (seed / 2 % 2 == 0)
        model.plans = std::make_shared<PlanCache>(PlanCache::Ways::wherever_possible);
}

std::string Posed::label() const { return "seed " + std::to_string(seed) + "\n" + to_text(it); }

std::vector<bool> Posed::present() const {
    std::vector<bool> present;
    for (const Finding& finding : it.evidence.findings)
        present.push_back(says_present(model, it.evidence, finding));
    return present;
}

Added Posed::add_up() const { return add_up_all_worlds(it.knowledge, it.evidence, present()); }

std::uint64_t each_possible(const Seeds& seeds,
                            const std::function<void(const Posed&, const Posterior&)>& act) {
    std::uint64_t possible = 0;
    for (std::uint64_t seed = seeds.first; seed <= seeds.count; seed += seeds.step) {
        const Posed posed(seed);
        SCOPED_TRACE(posed.label());
        const Answer answer = posterior(posed.model, posed.it.evidence);
        if (!std::holds_alternative<Posterior>(answer))
            continue;
        ++possible;
        act(posed, std::get<Posterior>(answer));
        if (testing::Test::HasFatalFailure())
            break;
    }
    return possible;
}

std::uint64_t each_added_up(const Seeds& seeds, std::size_t most_causes,
                            const std::function<void(const Posed&, const Added&)>& act) {
    std::uint64_t possible = 0;
    for (std::uint64_t seed = seeds.first; seed <= seeds.count; seed += seeds.step) {
        if (size_for(seed).causes > most_causes)
            continue;
        const Posed posed(seed);
        const Added slow = posed.add_up();
        if (slow.evidence == 0)
            continue;
        SCOPED_TRACE(posed.label());
        ++possible;
        act(posed, slow);
        if (testing::Test::HasFatalFailure())
            break;
    }
    return possible;
}

testing::AssertionResult agrees(double fast, Real slow) {
    const Real off = std::abs(fast - slow);
    if (off <= close * std::abs(slow))  // not with NaN
        return testing::AssertionSuccess();
    return testing::AssertionFailure()
           << fast << " is not " << slow << ": off by " << off / std::abs(slow) << " of it";
}

}  // namespace knockwell::laws
