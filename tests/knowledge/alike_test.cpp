#include "knowledge/alike.hpp"
#include "support/knowledge_of.hpp"

#include <gtest/gtest.h>

#include <string>

namespace knockwell {
namespace {

// Nobody errs here unless a case says so. Strengths are exact numbers, so that a factor of 2 is
// one.
const std::string sure_reports = R"(
[manifest]
name = "alike"
version = "1"
format = 1
[reports]
told   = { misses = "never", false_alarm = "never" }
looked = { misses = "never", false_alarm = "never" }
)";

std::string cause(const std::string& id, const std::string& shows, const std::string& more = "") {
    return "[cause." + id + "]\ntitle = \"" + id + "\"\npresent = \"1 in 100\"\n" + more + "\n" +
           (shows.empty() ? "" : "shows = { " + shows + " }\n");
}

std::string symptom(const std::string& id, const std::string& more = "") {
    return "[symptom." + id + "]\ntitle = \"" + id + "\"\n" + more + "\n";
}

/// An observation with a test that reveals it.
std::string observation(const std::string& id, const std::string& more = "",
                        const std::string& of_test = "") {
    return "[observation." + id + "]\ntitle = \"" + id + "\"\n" + more + "\n[test.look-at-" + id +
           "]\ntitle = \"look\"\nhow = \"Look.\"\nminutes = 1\nreveals = [\"" + id + "\"]\n" +
           of_test + "\n";
}

/// Whether nothing tells the second cause of `text` from the first.
bool alike(const std::string& text) {
    const Knowledge knowledge = knowledge_of(sure_reports + text);
    const auto found = causes_alike(knowledge);
    if (found.size() != 2) {
        ADD_FAILURE() << "two causes are wanted";
        return false;
    }
    EXPECT_TRUE(found[0].empty());  // only earlier causes are named
    return found[1] == std::vector<CauseId>{CauseId(0)};
}

TEST(CausesAlike, AreToldApartByAFactorOfTwo) {
    EXPECT_TRUE(alike(cause("a", "s = 0.2") + cause("b", "s = 0.11") + symptom("s")));
    EXPECT_FALSE(alike(cause("a", "s = 0.2") + cause("b", "s = 0.1") + symptom("s")));
    EXPECT_FALSE(alike(cause("a", "s = 0.1") + cause("b", "s = 0.2") + symptom("s")));
}

TEST(CausesAlike, AreToldApartByWhatIsNotSeen) {
    EXPECT_TRUE(alike(cause("a", "s = 0.8") + cause("b", "s = 0.65") + symptom("s")));
    EXPECT_FALSE(alike(cause("a", "s = 0.8") + cause("b", "s = 0.6") + symptom("s")));
}

TEST(CausesAlike, AreToldApartByASignThatOnlyOneOfThemShows) {
    const std::string signs = symptom("s") + symptom("t");
    EXPECT_FALSE(alike(cause("a", "s = 0.2") + cause("b", "s = 0.2, t = 0.1") + signs));
    EXPECT_FALSE(alike(cause("a", "s = 0.2, t = 0.1") + cause("b", "s = 0.2") + signs));
}

TEST(CausesAlike, AreNotToldApartByASignThatNobodyAsksFor) {
    const std::string causes = cause("a", "s = 0.2, o = 0.9") + cause("b", "s = 0.2");
    EXPECT_TRUE(alike(causes + symptom("s") + "[observation.o]\ntitle = \"o\"\n"));
    EXPECT_FALSE(alike(causes + symptom("s") + observation("o")));
}

TEST(CausesAlike, AreBlurredByWhatIsSeenAnyway) {
    // 0.28 and 0.19 with the leak.
    EXPECT_TRUE(
        alike(cause("a", "s = 0.2") + cause("b", "s = 0.1") + symptom("s", "seen_anyway = 0.1")));
}

TEST(CausesAlike, AreBlurredByFalseAlarmsAndMisses) {
    const std::string few = cause("a", "s = 0.2") + cause("b", "s = 0.1");
    const std::string many = cause("a", "s = 0.95") + cause("b", "s = 0.85");
    EXPECT_FALSE(alike(few + symptom("s")));
    EXPECT_TRUE(alike(few + symptom("s", "phone_report = { misses = 0.0, false_alarm = 0.1 }")));
    EXPECT_FALSE(alike(many + symptom("s")));
    EXPECT_TRUE(alike(many + symptom("s", "phone_report = { misses = 0.2, false_alarm = 0.0 }")));
    EXPECT_FALSE(alike(few + observation("s")));
    EXPECT_TRUE(alike(few + observation("s", "", "misses = 0.0\nfalse_alarm = 0.1")));
}

TEST(CausesAlike, AreToldApartByTheBestOfSeveralTests) {
    EXPECT_FALSE(alike(cause("a", "s = 0.2") + cause("b", "s = 0.1") +
                       observation("s", "", "misses = 0.0\nfalse_alarm = 0.5") +
                       "[test.closer]\ntitle = \"look\"\nhow = \"Look.\"\nminutes = 9\n"
                       "reveals = [\"s\"]\n"));
}

TEST(CausesAlike, AreToldApartByWhatOneHides) {
    const std::string signs = symptom("s") + symptom("noise", "seen_anyway = 0.5");
    // 0.5 against 0.5 * 0.4
    EXPECT_FALSE(
        alike(cause("a", "s = 0.2", "masks = { noise = 0.6 }") + cause("b", "s = 0.2") + signs));
    EXPECT_TRUE(
        alike(cause("a", "s = 0.2", "masks = { noise = 0.4 }") + cause("b", "s = 0.2") + signs));
    // By what is seen alone, 0.04 against 0.1, and by what is not, 0.235 against 0.1.
    EXPECT_FALSE(alike(cause("a", "s = 0.2", "masks = { hum = 0.6 }") + cause("b", "s = 0.2") +
                       symptom("s") + symptom("hum", "seen_anyway = 0.1")));
    EXPECT_FALSE(alike(cause("a", "s = 0.2", "masks = { hum = 0.15 }") + cause("b", "s = 0.2") +
                       symptom("s") + symptom("hum", "seen_anyway = 0.9")));
}

TEST(CausesAlike, ShowLessWhereTheyComeAndGo) {
    const std::string causes =
        cause("a", "s = 0.2", "comes_and_goes = 0.5") + cause("b", "s = 0.2");
    EXPECT_FALSE(alike(causes + observation("s")));
    EXPECT_TRUE(alike(causes + observation("s", "steady = true")));
    EXPECT_TRUE(alike(causes + symptom("s")));
}

TEST(CausesAlike, AreToldApartByLevels) {
    const std::string levels = R"(levels = ["slow", "stopped"])";
    EXPECT_FALSE(alike(cause("a", "s = { slow = 0.3, stopped = 0.1 }") +
                       cause("b", "s = { slow = 0.1, stopped = 0.3 }") + symptom("s", levels)));
    EXPECT_TRUE(alike(cause("a", "s = { slow = 0.3, stopped = 0.2 }") +
                      cause("b", "s = { slow = 0.2, stopped = 0.3 }") + symptom("s", levels)));
    // The highest of cause and leak is seen: 0.7 * 0.3 of `slow` on one side, 0.7 * 0.16 on the
    // other.
    EXPECT_TRUE(alike(cause("a", "s = { slow = 0.3 }") + cause("b", "s = { slow = 0.16 }") +
                      symptom("s", levels + "\nseen_anyway = { stopped = 0.3 }")));
    EXPECT_TRUE(alike(cause("a", "s = { slow = 0.2 }") + cause("b", "s = { slow = 0.1 }") +
                      symptom("s", levels + "\nseen_anyway = { slow = 0.3 }")));
}

TEST(CausesAlike, SeeTheLowSideFirst) {
    const std::string levels = R"(levels = { low = ["low"], normal = "normal", high = ["high"] })";
    // low 0.5 and 0.3, normal 0.25 and 0.21, high 0.5 * 0.5 and 0.7 * 0.7. If the high side were
    // seen first, low were 0.5 * 0.5 and 0.3 * 0.3.
    EXPECT_TRUE(alike(cause("a", "s = { low = 0.5, high = 0.5 }") +
                      cause("b", "s = { low = 0.3, high = 0.7 }") + symptom("s", levels)));
    // normal 0.5 * 0.5 and 0.74 * 0.74: by each side alone nothing tells them apart.
    EXPECT_FALSE(alike(cause("a", "s = { low = 0.5, high = 0.5 }") +
                       cause("b", "s = { low = 0.26, high = 0.26 }") + symptom("s", levels)));
    EXPECT_FALSE(alike(cause("a", "s = { low = 0.2 }") + cause("b", "s = { high = 0.2 }") +
                       symptom("s", levels)));
}

TEST(CausesAlike, AreToldApartByKinds) {
    const std::string kinds = R"(kinds = ["short", "long"])";
    EXPECT_FALSE(alike(cause("a", "s = { short = 0.4, long = 0.2 }") +
                       cause("b", "s = { short = 0.2, long = 0.4 }") + symptom("s", kinds)));
    EXPECT_TRUE(alike(cause("a", "s = { short = 0.3, long = 0.2 }") +
                      cause("b", "s = { short = 0.2, long = 0.3 }") + symptom("s", kinds)));
    // The leak draws only where the cause draws nothing: `long` 0.9 * 0.1 and 0.5 * 0.1 are near,
    // and `short` is 0.1 and 0.5.
    EXPECT_FALSE(alike(cause("a", "s = { short = 0.1 }") + cause("b", "s = { short = 0.5 }") +
                       symptom("s", kinds + "\nseen_anyway = { long = 0.1 }")));
    // `long` 0.2 * 0.5 and 0.5 * 0.5, while misses blur what is not seen.
    EXPECT_FALSE(alike(cause("a", "s = { short = 0.8 }") + cause("b", "s = { short = 0.5 }") +
                       symptom("s", kinds + "\nseen_anyway = { long = 0.5 }\n"
                                            "phone_report = { misses = 0.5, false_alarm = 0.0 }")));
    // `short` 0.1 + 0.9 * 0.4 and 0.2 + 0.8 * 0.4.
    EXPECT_TRUE(alike(cause("a", "s = { short = 0.1 }") + cause("b", "s = { short = 0.2 }") +
                      symptom("s", kinds + "\nseen_anyway = { short = 0.4 }")));
}

TEST(CausesAlike, SeeReadingsByTheirLevels) {
    const std::string gauge =
        "reading = { unit = \"psi\", within = 2 }\n"
        "levels = { low = [\"low\"], normal = \"normal\", high = [\"high\"] }\n"
        "edges = { low = 20, high = 60 }";
    EXPECT_FALSE(alike(cause("a", "s = { low = 0.5 }") + cause("b", "s = { high = 0.5 }") +
                       observation("s", gauge)));
    EXPECT_TRUE(alike(cause("a", "s = { low = 0.5 }") + cause("b", "s = { low = 0.5 }") +
                      observation("s", gauge)));
}

TEST(CausesAlike, AreToldApartByConditionsThatExcludeEachOther) {
    const std::string pump =
        "[setting.pump]\ntitle = \"Pump\"\nchoices = { jet = \"1 in 3\", deep-jet = \"1 in 3\", "
        "submersible = \"1 in 3\" }\n";
    const std::string jet = R"(only_if = { pump = ["jet", "deep-jet"] })";
    EXPECT_FALSE(alike(pump + symptom("s") + cause("a", "s = 0.2", jet) +
                       cause("b", "s = 0.2", "only_if = { pump = \"submersible\" }")));
    EXPECT_TRUE(
        alike(pump + symptom("s") + cause("a", "s = 0.2", jet) +
              cause("b", "s = 0.2", "only_if = { pump = [\"deep-jet\", \"submersible\"] }")));
    EXPECT_TRUE(alike(pump + symptom("s") + cause("a", "s = 0.2", jet) + cause("b", "s = 0.2")));
}

TEST(CausesAlike, LeaveOutWhatIsNotSeen) {
    EXPECT_FALSE(alike(cause("a", "") + cause("b", "")));
    // The one that is seen shows little more than what is seen anyway.
    const std::string sign = symptom("s", "seen_anyway = 0.5");
    EXPECT_FALSE(alike(cause("a", "") + cause("b", "s = 0.1") + sign));
    EXPECT_FALSE(alike(cause("a", "s = 0.1") + cause("b", "") + sign));
    EXPECT_FALSE(alike(cause("a", "s = \"never\"") + cause("b", "s = \"never\"") + symptom("s")));
}

TEST(CausesAlike, AreToldApartByARevealedTable) {
    const std::string causes = symptom("s") + cause("a", "s = 0.2") + cause("b", "s = 0.2");
    for (const std::string above : {"a", "b"}) {
        std::string tables = R"(
[table.t]
states = ["no", "yes"]
given = ["?"]
rows = [[0.9, 0.1], [0.1, 0.9]]
[table.u]
states = ["no", "yes"]
given = ["t"]
rows = [[0.9, 0.1], [0.1, 0.9]]
)";
        tables.replace(tables.find('?'), 1, above);
        const std::string test = "[test.look]\ntitle = \"look\"\nhow = \"Look.\"\nminutes = 1\n"
                                 "reveals = [\"u\"]\n";
        tables += causes;
        EXPECT_TRUE(alike(tables));
        tables += test;
        EXPECT_FALSE(alike(tables));
    }
}

TEST(CausesAlike, NameEveryEarlierOne) {
    const Knowledge knowledge =
        knowledge_of(sure_reports + cause("a", "s = 0.2") + cause("b", "s = 0.9") +
                     cause("c", "s = 0.2") + cause("d", "s = 0.2") + symptom("s"));
    const auto found = causes_alike(knowledge);
    EXPECT_EQ(found[1], std::vector<CauseId>{});
    EXPECT_EQ(found[2], std::vector<CauseId>{CauseId(0)});
    EXPECT_EQ(found[3], (std::vector<CauseId>{CauseId(0), CauseId(2)}));
}

TEST(CausesSeen, NeedASignThatSomebodyAsksFor) {
    const Knowledge knowledge = knowledge_of(
        cause("by-phone", "s = 0.2") + cause("by-test", "o = 0.2") + cause("hidden", "h = 0.2") +
        cause("silent", "s = \"never\"") + cause("showing-nothing", "") + symptom("s") +
        observation("o") + "[observation.h]\ntitle = \"h\"\n");
    EXPECT_EQ(causes_seen(knowledge), (std::vector<bool>{true, true, false, false, false}));
}

}  // namespace
}  // namespace knockwell
