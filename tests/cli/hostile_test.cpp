// Whatever is typed, written into the knowledge or found in a file: a status from 0 to 2, and
// nothing that steers a terminal.

#include "cli/support.hpp"
#include "support/cases.hpp"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <fstream>
#include <random>
#include <sstream>

namespace knockwell {
namespace {

const std::vector<std::string>& nasty_words() {
    static const std::vector<std::string> all = {
        "",
        " ",
        "=",
        "@",
        "==@@",
        "-",
        "--",
        "-1",
        "[a,b]",
        "{}",
        "%s%n",
        "no-water=",
        "=no-water",
        "no-water@",
        "system-pressure=1e308psi",
        "system-pressure=nan",
        "system-pressure=-inf psi",
        "system-pressure=12psi@@read-gauge",
        "\x1b[31mred",
        "\x1b]0;title\x07",
        "bell\x07",
        "tab\tline\nreturn\r",
        "\x7f",
        "\xff\xfe",
        "\xc3",
        "\xc2\x9b"
        "31m",
        "\xe2\x80\xae"
        "reversed",
        "\xed\xa0\x80",
        std::string(20000, 'a'),
        std::string(5000, ' ') + "x",
        "Ünïcödé",
        "../../etc",
        "'; DROP TABLE jobs; --",
    };
    return all;
}

const std::vector<std::string>& plain_words() {
    static const std::vector<std::string> all = {
        "ask",       "open",           "found",
        "next",      "reasons",        "did",
        "undo",      "close",          "jobs",
        "list",      "show",           "kb",
        "check",     "graph",          "practice",
        "calc",      "drawdown",       "--json",
        "--says",    "--found",        "--set",
        "--who",     "qualified",      "--area",
        "x",         "--installation", "y",
        "--cured",   "--cause",        "--note",
        "--minutes", "--job",          "--at",
        "tank",      "--width",        "--tank",
        "no-water",  "pulsing",        "system-pressure=12psi",
        "pump=jet",  "--cannot"};
    return all;
}

void expect_tame(const Printed& printed, const std::vector<std::string>& typed) {
    EXPECT_GE(printed.status, 0) << testing::PrintToString(typed);
    EXPECT_LE(printed.status, 2) << testing::PrintToString(typed);
    EXPECT_TRUE(harmless(printed.out)) << testing::PrintToString(typed) << printed.out;
    EXPECT_TRUE(harmless(printed.err)) << testing::PrintToString(typed) << printed.err;
    if (printed.status == 2) {
        EXPECT_TRUE(printed.out.empty()) << testing::PrintToString(typed);
        EXPECT_FALSE(printed.err.empty()) << testing::PrintToString(typed);
    }
    EXPECT_LT(printed.err.size(), 4000U) << "an echo of what was typed is cut";
}

TEST(Hostile, EveryNastyWordInEveryPlace) {
    const auto stage = Stage::apart(small_well());
    ASSERT_EQ(stage->type("knockwell open --area a --installation i").status, 0);
    const std::string id = stage->type("knockwell jobs").out.substr(0, 8);
    const std::vector<std::vector<std::string>> places = {
        {},
        {"ask", "--says"},
        {"ask", "--found"},
        {"ask", "--set"},
        {"ask", "--at"},
        {"ask", "--who"},
        {"ask", "--licence"},
        {"ask", "--cannot"},
        {"ask", "--lacks"},
        {"ask", "--kb"},
        {"ask", "--width"},
        {"found"},
        {"found", "--note"},
        {"open", "--installation", "i", "--area"},
        {"reasons"},
        {"did"},
        {"undo"},
        {"close", "--cured", "--cause"},
        {"close", "--without"},
        {"jobs", "show"},
        {"jobs", "correct", id, "--entry", "1", "--value"},
        {"next", "--job"},
        {"next", "--now"},
        {"next", "--ledger"},
        {"kb", "show"},
        {"kb", "graph"},
        {"calc"},
        {"calc", "drawdown", "--precharge", "1", "--cut-in", "1", "--cut-out", "1", "--tank"},
    };
    // Where each takes long, a third: every word and every place still has its turn.
    const std::size_t stride = few_cases() ? 3 : 1;
    for (std::size_t p = 0; p < places.size(); ++p)
        for (std::size_t w = p % stride; w < nasty_words().size(); w += stride) {
            std::vector<std::string> typed = places[p];
            typed.push_back(nasty_words()[w]);
            expect_tame(stage->run(typed), typed);
        }
    const Printed job = stage->type("knockwell jobs show");
    EXPECT_TRUE(harmless(job.out)) << "what was kept is shown escaped";
}

TEST(Hostile, WordsInAnyOrder) {
    const auto stage = Stage::apart(small_well());
    for (std::uint32_t seed = 1; seed <= cases(3000); ++seed) {
        std::mt19937 dice(seed);
        std::vector<std::string> typed;
        const std::size_t count = dice() % 8;
        while (typed.size() < count) {
            const auto& pool = dice() % 6 == 0 ? nasty_words() : plain_words();
            typed.push_back(pool[dice() % pool.size()]);
        }
        SCOPED_TRACE("seed " + std::to_string(seed));
        expect_tame(stage->run(typed), typed);
    }
}

TEST(Hostile, TextsOfTheKnowledgeAreEscapedInEveryOutput) {
    Stage stage(small_well());
    const std::filesystem::path kb = stage.room() / "kb";
    std::filesystem::copy(small_well() / "kb", kb);
    std::ofstream(kb / "zz-evil.toml") << R"([cause.evil]
title   = "\u001B[2J\u009B31m\u202Eevil\u0007"
note    = "line\nline\u0000"
present = "500 in 1000"
[cause.evil.shows]
no-water = "9 in 10"
evil-sign = "9 in 10"
[symptom.evil-sign]
title = "\u001B]0;x\u0007 \u2028"
ask   = "\u001B[5m really"
seen_anyway = "1 in 10"
[repair.evil]
title   = "\u001B[2J"
how     = "\u001B[2J\r"
fixes   = { evil = "9 in 10" }
parts   = { evil = 1 }
minutes = 1
[part.evil]
title = "\u001B[2J evil part"
[caution.evil]
text = "\u001B[2J"
)";
    const std::string with = " --kb " + kb.string();
    for (const std::string& line : std::vector<std::string>{
             "knockwell ask --says no-water --says evil-sign --who qualified",
             "knockwell ask --says no-water --who qualified --json", "knockwell kb show evil",
             "knockwell kb show evil --json", "knockwell kb graph evil",
             "knockwell kb show evil-sign", "knockwell truck --says no-water --says evil-sign",
             "knockwell truck --says no-water --says evil-sign --json",
             "knockwell plan --says no-water --says evil-sign",
             "knockwell plan --says no-water --says evil-sign --html",
             "knockwell open --area a --installation i --says evil-sign", "knockwell visit",
             "knockwell reasons", "knockwell did evil --minutes 3", "knockwell jobs show",
             "knockwell close --cured --cause evil=seen" + std::string(all_seen_to),
             "knockwell kb check --width 200"}) {
        std::istringstream typed("4\n0\n0\n1\nw\no\n1\n1\n1\n1\n");  // in the visit
        stage.here.in = &typed;
        const Printed printed = stage.type(line + with);
        EXPECT_LE(printed.status, 1) << line << printed.err;
        EXPECT_TRUE(harmless(printed.out)) << line << printed.out;
        EXPECT_TRUE(harmless(printed.err)) << line;
        EXPECT_NE(printed.out.find("evil"), std::string::npos) << line;
    }
}

TEST(Hostile, KnowledgeThatCannotBeUsedIsBadUsageButACheckedProblem) {
    Stage stage(small_well());
    const std::filesystem::path kb = stage.room() / "kb";
    std::filesystem::create_directory(kb);
    std::ofstream(kb / "manifest.toml") << "[manifest\nname = \x1b";
    const Printed ask = stage.type("knockwell ask --kb " + kb.string());
    EXPECT_EQ(ask.status, 2);
    EXPECT_NE(ask.err.find("manifest.toml:1:"), std::string::npos) << ask.err;
    EXPECT_TRUE(harmless(ask.err));
    // A file is named as it can be opened from here, whether the folder's name ends in a stroke.
    for (const char* end : {"", "/"}) {
        const std::string given = kb.string() + end;
        const std::string file = (kb / "manifest.toml").string() + ":1:";
        for (const char* verb : {"ask", "kb check"}) {
            const Printed told =
                stage.type(std::string("knockwell ") + verb + " --width 200 --kb " + given);
            EXPECT_EQ((told.out + told.err).find(file), 0U) << told.out << told.err;
        }
    }
    const std::filesystem::path other = stage.room() / "other";
    std::filesystem::copy(small_well() / "kb", other, std::filesystem::copy_options::recursive);
    const Printed shown =
        stage.type("knockwell kb show failed-bladder --width 200 --kb " + other.string());
    EXPECT_NE(shown.out.find((other / "").string()), std::string::npos) << shown.out;
    const auto version = [&](const std::string& options) {
        const Printed all = stage.type("knockwell kb show --json" + options);
        return nlohmann::json::parse(all.out)["version"].get<std::string>();
    };
    std::filesystem::create_directory(stage.room() / "far");
    std::filesystem::rename(other, stage.room() / "far" / "kb");
    EXPECT_EQ(version(""), version(" --kb " + (stage.room() / "far" / "kb").string()))
        << "it goes by the texts, wherever the folder lies";
    const Printed check = stage.type("knockwell kb check --kb " + kb.string());
    EXPECT_EQ(check.status, 1);
    EXPECT_TRUE(harmless(check.out));
    const Printed json = stage.type("knockwell kb check --json --kb " + kb.string());
    EXPECT_EQ(json.status, 1);
    EXPECT_GE(nlohmann::json::parse(json.out)["errors"], 1);
    EXPECT_EQ(stage.type("knockwell kb check --kb " + (stage.room() / "none").string()).status, 2);
}

}  // namespace
}  // namespace knockwell
