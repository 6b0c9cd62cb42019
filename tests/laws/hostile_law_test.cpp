// Knowledge that nobody sane would write, through its text: it is answered, or refused in words,
// and neither the stack nor the memory is asked for more than there is.
#include "knowledge/read.hpp"
#include "laws/asked.hpp"
#include "support/knowledge_of.hpp"

#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmath>
#include <random>
#include <utility>

namespace knockwell::laws {
namespace {

std::string numbered(const std::string& kind, std::size_t i) { return kind + std::to_string(i); }

std::string symptom(std::size_t s) {
    return "[symptom." + numbered("sign-", s) + "]\ntitle = \"Sign\"\nseen_anyway = \"1 in 100\"\n";
}

/// Each cause is brought on by the one before; the last shows. Written forwards or backwards.
std::string chain_of(std::size_t causes, bool backwards) {
    std::string toml = symptom(0);
    for (std::size_t i = 0; i < causes; ++i) {
        const std::size_t c = backwards ? causes - 1 - i : i;
        toml += "[cause." + numbered("cause-", c) + "]\ntitle = \"Cause\"\npresent = 0.001\n";
        if (c > 0)
            toml += "brought_on_by = { " + numbered("cause-", c - 1) + " = 0.9 }\n";
        if (c + 1 == causes)
            toml += "shows = { sign-0 = 0.8 }\n";
    }
    return toml;
}

/// `findings` signs, each shown by `parents` of the causes with 0.02 to 0.12.
std::string crowd(std::size_t causes, std::size_t findings, std::size_t parents) {
    std::mt19937_64 dice(findings);
    std::string toml;
    std::vector<std::string> shows(causes);
    for (std::size_t s = 0; s < findings; ++s) {
        toml += symptom(s);
        const std::size_t first = dice() % causes;
        const std::size_t step = 1 + dice() % 3;
        for (std::size_t i = 0; i < parents; ++i)
            shows[(first + i * step) % causes] +=
                numbered("sign-", s) + " = 0." + std::to_string(102 + dice() % 10).substr(1) + "\n";
    }
    for (std::size_t c = 0; c < causes; ++c)
        toml += "[cause." + numbered("cause-", c) +
                "]\ntitle = \"Cause\"\npresent = \"1 in 100\"\n[cause." + numbered("cause-", c) +
                ".shows]\n" + shows[c];
    return toml;
}

Evidence found(std::size_t present, std::size_t absent) {
    Evidence evidence;
    for (std::size_t s = 0; s < present + absent; ++s)
        evidence.findings.push_back({SignId(s), s < present ? 1U : 0U, {}, {}, Via::sure, {}, 0});
    return evidence;
}

/// [cause] P(present | the sign is there), by adding up along the chain from both ends.
std::vector<Real> posterior_of_chain(std::size_t causes) {
    constexpr Real base = 0.001;
    constexpr Real passes = 0.9;
    // P(present), and for each cause P(sign | it is absent, present).
    std::vector<Real> there(causes);
    there[0] = base;
    for (std::size_t c = 1; c < causes; ++c)
        there[c] = 1 - (1 - base) * (1 - passes * there[c - 1]);
    Real absent = Real(0.01);
    Real present = 1 - (1 - Real(0.01)) * (1 - Real(0.8));
    std::vector<Real> posterior(causes);
    for (std::size_t c = causes; c-- > 0;) {
        posterior[c] = there[c] * present / (there[c] * present + (1 - there[c]) * absent);
        const Real next_if_absent = base;
        const Real next_if_present = 1 - (1 - base) * (1 - passes);
        const Real from_absent = next_if_absent * present + (1 - next_if_absent) * absent;
        present = next_if_present * present + (1 - next_if_present) * absent;
        absent = from_absent;
    }
    return posterior;
}

TEST(Hostile, AChainOfFiveThousandCausesIsAnswered) {
    constexpr std::size_t causes = 5000;
    const std::vector<Real> right = posterior_of_chain(causes);
    for (const bool backwards : {false, true}) {
        SCOPED_TRACE(backwards ? "written backwards" : "written forwards");
        const Knowledge knowledge = knowledge_of(chain_of(causes, backwards));
        const Network network = compile(knowledge);
        const Model model{&knowledge, &network};
        const Answer answer = posterior(model, found(1, 0));
        ASSERT_TRUE(std::holds_alternative<Posterior>(answer));
        const std::vector<double>& now = std::get<Posterior>(answer).cause;
        for (std::size_t c = 0; c < causes; ++c) {
            const CauseId id = cause_named(knowledge, numbered("cause-", c));
            // The counts of the text are doubles: a chain of 0.9 and 0.001 forgets within some
            // hundred links, so they lose no more than a sum of some hundred.
            ASSERT_NEAR(now[id.index()], static_cast<double>(right[c]), 1e-12) << "cause " << c;
        }
        EXPECT_TRUE(unlisted(model, found(1, 0)).has_value());
        EXPECT_EQ(ranges(model, found(1, 0), 8).draws, 8U);
        const std::vector<Look> looks{{{SignId(std::size_t{0})}, Via::looked, {}}};
        EXPECT_FALSE(
            predict_all(model, found(1, 0), looks, now, explainers(model, found(1, 0)))[0].empty());
    }
}

TEST(Hostile, SetsOfAChainAreFoundOrSaidToBeCutShort) {
    const Knowledge knowledge = knowledge_of(chain_of(200, false));
    const Network network = compile(knowledge);
    const CauseSets sets = most_probable_sets({&knowledge, &network}, found(1, 0), 3);
    ASSERT_FALSE(sets.sets.empty());
    for (std::size_t i = 1; i < sets.sets.size(); ++i)
        EXPECT_GE(sets.sets[i - 1].p, sets.sets[i].p);
}

/// MiB that the deed takes at its height, seen in a process of its own.
template <class Deed>
double memory_of(const Deed& deed) {
    const auto peak = [] {
        rusage used{};
        getrusage(RUSAGE_SELF, &used);
        // NOLINTNEXTLINE(cppcoreguidelines-pro-type-union-access): the system declares it so
        return used.ru_maxrss;
    };
    int ends[2];
    if (pipe(ends) != 0)
        return -1;
    const pid_t child = fork();
    if (child == 0) {
        const long before = peak();
        deed();
        const long grown = peak() - before;
        _exit(::write(ends[1], &grown, sizeof grown) == sizeof grown ? 0 : 1);
    }
    ::close(ends[1]);
    long grown = -1;
    if (::read(ends[0], &grown, sizeof grown) != sizeof grown)
        grown = -1;
    ::close(ends[0]);
    waitpid(child, nullptr, 0);
    return static_cast<double>(grown) / 1024;
}

// Each part of the search must not keep its own list of a thousand causes: that took 900 MiB.
TEST(Hostile, SetsOfALongChainTakeLittleMemory) {
    std::string toml = chain_of(1000, false);
    for (const auto& [from, to] :
         {std::pair<std::string, std::string>{"0.001", "0.01"}, {" = 0.9", " = 0.5"}})
        for (std::size_t at = 0; (at = toml.find(from, at)) != std::string::npos; ++at)
            toml.replace(at, from.size(), to);
    const Knowledge knowledge = knowledge_of(toml);
    const Network network = compile(knowledge);
    const double taken = memory_of([&] {
        (void)most_probable_sets({&knowledge, &network}, found(1, 0), 5);
    });
    EXPECT_GE(taken, 0);
    EXPECT_LT(taken, 200);
}

// Sixty causes a finding, forty of them found present: the tables would be of 2^30 numbers and
// more.
TEST(Hostile, SixtyCausesAFindingAndFortyFoundAreRefusedInWords) {
    const Knowledge knowledge = knowledge_of(crowd(200, 44, 60));
    const Network network = compile(knowledge);
    const Model model{&knowledge, &network};
    const Evidence evidence = found(40, 0);
    const Answer answer = posterior(model, evidence);
    ASSERT_TRUE(std::holds_alternative<TooWide>(answer));
    EXPECT_GT(std::get<TooWide>(answer).width, 24);
    const std::vector<Look> looks{{{SignId(std::size_t{41})}, Via::looked, {}}};
    const std::vector<double> now(knowledge.causes.size(), 0.01);
    EXPECT_TRUE(predict(model, evidence, looks[0]).empty());
    EXPECT_FALSE(unlisted(model, evidence).has_value());
    EXPECT_TRUE(most_probable_sets(model, evidence).sets.empty());
    EXPECT_EQ(ranges(model, evidence, 8).draws, 0U);
    EXPECT_TRUE(std::isnan(misfit(model, evidence)));
}

// Next to nothing can be said of it, and that in no time and no memory.
TEST(Hostile, WhatIsFarTooWideIsEnclosedAtOnce) {
    const Knowledge knowledge = knowledge_of(crowd(120, 34, 30));
    const Network network = compile(knowledge);
    const Model model{&knowledge, &network};
    const Evidence evidence = found(32, 0);
    ASSERT_TRUE(std::holds_alternative<TooWide>(posterior(model, evidence)));
    const double taken = memory_of([&] { (void)enclose(model, evidence, 1e6); });
    EXPECT_GE(taken, 0);
    EXPECT_LT(taken, 200);
    const std::optional<Enclosure> bounds = enclose(model, evidence, 1e6);
    ASSERT_TRUE(bounds.has_value());
    EXPECT_GT(bounds->cuts, 0U);
    EXPECT_LT(bounds->log_evidence.low, bounds->log_evidence.high);
    EXPECT_LE(bounds->log_evidence.high, 0);
    for (const Range& cause : bounds->cause) {
        EXPECT_LE(0, cause.low);
        EXPECT_LE(cause.low, cause.high);
        EXPECT_LE(cause.high, 1);
    }
}

TEST(Hostile, SixtyCausesAFindingAndNineFoundAreAnswered) {
    const Knowledge knowledge = knowledge_of(crowd(200, 44, 60));
    const Network network = compile(knowledge);
    const Answer answer = posterior({&knowledge, &network}, found(9, 20));
    ASSERT_TRUE(std::holds_alternative<Posterior>(answer));
    for (const double p : std::get<Posterior>(answer).cause)
        EXPECT_TRUE(p > 0 && p < 1) << p;
}

/// `settings` settings of `choices` choices each, alike.
std::string settings_of(std::size_t settings, std::size_t choices) {
    std::string toml;
    for (std::size_t s = 0; s < settings; ++s) {
        toml += "[setting." + numbered("setting-", s) + "]\ntitle = \"Setting\"\nchoices = {";
        for (std::size_t c = 0; c < choices; ++c)
            toml += (c == 0 ? " " : ", ") + numbered("choice-", c) + " = \"1 in " +
                    std::to_string(choices) + "\"";
        toml += " }\n";
    }
    return toml;
}

/// Causes that each hang on the first `settings` settings and on nothing else.
std::string causes_on(std::size_t settings, std::size_t causes) {
    std::string only_if;
    for (std::size_t s = 0; s < settings; ++s)
        only_if += (s == 0 ? " " : ", ") + numbered("setting-", s) + " = \"choice-0\"";
    std::string toml = symptom(0);
    for (std::size_t c = 0; c < causes; ++c)
        toml += "[cause." + numbered("cause-", c) +
                "]\ntitle = \"Cause\"\npresent = \"1 in 100\"\nonly_if = {" + only_if +
                " }\nshows = { sign-0 = 0.8 }\n";
    return toml;
}

/// What is wrong with it, first by place in the text; empty where nothing is.
std::string first_error(const std::string& toml) {
    const ReadResult read = read_text(toml + "[manifest]\nname = \"x\"\nversion = \"1\"\n"
                                             "format = 1\n");
    for (const Problem& problem : read.problems)
        if (problem.severity == Severity::error)
            return problem.says;
    return "";
}

// 10^12 rows for one cause, and 2^64, which a size wraps to none.
TEST(Hostile, ACauseOnMoreCasesOfItsSettingsThanCanBeHeldIsRefusedInWords) {
    for (const auto& [settings, choices] :
         {std::pair<std::size_t, std::size_t>{12, 10}, {64, 2}, {17, 2}})
        EXPECT_EQ(first_error(settings_of(settings, choices) + causes_on(settings, 1)),
                  "cause 'cause-0' hangs on over 65536 cases of its settings");
    EXPECT_EQ(first_error(settings_of(16, 2) + causes_on(16, 1)), "");
}

// Each edge of the reading is of another setting.
TEST(Hostile, AReadingOnMoreCasesOfItsSettingsThanCanBeHeldIsRefusedInWords) {
    constexpr std::size_t settings = 17;
    std::string toml;
    std::string levels;
    std::string edges;
    for (std::size_t s = 0; s < settings; ++s) {
        const std::string n = std::to_string(s);
        toml += "[setting.setting-" + n + "]\ntitle = \"Setting\"\nunit = \"psi\"\n" +
                "choices = { a = \"1 in 2\", b = \"1 in 2\" }\ngives = { a = { edge-" + n + " = " +
                n + " }, b = { edge-" + n + " = " + n + ".5 } }\n";
        levels += (s == 0 ? "\"" : ", \"") + numbered("level-", s) + "\"";
        edges += (s == 0 ? " " : ", ") + numbered("level-", s) + " = { of = \"edge-" + n + "\" }";
    }
    toml += "[observation.gauge]\ntitle = \"Gauge\"\nreading = { unit = \"psi\", within = 1 }\n" +
            ("levels = [" + levels + "]\nedges = {" + edges + " }\n");
    EXPECT_EQ(first_error(toml), "observation 'gauge' hangs on over 65536 cases of its settings");
}

// None of them is too much by itself: five times 65536 rows are.
TEST(Hostile, ManyCausesOnManyCasesAreRefusedInWordsOnce) {
    const std::string settings = settings_of(16, 2);
    EXPECT_EQ(first_error(settings + causes_on(16, 4)), "");
    EXPECT_EQ(first_error(settings + causes_on(16, 8)),
              "with cause 'cause-4' causes and readings have over 262144 rows for the cases of "
              "their settings");
}

// What would take too long is left out, and that can be seen.
TEST(Hostile, WhatWouldTakeTooLongIsLeftOut) {
    const Knowledge knowledge = knowledge_of(crowd(200, 44, 60));
    const Network network = compile(knowledge);
    const Model model{&knowledge, &network};
    EXPECT_EQ(ranges(model, found(6, 0), 8).draws, 8U);
    EXPECT_EQ(ranges(model, found(6, 0), 1'000'000'000).draws, 0U);
}

// What is absent costs next to nothing, however much of it there is.
TEST(Hostile, ThousandsOfFindingsAreAnswered) {
    const Knowledge knowledge = knowledge_of(crowd(1500, 3000, 4));
    const Network network = compile(knowledge);
    const Model model{&knowledge, &network};
    const Evidence evidence = found(3, 2990);
    const Answer answer = posterior(model, evidence);
    ASSERT_TRUE(std::holds_alternative<Posterior>(answer));
    std::vector<Look> looks;
    for (std::size_t s = 2993; s < 3000; ++s)
        looks.push_back({{SignId(s)}, Via::looked, {}});
    const auto told = predict_all(model, evidence, looks, std::get<Posterior>(answer).cause,
                                  explainers(model, evidence));
    for (const std::vector<Outcome>& outcomes : told)
        EXPECT_EQ(outcomes.size(), 2U);
}

}  // namespace
}  // namespace knockwell::laws
