// What was before the trouble makes causes likelier and asks for none, held against sums by hand.
#include "beliefs/beliefs.hpp"
#include "beliefs/explaining.hpp"
#include "beliefs/finding.hpp"
#include "support/knowledge_of.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

constexpr const char* careless_work = R"(
[cause.worn]
title   = "Worn"
present = 0.1
shows   = { noise = 0.5, worked-on = 0.4 }

[cause.left-open]
title   = "Left open"
present = 0.2
shows   = { worked-on = 0.8, drip = 0.3 }

[symptom.worked-on]
title        = "Worked on"
seen_anyway  = 0.02
circumstance = true

[symptom.noise]
title       = "Noise"
seen_anyway = 0.01

[symptom.drip]
title = "Drip"
)";

class Circumstance : public testing::Test {
protected:
    Evidence found(std::initializer_list<const char*> signs) const {
        Evidence evidence;
        for (const char* sign : signs)
            evidence.findings.push_back(
                std::get<Finding>(read_finding(knowledge, sign, "yes", Via::sure)));
        for (Finding& finding : evidence.findings)
            finding.via = Via::sure;
        return evidence;
    }
    /// The sum over both causes of the chance of noise and of work before; `listed`: noise may be
    /// of a cause.
    static double chance(bool listed) {
        double sum = 0;
        for (const int worn : {0, 1})
            for (const int open : {0, 1}) {
                const double noise =
                    listed ? 1 - 0.99 * (worn == 1 ? 0.5 : 1) : 0.01 * (worn == 1 ? 0.5 : 1);
                const double before = 1 - 0.98 * (worn == 1 ? 0.6 : 1) * (open == 1 ? 0.2 : 1);
                sum += (worn == 1 ? 0.1 : 0.9) * (open == 1 ? 0.2 : 0.8) * noise * before;
            }
        return sum;
    }
    const Knowledge knowledge = knowledge_of(careless_work);
    const Network network = compile(knowledge);
    const Model model{&knowledge, &network};
};

TEST_F(Circumstance, IsExplainedOnlyWhereNothingElseIsFound) {
    EXPECT_EQ(explaining(model, found({"noise", "worked-on"})), std::vector<std::string>{"worn"});
    EXPECT_EQ(explaining(model, found({"worked-on"})),
              (std::vector<std::string>{"worn", "left-open"}));
    EXPECT_EQ(explaining(model, found({"drip", "noise", "worked-on"})),
              (std::vector<std::string>{"worn", "left-open"}));
}

TEST_F(Circumstance, StillMakesItsCausesLikelier) {
    const auto of = [&](std::initializer_list<const char*> signs) {
        return std::get<Posterior>(posterior(model, found(signs))).cause[0];
    };
    EXPECT_GT(of({"noise", "worked-on"}), of({"noise"}));
}

TEST_F(Circumstance, MayComeOfACauseWhereNothingListedExplainsTheTrouble) {
    EXPECT_NEAR(unlisted(model, found({"noise", "worked-on"})).value_or(-1),
                chance(false) / chance(true), 1e-12);
    EXPECT_EQ(unlisted(model, found({"worked-on"})), 0) << "there is nothing to explain";
}

}  // namespace
}  // namespace knockwell
