// What a look would tell, where it cannot be told.
#include "beliefs/beliefs.hpp"
#include "support/knowledge_of.hpp"
#include "support/rattling.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

TEST(Predict, SaysNothingWhereAnOutcomeIsTooWideToAddUp) {
    const Knowledge knowledge = knowledge_of(one_cause);
    const Network network = compile(knowledge);
    const Model model{&knowledge, &network};
    const Look look{{SignId(std::size_t{0})}, Via::looked, {}};

    EXPECT_EQ(predict(model, heard_rattling(3), look).size(), 4U);

    // Six are added up still, the seventh is not: then no chance may be printed at all.
    const Evidence six = heard_rattling(6);
    ASSERT_TRUE(std::holds_alternative<Posterior>(posterior(model, six)));
    ASSERT_TRUE(std::holds_alternative<TooWide>(posterior(model, heard_rattling(7))));
    EXPECT_TRUE(predict(model, six, look).empty());
}

}  // namespace
}  // namespace knockwell
