// What looks tell about everything at once, where it can be said by hand.
#include "beliefs/joint.hpp"
#include "support/knowledge_of.hpp"

#include <gtest/gtest.h>

#include <string>

namespace knockwell {
namespace {

constexpr double near_bits = 1e-8;

/// One flag that shows one cause through a channel.
struct Channelled {
    Knowledge knowledge;
    Network network = compile(knowledge);
    Model model{&knowledge, &network};

    Channelled(const std::string& present, const std::string& misses,
               const std::string& false_alarm)
        : knowledge(knowledge_of("[reports]\nlooked = { misses = \"" + misses +
                                 "\", false_alarm = \"" + false_alarm + R"(" }

[cause.worn-pump]
title   = "Pump is worn"
present = ")" + present + R"("
shows   = { noise = "always" }

[observation.noise]
title = "Noise of the pump"
)")) {}
    Channelled(const Channelled&) = delete;
    Channelled& operator=(const Channelled&) = delete;
    Channelled(Channelled&&) = delete;
    Channelled& operator=(Channelled&&) = delete;
    ~Channelled() = default;

    [[nodiscard]] Range bits() const {
        const Bundle look{{{SignId(std::size_t{0})}, Via::looked, {}}};
        return joint_bits(model, {}, std::span(&look, 1)).front().value();
    }
};

void expect_bits(const Range& bits, double published, double rounded) {
    EXPECT_LT(bits.high - bits.low, near_bits);
    EXPECT_NEAR(bits.low, published, rounded);
}

// D. J. C. MacKay, Information Theory, Inference, and Learning Algorithms, 2003: examples 9.5 and
// 9.6, exercises 9.7 and 9.8 with their solutions. A miss of 3 in 17 where there is a false alarm
// of 15 in 100 says "no" of what is there 15 times in 100.
TEST(JointBits, AreTheInformationOfPublishedChannels) {
    expect_bits(Channelled("1 in 10", "3 in 17", "15 in 100").bits(), 0.15, 0.005);
    expect_bits(Channelled("1 in 2", "3 in 17", "15 in 100").bits(), 0.39, 0.005);
    expect_bits(Channelled("1 in 10", "15 in 100", "never").bits(), 0.36, 0.005);
    expect_bits(Channelled("1 in 2", "15 in 100", "never").bits(), 0.679, 0.0005);
}

constexpr const char* one_of_two = R"(
[setting.pump]
title   = "Pump"
choices = { submersible = "1 in 2", jet = "1 in 2" }

[cause.worn-submersible]
title   = "Submersible pump is worn"
present = "always"
only_if = { pump = "submersible" }
shows   = { noise = "always" }

[cause.worn-jet]
title   = "Jet pump is worn"
present = "always"
only_if = { pump = "jet" }
shows   = { heat = "always" }

[observation.noise]
title = "Noise in the well"

[observation.heat]
title = "Hot at the pump"
)";

class OneOfTwo : public testing::Test {
protected:
    [[nodiscard]] std::optional<Range> bits(const Bundle& bundle,
                                            const Evidence& evidence = {}) const {
        return joint_bits(model, evidence, std::span(&bundle, 1)).front();
    }

    Knowledge knowledge = knowledge_of(one_of_two);
    Network network = compile(knowledge);
    Model model{&knowledge, &network};
    Look noise{{SignId(std::size_t{0})}, Via::sure, {}};
    Look heat{{SignId(std::size_t{1})}, Via::sure, {}};
};

// Each of the two causes is told: as a sum over causes two bits, and yet one coin.
TEST_F(OneOfTwo, IsToldByOneBit) {
    const auto now = std::get<Posterior>(posterior(model, {}));
    const std::vector<CauseId> causes = by_chance(now);
    EXPECT_NEAR(bits_of_all(model, {}, std::span(&noise, 1), now.cause, causes).front(), 2,
                near_bits);

    expect_bits(bits({noise}).value(), 1, near_bits);
    expect_bits(bits({{{SettingId(std::size_t{0})}, Via::sure, {}}}).value(), 1, near_bits);
    // The second look tells nothing that the first has not told.
    expect_bits(bits({noise, heat}).value(), 1, near_bits);
}

TEST_F(OneOfTwo, IsNotAnsweredForOneSignTwice) {
    EXPECT_FALSE(bits({noise, noise}));
    EXPECT_FALSE(bits({{{SignId(std::size_t{0}), SignId(std::size_t{0})}, Via::sure, {}}}));
}

TEST_F(OneOfTwo, IsNotAnsweredOfImpossibleEvidence) {
    Evidence neither;
    neither.findings = {{SignId(std::size_t{0}), 0, {}, {}, Via::sure, {}, 0},
                        {SignId(std::size_t{1}), 0, {}, {}, Via::sure, {}, 0}};
    EXPECT_FALSE(bits({{{SettingId(std::size_t{0})}, Via::sure, {}}}, neither));
}

TEST_F(OneOfTwo, HasNothingMoreToTellOnceItIsFound) {
    Evidence evidence;
    evidence.findings = {{SignId(std::size_t{0}), 1, {}, {}, Via::sure, {}, 0}};
    expect_bits(bits({noise}, evidence).value(), 0, near_bits);
    expect_bits(bits({heat}, evidence).value(), 0, near_bits);
}

TEST_F(OneOfTwo, OfNoBundlesIsNothing) { EXPECT_TRUE(joint_bits(model, {}, {}).empty()); }

}  // namespace
}  // namespace knockwell
