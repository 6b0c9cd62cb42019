// Same evidence, same bytes: neither the order of findings nor what was asked before changes an
// answer.
#include "beliefs/beliefs.hpp"
#include "laws/random_case.hpp"

#include <gtest/gtest.h>

#include <algorithm>

namespace knockwell::laws {
namespace {

TEST(Order, OfFindingsDoesNotMatter) {
    for (std::uint64_t seed = 1; seed <= 200; ++seed) {
        const Case it = random_case(seed, {6, 4, 5});
        SCOPED_TRACE("seed " + std::to_string(seed) + "\n" + to_text(it));
        const Network network = compile(it.knowledge);
        Evidence turned = it.evidence;
        std::reverse(turned.findings.begin(), turned.findings.end());
        const Answer one = posterior({&it.knowledge, &network}, it.evidence);
        const Answer other = posterior({&it.knowledge, &network}, turned);
        ASSERT_EQ(one.index(), other.index());
        if (!std::holds_alternative<Posterior>(one))
            continue;
        EXPECT_EQ(std::get<Posterior>(one).cause, std::get<Posterior>(other).cause);
        EXPECT_EQ(std::get<Posterior>(one).log_evidence, std::get<Posterior>(other).log_evidence);
    }
}

TEST(Order, OfQuestionsDoesNotMatter) {
    const Case it = random_case(11, {6, 4, 2});
    const Network network = compile(it.knowledge);
    const Model warm{&it.knowledge, &network};
    for (std::size_t s = 0; s < it.knowledge.signs.size(); ++s)
        ASSERT_FALSE(predict(warm, it.evidence, Look{{SignId(s)}, Via::looked, {}}).empty());
    const Answer after = posterior(warm, it.evidence);
    const Answer cold = posterior({&it.knowledge, &network}, it.evidence);
    ASSERT_TRUE(std::holds_alternative<Posterior>(cold));
    EXPECT_EQ(std::get<Posterior>(after).cause, std::get<Posterior>(cold).cause);
}

}  // namespace
}  // namespace knockwell::laws
