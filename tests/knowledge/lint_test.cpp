#include "knowledge/lint.hpp"
#include "support/knowledge_of.hpp"

#include <gtest/gtest.h>

#include <string>

namespace knockwell {
namespace {

// Nothing here is worth a warning.
const std::string quiet = R"(
[cause.failed-bladder]
title = "The bladder of the tank has failed"
present = "10 in 1000"
shows = { short-cycling = "8 in 10", dull = "9 in 10" }

[cause.plugged-port]
title = "Deposits plug the port of the switch"
present = "6 in 1000"
shows = { outage = "6 in 10" }

[symptom.short-cycling]
title = "The pump starts every few seconds"
seen_anyway = "1 in 100"

[symptom.outage]
title = "Water goes away and comes back by itself"
seen_anyway = "1 in 100"

[observation.dull]
title = "The tank sounds dull when knocked"
seen_anyway = "1 in 100"

[test.knock]
title = "Knock on the tank"
how = "Knock at the top and at the bottom."
reveals = ["dull"]
minutes = 1
needs = { skill = "owner" }

[test.wait]
title = "Wait for the next time"
how = "Draw water, and wait."
reveals = ["outage"]
minutes = 30
needs = { skill = "owner" }

[repair.change-tank]
title = "Change the tank"
how = "Change it."
fixes = { failed-bladder = "98 in 100" }
minutes = 90
recheck = ["knock"]

[repair.clear-port]
title = "Clear the port"
how = "Clear it."
fixes = { plugged-port = "95 in 100" }
minutes = 20
recheck = ["wait"]
)";

/// Every warning of `text` as "code: says".
std::vector<std::string> warnings(const std::string& text) {
    std::vector<std::string> all;
    for (const Problem& problem : lint(knowledge_of(text))) {
        EXPECT_EQ(problem.severity, Severity::warning);
        EXPECT_TRUE(problem.span.somewhere());
        EXPECT_FALSE(problem.help.empty());
        all.push_back(problem.code + ": " + problem.says);
    }
    return all;
}

std::string with_accept(std::string text, const std::string& header, const std::string& code) {
    const std::size_t at = text.find(header);
    EXPECT_NE(at, std::string::npos);
    return text.insert(at + header.size(), "\naccept = { " + code + " = \"it is right so\" }");
}

using Lines = std::vector<std::string>;

const std::string hidden = R"(
[cause.worn-thread]
title = "Worn thread"
present = "1 in 1000"
shows = { drip = "9 in 10" }
refer = "electrician"
[refer.electrician]
title = "Electrician"
to = "electrician"
takes = ["plugged-port"]
[observation.drip]
title = "Drip at the thread"
seen_anyway = "1 in 100"
)";

TEST(Lint, IsSilentWhereAllIsWell) { EXPECT_EQ(warnings(quiet), Lines{}); }

TEST(Lint, WarnsOfCausesAndObservationsThatNobodyCanSee) {
    EXPECT_EQ(warnings(quiet + hidden),
              (Lines{"cause-unseen: no test and no customer can ever show cause 'worn-thread'",
                     "sign-unasked: no test reveals observation 'drip'"}));
}

TEST(Lint, WarnsOfACauseThatShowsNothing) {
    EXPECT_EQ(warnings(quiet + "[cause.ghost]\ntitle = \"Ghost\"\npresent = \"1 in 1000\"\n"
                               "[repair.exorcise]\ntitle = \"x\"\nhow = \"x\"\nminutes = 1\n"
                               "accept = { recheck-missing = \"x\" }\n"
                               "fixes = { ghost = \"1 in 2\" }\n"),
              (Lines{"cause-unseen: no test and no customer can ever show cause 'ghost'"}));
}

TEST(Lint, NamesTheObservationsOfAnUnseenCause) {
    const std::string text =
        quiet + "[cause.x]\ntitle = \"x\"\npresent = \"1 in 1000\"\n"
                "shows = { outage = \"never\", drip = \"9 in 10\" }\n"
                "[observation.drip]\ntitle = \"Drip\"\n"
                "[repair.r]\ntitle = \"x\"\nhow = \"x\"\nminutes = 1\nfixes = { x = 0.5 }\n"
                "accept = { recheck-missing = \"x\" }\n";
    const std::vector<Problem> problems = lint(knowledge_of(text));
    ASSERT_FALSE(problems.empty());
    EXPECT_EQ(problems[0].code, "cause-unseen");
    ASSERT_EQ(problems[0].notes.size(), 1U);
    EXPECT_EQ(problems[0].notes[0].says,
              "no test reveals observation 'drip' where the cause can be");
}

TEST(Lint, WarnsOfASignThatNothingShows) {
    EXPECT_EQ(warnings(quiet + "[symptom.hum]\ntitle = \"Hum\"\n"),
              (Lines{"sign-unshown: no cause shows symptom 'hum'"}));
    EXPECT_EQ(warnings(quiet + "[cause.x]\ntitle = \"x\"\npresent = \"1 in 1000\"\n"
                               "shows = { outage = \"1 in 20\", hum = \"never\" }\n"
                               "[symptom.hum]\ntitle = \"Hum\"\n"
                               "[repair.r]\ntitle = \"x\"\nhow = \"x\"\nminutes = 1\n"
                               "accept = { recheck-missing = \"x\" }\n"
                               "fixes = { x = \"1 in 2\" }\n"),
              (Lines{"sign-unshown: no cause shows symptom 'hum'"}));
}

TEST(Lint, WantsAReasonWhereOnlyAStopAsksForASign) {
    const std::string text = quiet + "[symptom.shock]\ntitle = \"Somebody felt a shock\"\n"
                                     "[stop.shock]\ntitle = \"Shock\"\n"
                                     "when = { shock = \"yes\" }\ndo_now = \"Keep away.\"\n"
                                     "cleared_by = [\"dull\"]\n";
    EXPECT_EQ(warnings(text), (Lines{"sign-unshown: no cause shows symptom 'shock'"}));
    EXPECT_EQ(warnings(with_accept(text, "[symptom.shock]", "sign-unshown")), Lines{});
}

TEST(Lint, WarnsOfAStopThatNothingEnds) {
    const std::string stop = quiet + "[stop.dull]\ntitle = \"Dull\"\n"
                                     "when = { dull = \"yes\" }\ndo_now = \"Keep away.\"\n";
    EXPECT_EQ(warnings(stop), (Lines{"stop-stays: nothing ends stop 'dull' once it has come up"}));
    EXPECT_EQ(warnings(stop + "cleared_by = [\"outage\"]\n"), Lines{});
    EXPECT_EQ(warnings(stop + "mended_by = [\"change-tank\"]\n"), Lines{});
    EXPECT_EQ(warnings(with_accept(stop, "[stop.dull]", "stop-stays")), Lines{});
}

TEST(Lint, WarnsOfADominatedTest) {
    EXPECT_EQ(warnings(quiet + "[test.knock-again]\ntitle = \"x\"\nhow = \"x\"\n"
                               "reveals = [\"dull\"]\nminutes = 5\n"),
              (Lines{"test-dominated: test 'knock' tells as much as test 'knock-again', as surely, "
                     "and costs no more"}));
}

const std::string twin = R"(
[cause.lost-air]
title = "The tank has lost its air"
present = "20 in 1000"
shows = { short-cycling = "7 in 10", dull = "9 in 10" }
[repair.add-air]
title = "Add air"
how = "Add it."
fixes = { lost-air = "9 in 10" }
minutes = 10
recheck = ["knock"]
)";

TEST(Lint, WarnsOfCausesAlike) {
    EXPECT_EQ(warnings(quiet + twin),
              (Lines{"causes-alike: no test and no question tells cause 'lost-air' from "
                     "'failed-bladder' by a factor of 2"}));
}

TEST(Lint, LetsEitherOfTwoCausesAnswer) {
    EXPECT_EQ(warnings(with_accept(quiet + twin, "[cause.lost-air]", "causes-alike")), Lines{});
    const std::string first = with_accept(quiet + twin, "[cause.failed-bladder]", "causes-alike");
    EXPECT_EQ(warnings(first), Lines{});
    EXPECT_EQ(warnings(with_accept(first, "[cause.lost-air]", "causes-alike")), Lines{});
}

TEST(Lint, WarnsOfACauseWithoutCure) {
    const std::string cause = "[cause.dry-well]\ntitle = \"Dry\"\npresent = \"1 in 1000\"\n"
                              "shows = { outage = \"1 in 20\" }\n";
    EXPECT_EQ(
        warnings(quiet + cause),
        (Lines{
            "no-cure: no repair fixes cause 'dry-well' where it can be, and no refer takes it"}));
    EXPECT_EQ(warnings(quiet + cause +
                       "[refer.driller]\ntitle = \"Driller\"\n"
                       "to = \"well-contractor\"\ntakes = [\"dry-well\"]\n"),
              Lines{});
    EXPECT_EQ(
        warnings(quiet + cause +
                 "[repair.hope]\ntitle = \"x\"\nhow = \"x\"\nminutes = 1\n"
                 "accept = { recheck-missing = \"x\" }\n"
                 "fixes = { dry-well = \"never\", plugged-port = 0.5 }\n"),
        (Lines{
            "no-cure: no repair fixes cause 'dry-well' where it can be, and no refer takes it"}));
}

TEST(Lint, WarnsOfAToolThatReadsLikeAnother) {
    // The two repairs of the quiet text, with these tools; the test wants the first one too.
    const auto tools = [](const std::string& one, const std::string& other) {
        const auto in = [](const std::string& tool) { return "\ntools = [\"" + tool + "\"]"; };
        std::string text = quiet;
        const auto put = [&](const std::string& behind, const std::string& tool) {
            text.insert(text.find(behind) + behind.size(), in(tool));
        };
        put("minutes = 1", one);
        put("minutes = 90", one);
        put("minutes = 20", other);
        return warnings(text);
    };
    EXPECT_EQ(tools("pipe wrench", "pip wrench"),
              Lines{"tool-alike: repair 'clear-port' wants the tool 'pip wrench', another one "
                    "'pipe wrench'"});
    EXPECT_EQ(tools("pip wrench", "pipe wrench"),
              Lines{"tool-alike: repair 'clear-port' wants the tool 'pipe wrench', another one "
                    "'pip wrench'"})
        << "the rarer one is the slip";
    EXPECT_EQ(tools("pipe wrench", "pipe clamp"), Lines{});
    EXPECT_EQ(tools("awl", "saw"), Lines{}) << "too short to tell";
    const std::string long_name(70, 'x');
    EXPECT_EQ(tools(long_name + "a", long_name + "b"), Lines{}) << "not read to its end";
}

TEST(Lint, IsAnsweredInTheFile) {
    std::string text = with_accept(quiet + hidden, "[cause.worn-thread]", "cause-unseen");
    EXPECT_EQ(warnings(text), (Lines{"sign-unasked: no test reveals observation 'drip'"}));
    text = with_accept(text, "[observation.drip]", "sign-unasked");
    EXPECT_EQ(warnings(text), Lines{});
}

TEST(Lint, WarnsOfAnAcceptThatSilencesNothing) {
    EXPECT_EQ(warnings(with_accept(quiet, "[test.knock]", "test-dominated")),
              (Lines{"accept-unused: test 'knock' accepts 'test-dominated', but nothing warns of "
                     "that"}));
    EXPECT_EQ(warnings(with_accept(quiet, "[repair.clear-port]", "no-cure")),
              (Lines{"accept-unused: repair 'clear-port' accepts 'no-cure', but nothing warns of "
                     "that"}));
    EXPECT_EQ(warnings(with_accept(quiet, "[cause.plugged-port]", "accept-unused")),
              (Lines{"accept-unused: cause 'plugged-port' accepts 'accept-unused', but nothing "
                     "warns of that"}));
}

TEST(Lint, LeavesOtherAcceptsOfAPracticeCaseAlone) {
    const std::string practice =
        "[practice.first-call]\ntitle = \"x\"\nsays = { outage = \"yes\" }\n"
        "first = \"plugged-port\"\n";
    EXPECT_EQ(warnings(with_accept(quiet + practice, "[practice.first-call]", "practice-fails")),
              Lines{});
    EXPECT_EQ(warnings(with_accept(quiet + practice, "[practice.first-call]", "no-cure")),
              (Lines{"accept-unused: practice 'first-call' accepts 'no-cure', but nothing warns of "
                     "that"}));
}

TEST(Lint, PointsAtTheIdentifierAndHelps) {
    const std::string text = quiet + twin;
    const std::vector<Problem> problems = lint(knowledge_of(text));
    ASSERT_EQ(problems.size(), 1U);
    const Problem& problem = problems[0];
    EXPECT_EQ(problem.span.begin.line, problem.span.end.line);
    EXPECT_EQ(problem.span.begin.column, std::string("[cause.").size() + 1);
    EXPECT_EQ(problem.span.end.column, std::string("[cause.lost-air").size() + 1);
    EXPECT_EQ(problem.help, "add a sign that one of them shows at least twice as often, or say why "
                            "it is right: accept = { causes-alike = \"...\" }");
    ASSERT_EQ(problem.notes.size(), 1U);
    EXPECT_EQ(problem.notes[0].says, "cause 'failed-bladder' is here");
    EXPECT_LT(problem.notes[0].span.begin.line, problem.span.begin.line);
}

// Each way to name a thing is enough.
TEST(Lint, WarnsOfWhatNothingNames) {
    const std::string roof =
        "[setting.roof]\ntitle = \"Roof\"\nunit = \"psi\"\nchoices = { a = \"1 "
        "in 2\", b = \"1 in 2\" }\ngives = { a = { load = 1 }, b = { load = 2 } }\n";
    const std::string attic = "[access.attic]\ntitle = \"Attic\"\nminutes = 5\n";
    const std::string ladder = "[caution.ladder]\ntext = \"Somebody holds the ladder.\"\n";
    const std::string core = "[part.core]\ntitle = \"Valve core\"\n";
    EXPECT_EQ(
        warnings(quiet + roof + attic + ladder + core),
        (Lines{"left-over: nothing names setting 'roof'", "left-over: nothing names access 'attic'",
               "left-over: nothing names caution 'ladder'",
               "left-over: nothing names part 'core'"}));
    const auto named = [](const std::string& after, const std::string& line) {
        std::string text = quiet;
        return text.insert(text.find(after), line + "\n");
    };
    EXPECT_EQ(warnings(named("fixes = { plugged", "parts = { core = 1 }") + core), Lines{});
    EXPECT_EQ(warnings(named("fixes = { plugged", "at = \"attic\"") + attic), Lines{});
    EXPECT_EQ(warnings(named("fixes = { plugged", "cautions = [\"ladder\"]") + ladder), Lines{});
    EXPECT_EQ(warnings(named("fixes = { plugged", "at = \"attic\"") + attic +
                       "cautions = [\"ladder\"]\n" + ladder),
              Lines{});
    for (const char* so :
         {"only_if = { roof = \"a\" }", "raised_by = [{ when = { roof = \"a\" }, times = 2 }]"})
        EXPECT_EQ(warnings(named("shows = { outage", so) + roof), Lines{}) << so;
    const std::string refer =
        "[refer.crew]\ntitle = \"Crew\"\nto = \"well-contractor\"\ntakes = [\"plugged-port\"]\n";
    EXPECT_EQ(warnings(quiet + refer + "only_if = { roof = \"a\" }\n" + roof), Lines{});
    const std::string table =
        "[table.shade]\ntitle = \"Shade\"\nstates = [\"no\", \"yes\"]\ngiven = [\"roof\"]\n"
        "rows = [[0.5, 0.5], [0.25, 0.75]]\n";
    EXPECT_EQ(warnings(quiet + roof + table), Lines{});
    // A setting that is used names where it is read, and what to heed there.
    const std::string asked = quiet + refer + "only_if = { roof = \"a\" }\n" + roof;
    EXPECT_EQ(warnings(asked + "at = \"attic\"\n" + attic), Lines{});
    EXPECT_EQ(warnings(asked + "cautions = [\"ladder\"]\n" + ladder), Lines{});
    EXPECT_EQ(warnings(named("fixes = { plugged", "at = \"beam\"") + attic +
                       "[access.beam]\ntitle = \"Beam\"\nminutes = 1\nvia = \"attic\"\n"),
              Lines{});
    EXPECT_EQ(warnings(quiet +
                       "[stop.gas]\ntitle = \"Gas\"\nwhen = { outage = \"yes\" }\n"
                       "do_now = \"Leave.\"\ncleared_by = [\"dull\"]\n"
                       "cautions = [\"ladder\"]\n" +
                       ladder),
              Lines{});
    const std::string weight =
        "[observation.weight]\ntitle = \"Weight\"\nlevels = [\"heavy\"]\nreading = { unit = "
        "\"psi\", "
        "within = 1 }\nedges = { heavy = { of = \"load\" } }\naccept = { sign-unshown = \"x\", "
        "sign-unasked = \"x\" }\n";
    EXPECT_EQ(warnings(quiet + roof + weight), Lines{}) << "a quantity of it is enough";
    EXPECT_EQ(warnings(with_accept(quiet + core, "[part.core]", "left-over")), Lines{});
}

TEST(Lint, WarnsOfWhatIsWrongMoreOftenThanRight) {
    const auto reports = [](const std::string& lines) {
        return warnings("[reports]\n" + lines + "\n" + quiet);
    };
    EXPECT_EQ(
        reports("told = { misses = \"8 in 10\", false_alarm = \"1 in 20\" }\n"
                "looked = { misses = \"1 in 20\", false_alarm = \"9 in 10\" }"),
        (Lines{"misses-most: what customers tell ('told' of [reports]) is wrong 8 in 10 times "
               "where a sign is there",
               "misses-most: a look without a test ('looked' of [reports]) is wrong 9 in 10 "
               "times where a sign is not there"}));
    EXPECT_EQ(reports("told = { misses = \"5 in 10\", false_alarm = \"4 in 10\" }"), Lines{});
    // A test that takes one number from there is not told as well.
    std::string text =
        "[reports]\nlooked = { misses = \"8 in 10\", false_alarm = \"1 in 20\" }\n" + quiet;
    text.insert(text.find("needs = { skill"), "false_alarm = \"1 in 50\"\n");
    EXPECT_EQ(warnings(text).size(), 1U);
}

TEST(Lint, WarnsOfACauseThatIsNearlyEverywhere) {
    const auto present = [](const std::string& so) {
        std::string text = quiet;
        const std::string was = "\"6 in 1000\"";
        return warnings(text.replace(text.find(was), was.size(), so));
    };
    const std::string cause = "present-often: cause 'plugged-port' is in ";
    const std::string anyway = "all installations, whether anybody calls or not";
    EXPECT_EQ(present("\"3 in 10\""), Lines{cause + "3 in 10 of " + anyway});
    EXPECT_EQ(present("\"always\""), Lines{cause + anyway});
    EXPECT_EQ(present("0.3"), Lines{cause + "0.3 of " + anyway});
    EXPECT_EQ(present("\"2 in 10\""), Lines{});
    EXPECT_EQ(present("\"never\""), Lines{});
}

TEST(Lint, NamesTheNearestCodes) {
    const std::vector<Problem> problems =
        lint(knowledge_of(with_accept(quiet, "[cause.plugged-port]", "no-cures")));
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].help, "write instead: no-cure");
}

}  // namespace
}  // namespace knockwell
