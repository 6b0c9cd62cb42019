// Worked cases: each expectation can pass and can fail, and says which.
#include "advice/practice.hpp"
#include "advice/well.hpp"

namespace knockwell {
namespace {

PracticeResult play(const std::string& body, const std::string& head = "") {
    const well::Bench bench(std::string(well::text) + "\n[practice.case]\ntitle = \"A case\"\n" +
                            head + body);
    auto results = run_practice(bench.model());
    EXPECT_EQ(results.size(), 1U);
    return results.front();
}

std::string failure(const std::string& body) {
    const PracticeResult result = play(body);
    EXPECT_FALSE(result.passed);
    return result.failures.empty() ? "" : result.failures.front();
}

const std::string surging = "says = { surging = \"yes\" }\n";

TEST(Practice, First) {
    EXPECT_TRUE(play(surging + "first = \"failed-bladder\"").passed);
    const std::string says = failure(surging + "first = \"plugged-port\"");
    EXPECT_EQ(says.find("'failed-bladder' ranks first ("), 0U) << says;
    EXPECT_NE(says.find("wanted first: 'plugged-port' has "), std::string::npos) << says;
}

TEST(Practice, Both) {
    const std::string two =
        "says = { surging = \"yes\" }\nfound = { contacts-open = "
        "\"yes@look-at-contacts\", tank-dull = \"yes\", bracket-rust = \"no\" }\n";
    EXPECT_TRUE(play(two + "both = [\"plugged-port\", \"failed-bladder\"]").passed);
    EXPECT_NE(failure(two + "both = [\"burnt-contacts\", \"failed-bladder\"]")
                  .find("wanted among the first 2: 'burnt-contacts'"),
              std::string::npos);
}

TEST(Practice, PlacesOfTheTrueCause) {
    const auto asked = [](const std::string& body) {
        const well::Bench bench(std::string(well::text) +
                                "\n[practice.case]\ntitle = \"A case\"\n" + body);
        return run_practice(bench.model(), Complaint::too).front();
    };
    const PracticeResult right = asked(surging + "first = \"failed-bladder\"");
    EXPECT_EQ(right.wanted, 1U);
    EXPECT_EQ(right.place, 1U);
    EXPECT_EQ(right.complaint, 1U);
    EXPECT_TRUE(right.complains);
    const PracticeResult wrong = asked(surging + "first = \"plugged-port\"");
    EXPECT_GT(wrong.place, 1U);
    EXPECT_EQ(wrong.place, wrong.complaint) << "nothing but the complaint was there";
    const PracticeResult silent =
        asked("found = { tank-dull = \"yes\" }\nfirst = \"failed-bladder\"");
    EXPECT_EQ(silent.place, 1U);
    EXPECT_FALSE(silent.complains);
    EXPECT_EQ(silent.complaint, 0U);
    const PracticeResult two =
        asked(surging + "found = { contacts-open = \"yes@look-at-contacts\", tank-dull = \"yes\", "
                        "bracket-rust = \"no\" }\nboth = [\"plugged-port\", \"failed-bladder\"]");
    EXPECT_EQ(two.wanted, 2U);
    EXPECT_EQ(two.place, 2U) << "the later of the two";
    EXPECT_EQ(two.complaint, 1U) << "the earlier of the two";
    EXPECT_EQ(asked("says = { swollen = \"yes\" }\nstop = \"swollen\"").wanted, 0U);
}

TEST(Practice, OnThePhoneTheOwnerAnswersWhatIsForTheOwner) {
    const auto place = [](std::string knowledge, const std::string& pump) {
        knowledge += "\n[practice.case]\ntitle = \"A case\"\n" + surging + "set = { pump = \"" +
                     pump + "\" }\nfirst = \"lost-prime\"\n";
        const well::Bench bench(knowledge);
        return run_practice(bench.model(), Complaint::too).front().complaint;
    };
    const std::string text(well::text);
    // Lost prime has 400 in 1000 with a jet and none with a submersible.
    EXPECT_LT(place(text, "jet"), place(text, "submersible"));
    // Where only a helper finds it out, the phone does not.
    const std::string ask = "ask     = \"Is the pump down in the well?\"\n";
    ASSERT_NE(text.find(ask), std::string::npos);
    const std::string helper =
        std::string(text).replace(text.find(ask), ask.size(), ask + "skill   = \"helper\"\n");
    EXPECT_EQ(place(helper, "jet"), place(helper, "submersible"));
}

TEST(Practice, RatesAreByFolder) {
    const auto result = [](std::uint32_t source, std::size_t wanted, std::size_t place,
                           std::size_t complaint) {
        PracticeResult it;
        it.where.source = source;
        it.wanted = wanted;
        it.place = place;
        it.complaint = complaint;
        it.complains = complaint > 0;
        return it;
    };
    const std::vector<Source> sources = {{"kb/practice/a.toml", ""},
                                         {"kb/practice/sealed/b.toml", ""},
                                         {"kb/practice/c.toml", ""},
                                         {"d.toml", ""}};
    const std::vector<PracticeRates> rates =
        practice_rates({result(0, 1, 1, 5), result(1, 1, 3, 6), result(1, 2, 2, 0),
                        result(2, 1, 4, 1), result(2, 0, 0, 0), result(3, 1, 0, 0)},
                       sources);
    ASSERT_EQ(rates.size(), 3U);
    EXPECT_EQ(rates[0].folder, "kb/practice");
    EXPECT_EQ(rates[0].cases, 2U);
    EXPECT_EQ(rates[0].first, 1U);
    EXPECT_EQ(rates[0].three, 1U);
    EXPECT_EQ(rates[0].complaints, 2U);
    EXPECT_EQ(rates[0].five, 2U);
    EXPECT_EQ(rates[1].folder, "kb/practice/sealed");
    EXPECT_EQ(rates[1].cases, 2U);
    EXPECT_EQ(rates[1].first, 1U) << "both are the first two";
    EXPECT_EQ(rates[1].three, 2U);
    EXPECT_EQ(rates[1].complaints, 1U);
    EXPECT_EQ(rates[1].five, 0U);
    EXPECT_EQ(rates[2].folder, ".");
    EXPECT_EQ(rates[2].first, 0U) << "nothing could be worked out";
}

TEST(Practice, Tempting) {
    EXPECT_TRUE(play(surging + "tempting = \"plugged-port\"").passed);
    EXPECT_EQ(failure(surging + "tempting = \"failed-bladder\"")
                  .find("the tempting guess comes first: 'failed-bladder'"),
              0U);
}

TEST(Practice, Stop) {
    EXPECT_TRUE(play("says = { swollen = \"yes\" }\nstop = \"swollen\"").passed);
    EXPECT_EQ(failure(surging + "stop = \"swollen\""), "the stop 'swollen' does not come up");
}

TEST(Practice, Next) {
    EXPECT_TRUE(play(surging + "next = [\"read-gauge\", \"knock\"]").passed);
    EXPECT_EQ(failure(surging + "next = [\"read-gauge\"]"),
              "'knock' is suggested first; wanted: read-gauge");
    EXPECT_EQ(failure("says = { swollen = \"yes\" }\nnext = [\"knock\"]"),
              "a stop comes first; wanted: knock");
}

TEST(Practice, AfterARepairItIsAnotherStage) {
    const std::string after = surging + "after = [{ did = \"replace-tank\", says = { surging = "
                                        "\"yes\" } }]\n";
    EXPECT_NE(failure(after + "first = \"failed-bladder\"").find("wanted first: 'failed-bladder'"),
              std::string::npos);
    EXPECT_TRUE(play(surging + "after = [{ did = \"replace-tank\", says = { swollen = \"yes\" } "
                               "}]\nstop = \"swollen\"")
                    .passed)
        << "found in the last stage";
}

TEST(Practice, GivesAndEvidence) {
    const std::string small = R"(
[table.rain]
title = "Rain"
states = ["dry", "wet"]
rows = [[0.75, 0.25]]
[table.grass]
title = "Grass"
states = ["dry", "wet"]
given = ["rain"]
rows = [[0.9, 0.1], [0.2, 0.8]]
[practice.sprinkler]
title = "Wet grass"
weighs = { grass = { wet = 1 } }
)";
    // P(wet) = 0.75 * 0.1 + 0.25 * 0.8 = 0.275; P(rain | wet) = 0.2 / 0.275 = 8 / 11
    const auto played = [&](const std::string& expect) {
        const well::Bench bench(small + expect);
        return run_practice(bench.model()).front();
    };
    EXPECT_TRUE(played("gives = { \"rain=wet\" = 0.7272727272727273 }\nevidence = 0.275").passed);
    const PracticeResult off = played("gives = { \"rain=wet\" = 0.7272 }");
    ASSERT_EQ(off.failures.size(), 1U);
    EXPECT_EQ(off.failures[0], "'rain=wet' has 0.727272727273; wanted 0.7272");
    EXPECT_EQ(off.span.begin.line, 14U) << "the place of the expectation";
    EXPECT_TRUE(played("gives = { \"rain=wet\" = 0.7272 }\nwithin = 1e-4").passed);
    const PracticeResult less = played("evidence = 0.3");
    ASSERT_EQ(less.failures.size(), 1U);
    EXPECT_EQ(less.failures[0], "all that was found has probability 0.275; wanted 0.3");
}

TEST(Practice, GivesOfACauseAndOfASign) {
    const std::string small = R"(
[cause.worn]
title = "Worn"
present = 0.2
[cause.worn.shows]
noise = 0.5
[symptom.noise]
title = "Noise"
seen_anyway = 0
[practice.quiet]
title = "Nothing known"
)";
    const auto played = [&](const std::string& expect) {
        const well::Bench bench(small + expect);
        return run_practice(bench.model()).front().passed;
    };
    EXPECT_TRUE(played("gives = { worn = 0.2, \"noise=yes\" = 0.1 }"));
    EXPECT_FALSE(played("gives = { worn = 0.21 }"));
    EXPECT_FALSE(played("gives = { \"noise=yes\" = 0.11 }"));
}

// The reader has looked at every case; a knowledge made otherwise must not be believed blindly.
TEST(Practice, AFindingThatCannotBeReadIsAFailureAtItsPlace) {
    Knowledge knowledge = knowledge_of(well::text);
    Practice broken;
    broken.head.id = "broken";
    WrittenFinding finding;
    finding.what = "surgin";
    finding.value = "maybe";
    finding.span.begin = {7, 3};
    broken.says = {finding};
    knowledge.practice = {broken};
    const Network network = compile(knowledge);
    const auto results = run_practice({&knowledge, &network});
    ASSERT_EQ(results.size(), 1U);
    EXPECT_FALSE(results[0].passed);
    EXPECT_EQ(results[0].span.begin.line, 7U);
    ASSERT_FALSE(results[0].failures.empty());
    EXPECT_EQ(results[0].failures[0].find("'surgin = maybe': "), 0U) << results[0].failures[0];
}

TEST(Practice, FailuresAreWarningsThatCanBeAnswered) {
    const std::string wrong = surging + "first = \"plugged-port\"\n";
    const auto problems = [&](const std::string& more) {
        const well::Bench bench(std::string(well::text) +
                                "\n[practice.case]\ntitle = \"A case\"\n" + wrong + more);
        return practice_problems(bench.model());
    };
    const auto found = problems("");
    ASSERT_EQ(found.size(), 1U);
    EXPECT_EQ(found[0].code, "practice-fails");
    EXPECT_EQ(found[0].severity, Severity::warning);
    EXPECT_TRUE(found[0].span.somewhere());
    EXPECT_TRUE(problems("accept = { practice-fails = \"known\" }").empty());
}

}  // namespace
}  // namespace knockwell
