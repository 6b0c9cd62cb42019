#include "knowledge/check.hpp"

#include "base/words.hpp"

namespace knockwell {
namespace {

constexpr std::size_t most_outcomes = 24;

/// A test's outcomes are looked at one by one when the next step is chosen.
void check_outcomes(ReadRun& run) {
    for (std::size_t i = 0; i < run.knowledge.tests.size(); ++i) {
        const Test& test = run.knowledge.tests[i];
        double outcomes = 1;
        std::vector<std::string> factors;
        bool known = !run.broken.contains({Kind::test, i});
        for (const Findable& one : test.reveals) {
            const auto* sign = std::get_if<SignId>(&one);
            const Kind kind = sign != nullptr ? Kind::sign : Kind::setting;
            const std::size_t index =
                sign != nullptr ? sign->index() : std::get<SettingId>(one).index();
            known = known && !run.shapeless.contains({kind, index});
            const std::size_t values = sign != nullptr
                                           ? run.knowledge[*sign].value_count()
                                           : run.knowledge.settings[index].states.size();
            outcomes *= static_cast<double>(values);
            factors.push_back(number(static_cast<double>(values)) + " of '" +
                              (sign != nullptr ? run.knowledge[*sign].head.id
                                               : run.knowledge.settings[index].head.id) +
                              "'");
        }
        if (known && outcomes > static_cast<double>(most_outcomes))
            run.error("too-many-outcomes", test.step.head.span,
                      called("test", test.step.head.id) + " has " + number(outcomes) +
                          " joint outcomes, more than 24",
                      "reveal less at once: it has " + list_of(factors, "times"));
    }
}

}  // namespace

void check(ReadRun& run) {
    check_cycles(run);
    check_edges(run);
    check_cases(run);
    check_outcomes(run);
    check_steps(run);
}

}  // namespace knockwell
