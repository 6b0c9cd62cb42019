#include "knowledge/dominated.hpp"
#include "support/knowledge_of.hpp"

#include <gtest/gtest.h>

#include <string>

namespace knockwell {
namespace {

const std::string surroundings = R"(
[symptom.noise]
title = "Noise"
[observation.dull]
title = "Dull when knocked"
[observation.wet]
title = "Water at the air valve"
[observation.gauge]
title = "Gauge"
reading = { unit = "psi", within = 4 }
levels = ["high"]
edges = { high = 60 }
[setting.pump]
title = "Pump"
choices = { jet = "1 in 3", deep-jet = "1 in 3", submersible = "1 in 3" }
[caution.cover]
text = "Lock out and prove dead."
covers = ["live", "pressure"]
[access.tank]
title = "At the tank"
minutes = 2
[access.cover-off]
title = "Switch cover off"
minutes = 2
via = "tank"
[access.wellhead]
title = "At the well"
minutes = 5
[test.elsewhere]
title = "Elsewhere"
how = "Look."
reveals = ["noise"]
minutes = 1
at = "cover-off"
)";

std::string test(const std::string& id, const std::string& more) {
    std::string text = "[test." + id + "]\ntitle = \"" + id + "\"\nhow = \"Look.\"\n" + more + "\n";
    if (more.find("reveals") == std::string::npos)
        text += "reveals = [\"dull\"]\n";
    if (more.find("minutes") == std::string::npos)
        text += "minutes = 3\n";
    return text;
}

/// The test that dominates `id`, by name; "" where none does.
std::string better_than(const std::string& id, const std::string& tests) {
    const Knowledge knowledge = knowledge_of(surroundings + tests);
    const TestId by = dominated_tests(knowledge).at(test_named(knowledge, id).index());
    return by.valid() ? knowledge[by].step.head.id : "";
}

TEST(DominatedTests, AreThoseWhoseWorkAnotherDoesCheaper) {
    EXPECT_EQ(better_than("slow", test("quick", "minutes = 2") + test("slow", "")), "quick");
    EXPECT_EQ(better_than("slow", test("slow", "") + test("quick", "minutes = 2")), "quick");
    EXPECT_EQ(better_than("quick", test("slow", "") + test("quick", "minutes = 2")), "");
}

TEST(DominatedTests, AreTheLaterOfTwoEquals) {
    const std::string both = test("one", "") + test("two", "");
    EXPECT_EQ(better_than("one", both), "");
    EXPECT_EQ(better_than("two", both), "one");
}

TEST(DominatedTests, RevealNoMore) {
    EXPECT_EQ(better_than("b", test("a", "reveals = [\"wet\", \"dull\"]") + test("b", "")), "a");
    EXPECT_EQ(better_than("b", test("a", "") + test("b", "reveals = [\"wet\", \"dull\"]")), "");
    EXPECT_EQ(better_than("b", test("a", "reveals = [\"wet\"]") + test("b", "")), "");
}

// Whatever one of two otherwise equal tests needs more, or does worse, saves the other.
TEST(DominatedTests, NeedNoLess) {
    const std::string worse[] = {
        "minutes = 4",
        "at = \"wellhead\"",
        "needs = { power = \"off\" }",
        "needs = { pressure = \"zero\" }",
        "needs = { tank = \"drained\" }",
        "needs = { pump = \"running\" }",
        "needs = { licence = [\"electrician\"] }",
        "tools = [\"meter\"]",
        "hazards = [\"live\"]\ncautions = [\"cover\"]",
        "misses = \"1 in 3\"",
        "false_alarm = \"1 in 3\"",
        "only_if = { pump = \"jet\" }",
        R"(only_if = { pump = ["jet", "deep-jet"] })",
    };
    for (const std::string& more : worse) {
        SCOPED_TRACE(more);
        // Both meet what makes one take power and pressure away.
        const std::string met = more.starts_with("needs")
                                    ? "hazards = [\"live\", \"pressure\"]\ncautions = [\"cover\"]\n"
                                    : "";
        EXPECT_EQ(better_than("b", test("a", met + more) + test("b", met)), "");
        EXPECT_EQ(better_than("b", test("a", met) + test("b", met + more)),
                  more.find("wellhead") == std::string::npos ? "a" : "");
    }
    EXPECT_EQ(better_than("b", test("a", "") + test("b", "needs = { skill = \"owner\" }")), "");
    EXPECT_EQ(better_than("b", test("a", "needs = { skill = \"owner\" }") + test("b", "")), "a");
}

TEST(DominatedTests, CompareConditionsByTheirStates) {
    const std::string jets = R"(only_if = { pump = ["jet", "deep-jet"] })";
    const std::string jet = "only_if = { pump = \"jet\" }";
    EXPECT_EQ(better_than("b", test("a", jets) + test("b", jet)), "a");
    EXPECT_EQ(better_than("b", test("a", jet) + test("b", jets)), "");
}

TEST(DominatedTests, CompareInstruments) {
    const std::string gauge = "reveals = [\"gauge\"]\n";
    const std::string fine = test("fine", gauge + "within = 1");
    const std::string usual = test("usual", gauge);
    EXPECT_EQ(better_than("usual", usual + fine), "fine");
    EXPECT_EQ(better_than("fine", usual + fine), "");
}

TEST(DominatedTests, AreFurtherInTheSameWay) {
    const std::string far = test("far", "at = \"cover-off\"");
    EXPECT_EQ(better_than("far", test("near", "at = \"tank\"") + far), "near");
    EXPECT_EQ(better_than("far", test("near", "") + far), "near");
    EXPECT_EQ(better_than("far", test("near", "at = \"wellhead\"") + far), "");
    EXPECT_EQ(better_than("near", test("near", "at = \"tank\"") + far), "");
}

TEST(DominatedTests, AreNotThoseAloneAtTheirAccess) {
    const std::string near = test("near", "");
    EXPECT_EQ(better_than("alone", near + test("alone", "at = \"wellhead\"")), "");
    EXPECT_EQ(better_than("alone", near + test("alone", "at = \"wellhead\"") +
                                       test("not-alone", "at = \"wellhead\"\nreveals = [\"wet\"]")),
              "near");
}

}  // namespace
}  // namespace knockwell
