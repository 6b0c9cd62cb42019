// Places, files, and texts that mean harm.
#include "base/words.hpp"
#include "support/knowledge_of.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <stdexcept>

namespace knockwell {
namespace {

Span span(Place begin, Place end) { return {.source = 0, .begin = begin, .end = end}; }

TEST(ReadSpans, AreThoseOfTheText) {
    const Knowledge it = knowledge_of("[cause.worn-pump]\n"
                                      "title = \"Wörn pump\"\n"
                                      "present = \"6 in 1000\"\n"
                                      "shows = { \"weak\" = \"9 in 10\" }\n"
                                      "[symptom.weak]\n"
                                      "title = \"Weak\"\n");
    EXPECT_EQ(it.causes[0].head.span, span({1, 8}, {1, 17}));
    EXPECT_EQ(it.causes[0].present.span, span({3, 11}, {3, 22}));  // with its quotes
    EXPECT_EQ(it.causes[0].shows[0].span, span({4, 11}, {4, 17}));
    EXPECT_EQ(it.causes[0].shows[0].high[0].span, span({4, 20}, {4, 29}));
}

TEST(ReadSpans, CountCodePoints) {
    const ReadResult it = read_text("[part.relief]\ntitle = \"Überdruck\"\nnote = { \"ü\" = 1 }\n");
    const auto wrong = std::find_if(it.problems.begin(), it.problems.end(),
                                    [](const Problem& p) { return p.code == "wrong-type"; });
    ASSERT_NE(wrong, it.problems.end());
    EXPECT_EQ(wrong->span, span({3, 8}, {3, 19}));
}

// One mistake, whichever of the two files comes first: its keys are not missed as well.
TEST(ReadFiles, ADefinitionStandsWholeInOne) {
    const Source manifest_text{.name = "m.toml",
                               .text = "[manifest]\nname = \"n\"\nversion = \"1\"\nformat = 1\n"};
    const Source sign{.name = "s.toml", .text = "[symptom.weak]\ntitle = \"Weak\"\n"};
    const Source whole{.name = "whole.toml",
                       .text = "[cause.worn]\ntitle = \"Worn\"\npresent = \"6 in 1000\"\n"
                               "[repair.mend]\ntitle = \"Mend\"\nhow = \"Mend.\"\n"
                               "minutes = 3\n"};
    const Source part{.name = "part.toml",
                      .text = "[cause.worn.shows]\nweak = \"9 in 10\"\n"
                              "[repair.mend.fixes]\nworn = \"9 in 10\"\n"};
    for (const bool whole_first : {true, false}) {
        const std::vector<Problem> problems =
            read_knowledge(
                {manifest_text, sign, whole_first ? whole : part, whole_first ? part : whole})
                .problems;
        ASSERT_EQ(problems.size(), 2U) << whole_first;
        EXPECT_EQ(problems[0].code, "duplicate-id");
        EXPECT_EQ(problems[0].says, "cause 'worn' goes on here, in another file");
        EXPECT_EQ(problems[0].help,
                  "a definition stands whole in one file: put this into whole.toml:1:8");
        EXPECT_EQ(problems[0].span.source, whole_first ? 3U : 2U);
        EXPECT_EQ(problems[1].says, "repair 'mend' goes on here, in another file");
        EXPECT_EQ(problems[1].help,
                  "a definition stands whole in one file: put this into whole.toml:4:9");
    }
    // Whatever else has a name twice is two definitions.
    const std::vector<Problem> twice = read_knowledge({manifest_text, whole, whole}).problems;
    ASSERT_FALSE(twice.empty());
    EXPECT_EQ(twice.back().says, "repair 'mend' has a name that is taken");
}

TEST(ReadFiles, MeanTheSameInAnyOrder) {
    const Source manifest{.name = "manifest.toml",
                          .text = "[manifest]\nname = \"n\"\nversion = \"1\"\nformat = 1\n"};
    const Source causes_file{.name = "b.toml",
                             .text = "[cause.worn]\ntitle = \"Worn\"\npresent = \"1 in 10\"\n"
                                     "shows = { weak = \"1 in 2\" }\n"};
    const Source signs_file{.name = "c.toml", .text = "[symptom.weak]\ntitle = \"Weak\"\n"};
    std::vector<Source> sources{manifest, causes_file, signs_file};
    std::sort(sources.begin(), sources.end(),
              [](const Source& a, const Source& b) { return a.name < b.name; });
    do {
        const ReadResult it = read_knowledge(sources);
        EXPECT_TRUE(it.ok());
        ASSERT_EQ(it.knowledge.causes.size(), 1U);
        EXPECT_EQ(it.knowledge.causes[0].shows[0].sign, SignId(0));
        EXPECT_EQ(it.knowledge.signs[0].head.id, "weak");
        EXPECT_EQ(sources[it.knowledge.signs[0].head.span.source].name, "c.toml");
    } while (
        std::next_permutation(sources.begin(), sources.end(),
                              [](const Source& a, const Source& b) { return a.name < b.name; }));
}

// What is not found may stand in the file that could not be read.
TEST(ReadFiles, OneThatIsNoTomlMakesNoNameUnknown) {
    const std::string worn = "[cause.worn]\ntitle = \"Worn\"\npresent = \"seldom\"\n"
                             "shows = { weak = \"1 in 2\" }\nrefer = \"nobody\"\ntitel = 1\n";
    const ReadResult it = read_knowledge(
        {{.name = "a.toml", .text = worn}, {.name = "b.toml", .text = "[symptom.weak\n"}});
    ASSERT_EQ(it.problems.size(), 2U);
    EXPECT_EQ(it.problems[0].code, "unknown-key");
    EXPECT_EQ(it.problems[1].code, "syntax");
}

TEST(ReadFiles, KeepTheOrderOfTheText) {
    const Knowledge it = knowledge_of("[part.z]\ntitle=\"z\"\n[part.a]\ntitle=\"a\"\n"
                                      "[part.m]\ntitle=\"m\"\n");
    EXPECT_EQ(it.parts[0].head.id, "z");
    EXPECT_EQ(it.parts[1].head.id, "a");
    EXPECT_EQ(it.parts[2].head.id, "m");
}

TEST(ReadFiles, AreGatheredByPath) {
    namespace fs = std::filesystem;
    const fs::path folder = fs::path(testing::TempDir()) / "knockwell-gather" / "kb";
    fs::remove_all(folder.parent_path());
    fs::create_directories(folder / "practice");
    const auto put = [&](const fs::path& name, const std::string& text) {
        std::ofstream(folder / name, std::ios::binary) << text;
    };
    put("tank.toml", "x");
    put("manifest.toml", "y\r\n");
    put("practice/one.toml", "z");
    put("notes.txt", "not knowledge");
    const std::vector<Source> expected{{.name = "kb/manifest.toml", .text = "y\r\n"},
                                       {.name = "kb/practice/one.toml", .text = "z"},
                                       {.name = "kb/tank.toml", .text = "x"}};
    EXPECT_EQ(gather_sources(folder), expected);
    EXPECT_EQ(gather_sources(folder / ""), expected);
    fs::remove_all(folder.parent_path());
    try {
        (void)gather_sources(folder);
        FAIL() << "a folder that is not there was listed";
    } catch (const std::runtime_error& error) {
        EXPECT_NE(std::string(error.what()).find(folder.string()), std::string::npos);
    }
}

// What is passed over in silence is missed by nobody before it is needed.
TEST(ReadFiles, NamedAsATextAndNoneAreToldEachOnce) {
    namespace fs = std::filesystem;
    const fs::path folder = fs::path(testing::TempDir()) / "knockwell-unread" / "kb";
    fs::remove_all(folder.parent_path());
    fs::create_directories(folder / "folder.toml");
    fs::create_symlink("nowhere", folder / "link.toml");
    fs::create_symlink("/dev/null", folder / "null.toml");
    fs::create_symlink("somebody@somewhere", folder / ".#tank.toml");  // an editor has it open
    std::ofstream(folder / "LOUD.TOML") << "[symptom.weak]\ntitle = \"Weak\"\n";
    std::ofstream(folder / "typed.toml.txt") << "as an editor saves it";
    std::ofstream(folder / "causes.toml")
        << "[cause.worn]\ntitle = \"Worn\"\n"
           "present = \"1 in 9\"\nshows = { weak = \"1 in 2\" }\n";
    const std::vector<Source> sources = gather_sources(folder);
    std::vector<std::string> told;
    for (const Problem& problem : read_knowledge(sources).problems)
        told.push_back(sources[problem.span.source].name + ": " + problem.says + " (" +
                       problem.code + ")");
    const std::vector<std::string> expected{
        "kb/LOUD.TOML: this file is not read, since its name does not end in '.toml' but in "
        "'.TOML' (unread-file)",
        "kb/folder.toml: this is a folder and no file (unread-file)",
        "kb/link.toml: this is a link that leads nowhere (unread-file)",
        "kb/null.toml: this is no file that holds a text (unread-file)",
        "kb/typed.toml.txt: this file is not read, since its name does not end in '.toml' but in "
        "'.txt' (unread-file)"};
    EXPECT_EQ(told, expected);
    fs::remove_all(folder.parent_path());
}

// Whatever comes in, it is answered with problems that a terminal can show.
TEST(ReadHostile, IsAnsweredInPlainText) {
    const std::string opening = "[cause.worn]\ntitle = \"Worn\"\npresent = \"1 in 10\"\n";
    const std::vector<std::string> texts{
        "",
        std::string(3, '\0'),
        std::string(100000, '['),
        "a = " + std::string(100000, '{'),
        std::string(100000, 'a') + " = 1",
        "[cause." + std::string(100000, 'a') + "]",
        "a" + std::string(50000, '.') + "b = 1",
        opening + "give_or_take = 1e308",
        opening + "give_or_take = 99999999999999999999",
        opening + "give_or_take = -inf",
        opening + "comes_and_goes = \"1e400 in 1e400\"",
        opening + "comes_and_goes = \"99999999999999999999 in 3\"",
        opening + R"(refer = "\u001b]0;x\u0007\u202e")",
        opening + R"("\u001b[31m" = 1)",
        R"(["\u001b".x])",
        opening + R"(shows = { "\u009b2J" = "\u0000" })",
        "\xff\xfe",
        "x = \"\"\"\n\"",
        "x = '''''''''''''''",
    };
    for (const std::string& text : texts) {
        SCOPED_TRACE(escape_controls(text.substr(0, 80)));
        const std::string told = problems_of(text);
        EXPECT_FALSE(told.empty());
        EXPECT_EQ(escape_controls(told, true), told);
        EXPECT_EQ(told.find('\t'), std::string::npos);
    }
}

// The scan for depth must not mistake what stands in texts and comments for nesting.
TEST(ReadDepth, CountsOnlyWhatIsNested) {
    for (const std::string note :
         {R"(note = "[[[[[[[[[\"[[[[[[[[[")", R"(note = '[[[[[[[[[\')",
          "note = \"\"\"\n[[[[[[[[[\"[[[[[[[[[\"\"\"\"\"", "note = '''[[[[[[[[['''", "# [[[[[[[[[",
          "note = \"a.b.c.d.e.f.g.h.i.j.k.l.m\""}) {
        SCOPED_TRACE(note);
        const ReadResult it =
            read_text("[part.relief]\ntitle = \"Relief valve\"\naccept = { left-over = \"x\" }\n" +
                      note + "\n[manifest]\nname='n'\nversion='1'\nformat=1\n");
        EXPECT_TRUE(it.problems.empty());
    }
}

// Behind a text whose end is easily missed the scan is awake again.
TEST(ReadDepth, IsSeenBehindTexts) {
    for (const std::string text :
         {R"(a = ["""x"""", [[[[[[[[[)", R"(a = ["""x""""", [[[[[[[[[)", R"(a = ['\', [[[[[[[[[)",
          R"(a = ["\\", [[[[[[[[[)", R"(a = ["", [[[[[[[[[)"}) {
        SCOPED_TRACE(text);
        const ReadResult it = read_text(text);
        ASSERT_EQ(it.problems.size(), 1U);
        EXPECT_EQ(it.problems[0].code, "too-deep");
    }
}

TEST(ReadLint, WarnsOnlyOfWhatHasNoError) {
    const std::string manifest = "[manifest]\nname='n'\nversion='1'\nformat=1\n";
    const std::string bill = "[symptom.high-bill]\ntitle = \"The bill is high\"\n";
    const ReadResult warned = read_text(manifest + bill);
    EXPECT_TRUE(warned.ok());
    ASSERT_EQ(warned.problems.size(), 1U);
    EXPECT_EQ(warned.problems[0].code, "sign-unshown");
    const ReadResult broken = read_text(manifest + bill + "steady = true\n");
    ASSERT_EQ(broken.problems.size(), 1U);
    EXPECT_EQ(broken.problems[0].code, "unknown-key");
}

// A job waits neither for warnings nor for what a worked case says; all else is as for a curator.
TEST(ReadFor, AnswersLeavesWorkedCasesAndWarningsOut) {
    const Source text{.name = "kb/a.toml",
                      .text = "[manifest]\nname = \"n\"\nversion = \"1\"\nformat = 1\n"
                              "[symptom.high-bill]\ntitle = \"The bill is high\"\n"
                              "[practice.one]\ntitle = \"One\"\nsays = { nothing = \"yes\" }\n"};
    const auto codes = [](const ReadResult& read) {
        std::vector<std::string> all;
        for (const Problem& problem : read.problems)
            all.push_back(problem.code);
        return all;
    };
    const ReadResult answers = read_knowledge({text}, ReadFor::answers);
    EXPECT_EQ(codes(answers), std::vector<std::string>{});
    EXPECT_EQ(answers.knowledge.signs.size(), 1U);
    EXPECT_TRUE(answers.knowledge.practice.empty());
    const ReadResult curator = read_knowledge({text});
    EXPECT_FALSE(curator.ok());
    EXPECT_EQ(curator.knowledge.practice.size(), 1U);

    const Source wrong{.name = "kb/b.toml", .text = "[cause.a]\nshows = { nothing = 1 }\n"};
    EXPECT_FALSE(read_knowledge({text, wrong}, ReadFor::answers).ok());
}

// A file of cases alone is not even parsed; one that holds anything else is.
TEST(ReadFor, AnswersWaitForNoFileOfCasesAlone) {
    const Source manifest_text{.name = "kb/a.toml",
                               .text = "[manifest]\nname = \"n\"\nversion = \"1\"\nformat = 1\n"};
    const auto ok = [&](std::string text) {
        return read_knowledge({manifest_text, {.name = "kb/b.toml", .text = std::move(text)}},
                              ReadFor::answers)
            .ok();
    };
    EXPECT_TRUE(ok("# cases\n\n  [practice.one]\ntitle = \"no end\n"));
    EXPECT_FALSE(ok("title = \"no end\n[practice.one]\n")) << "a key before the first header";
    EXPECT_FALSE(ok("[practice.one]\ntitle = \"One\"\n\t[cause.a]\ntitle = \"no end\n"));
    EXPECT_FALSE(ok("[practice]\none = 1\ntwo = \n")) << "cases of another shape";
    EXPECT_FALSE(ok("# nothing yet\n\"\n"));
}

}  // namespace
}  // namespace knockwell
