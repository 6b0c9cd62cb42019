// Broken knowledge and the exact message for it. A case is NAME.toml with NAME.txt beside it; a
// manifest stands in a second file, unless the first line of the case is "# alone". After a wanted
// change of wording KNOCKWELL_REWRITE=1 writes the messages anew; read them before they are kept.
#include "knowledge/read.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iterator>
#include <map>
#include <regex>
#include <set>
#include <string>
#include <vector>

namespace knockwell {
namespace {

namespace fs = std::filesystem;

const fs::path tests_dir = KNOCKWELL_TESTS_DIR;
const fs::path cases_dir = tests_dir / "problems";

std::string text_of(const fs::path& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

std::vector<std::string> case_names() {
    std::vector<std::string> names;
    for (const fs::directory_entry& entry : fs::directory_iterator(cases_dir))
        if (entry.path().extension() == ".toml")
            names.push_back(entry.path().stem().string());
    std::sort(names.begin(), names.end());
    return names;
}

std::string printed(const std::string& name) {
    std::vector<Source> sources{
        {.name = name + ".toml", .text = text_of(cases_dir / (name + ".toml"))}};
    if (sources.front().text.rfind("# alone\n", 0) != 0)
        sources.push_back({.name = "manifest.toml",
                           .text = "[manifest]\nname = \"Wells of Heron Bottom\"\nversion = \"1\"\n"
                                   "format = 1\n[words]\noften = \"7 in 10\"\n"});
    std::string all;
    for (const Problem& problem : read_knowledge(sources).problems)
        all += to_text(problem, sources);
    return all;
}

/// Codes that have a page and no case here: what is too large is made by the tests below, what is
/// no file by those of the folder, and practice-fails comes from the floor that works the cases.
const std::set<std::string>& codes_without_case() {
    static const std::set<std::string> codes{"practice-fails", "too-large", "too-many-problems",
                                             "too-many-values", "unread-file"};
    return codes;
}

/// Codes in printed problems: "... (code)" at the end of a line that says error or warning.
std::set<std::string> codes_in(const std::string& text) {
    std::set<std::string> codes;
    const std::regex line(R"((?:error|warning): [^\n]*\(([a-z-]+)\)\n)");
    for (std::sregex_iterator at(text.begin(), text.end(), line), end; at != end; ++at)
        codes.insert((*at)[1]);
    return codes;
}

std::set<std::string> codes_of_cases() {
    std::set<std::string> codes;
    for (const std::string& name : case_names())
        codes.merge(codes_in(printed(name)));
    return codes;
}

class Problems : public testing::TestWithParam<std::string> {};

TEST_P(Problems, AreToldToTheLetter) {
    const std::string is = printed(GetParam());
    const fs::path expected = cases_dir / (GetParam() + ".txt");
    if (std::getenv("KNOCKWELL_REWRITE") != nullptr)  // NOLINT(concurrency-mt-unsafe): one thread
        std::ofstream(expected, std::ios::binary) << is;
    ASSERT_TRUE(fs::exists(expected)) << "no message is kept for this case; it prints\n" << is;
    EXPECT_FALSE(is.empty());
    EXPECT_EQ(is, text_of(expected));
}

INSTANTIATE_TEST_SUITE_P(Kept, Problems, testing::ValuesIn(case_names()), [](const auto& it) {
    std::string name = it.param;
    std::replace(name.begin(), name.end(), '-', '_');
    return name;
});

TEST(ProblemCases, AreAtLeastSixty) { EXPECT_GE(case_names().size(), 60U); }

// Too long to be kept as a file.
TEST(ProblemCases, SayThatAFileIsTooLarge) {
    const std::vector<Source> sources{
        {.name = "large.toml", .text = std::string((std::size_t{4} << 20) + 1, '#')}};
    const ReadResult read = read_knowledge(sources);
    ASSERT_EQ(read.problems.size(), 1U);
    EXPECT_EQ(read.problems[0].says, "this file is over 4 MiB");
    EXPECT_EQ(read.problems[0].code, "too-large");
}

// What stood in it is missed everywhere; that is not told as well.
TEST(ProblemCases, TellOfAnEmptyFileAndNotOfWhatFollows) {
    const std::vector<Source> sources{
        {.name = "manifest.toml", .text = ""},
        {.name = "causes.toml",
         .text = "[cause.c]\ntitle = \"C\"\npresent = \"often\"\nonly_if = { pump = \"jet\" }\n"
                 "shows = { dull = \"often\" }\n"}};
    const ReadResult read = read_knowledge(sources);
    ASSERT_EQ(read.problems.size(), 1U);
    EXPECT_EQ(read.problems[0].says, "this file is empty (0 bytes)");
    EXPECT_EQ(read.problems[0].span.source, 0U);
}

/// The last problem of a run over `text` with a manifest.
Problem last_problem(std::string text) {
    text += "[manifest]\nname = \"n\"\nversion = \"1\"\nformat = 1\n";
    const std::vector<Problem> problems =
        read_knowledge({{.name = "x.toml", .text = text}}).problems;
    return problems.empty() ? Problem{} : problems.back();
}

std::string repeated(std::size_t times, const std::function<std::string(std::string)>& one) {
    std::string all;
    for (std::size_t i = 0; i < times; ++i)
        all += one(std::to_string(i));
    return all;
}

TEST(ProblemCases, SayThatAThingHasTooManyValues) {
    const auto signs = [](std::size_t levels) {
        return "[symptom.s]\ntitle = \"S\"\nlevels = [" +
               repeated(levels, [](const std::string& i) { return "\"l" + i + "\","; }) + "]\n";
    };
    EXPECT_EQ(last_problem(signs(199)).code, "sign-unshown");
    EXPECT_EQ(last_problem(signs(200)).says, "symptom 's' has 201 values, more than 200");
    EXPECT_EQ(last_problem(signs(200)).code, "too-many-values");
    const auto choices = [](std::size_t count) {
        return "[setting.s]\ntitle = \"S\"\naccept = { left-over = \"x\" }\nchoices = {" +
               repeated(count,
                        [](const std::string& i) {
                            return (i == "0" ? "c" : ", c") + i + " = \"1 in 2\"";
                        }) +
               "}\n";
    };
    EXPECT_EQ(last_problem(choices(200)).code, "");
    EXPECT_EQ(last_problem(choices(201)).says, "setting 's' has 201 values, more than 200");
}

TEST(ProblemCases, StopAtAThousand) {
    const auto parts = [](std::size_t count) {
        return repeated(count, [](const std::string& i) {
            return "[part.p" + i + "]\ntitle = \"P\"\nprise = 1\n";
        });
    };
    EXPECT_EQ(last_problem(parts(1000)).code, "unknown-key");
    const std::vector<Problem> told =
        read_knowledge({{.name = "x.toml", .text = parts(1003)}}).problems;
    ASSERT_EQ(told.size(), 1001U);  // no-manifest is the first of 1004
    EXPECT_EQ(told.back().code, "too-many-problems");
    EXPECT_EQ(told.back().says, "4 more problems");
}

TEST(ProblemCases, TakeAFileOfFourMebibytes) {
    const std::vector<Source> sources{
        {.name = "large.toml", .text = std::string(std::size_t{4} << 20, '#')}};
    const ReadResult read = read_knowledge(sources);
    ASSERT_EQ(read.problems.size(), 1U);
    EXPECT_EQ(read.problems[0].code, "no-manifest");
}

TEST(ProblemCases, HaveNoMessageWithoutACase) {
    const std::vector<std::string> names = case_names();
    for (const fs::directory_entry& entry : fs::directory_iterator(cases_dir)) {
        const fs::path& path = entry.path();
        EXPECT_TRUE(path.extension() != ".txt" || path.filename() == "CMakeLists.txt" ||
                    std::binary_search(names.begin(), names.end(), path.stem().string()))
            << path;
    }
}

// Every code that stands in the sources of the knowledge floor is printed by a case.
TEST(ProblemCases, ReachEveryCodeOfTheSources) {
    const std::set<std::string> reached = codes_of_cases();
    const std::regex code(
        R"re((?:error\(|Severity::(?:error|warning),)\s*"([a-z]+(?:-[a-z]+)*)"\s*,)re");
    std::size_t seen = 0;
    for (const fs::directory_entry& entry :
         fs::directory_iterator(tests_dir.parent_path() / "engine" / "knowledge")) {
        const std::string text = text_of(entry.path());
        for (std::sregex_iterator at(text.begin(), text.end(), code), end; at != end; ++at) {
            ++seen;
            EXPECT_EQ(reached.count((*at)[1]) + codes_without_case().count((*at)[1]), 1U)
                << (*at)[1] << " of " << entry.path() << " is in no case";
        }
    }
    EXPECT_GT(seen, 30U) << "the sources are no longer read as this test thinks";
}

/// docs/problems.md: heading -> its text.
std::map<std::string, std::string> pages() {
    std::map<std::string, std::string> all;
    const std::string text = text_of(tests_dir.parent_path() / "docs" / "problems.md");
    const std::regex heading(R"((?:^|\n)## ([a-z-]+)\n)");
    for (std::sregex_iterator at(text.begin(), text.end(), heading), end; at != end; ++at) {
        const auto from = static_cast<std::size_t>(at->position() + at->length());
        all[(*at)[1]] = text.substr(from, text.find("\n## ", from) - from);
    }
    return all;
}

TEST(ProblemPages, StandForEveryCodeAndNoOther) {
    std::set<std::string> codes = codes_of_cases();
    codes.insert(codes_without_case().begin(), codes_without_case().end());
    std::set<std::string> titles;
    for (const auto& [title, page] : pages())
        titles.insert(title);
    EXPECT_EQ(titles, codes);
}

std::string block(const std::string& page, const std::string& language, std::size_t& from) {
    const std::string open = "```" + language + "\n";
    const std::size_t begin = page.find(open, from);
    if (begin == std::string::npos)
        return {};
    const std::size_t end = page.find("```\n", begin + open.size());
    from = end;
    return page.substr(begin + open.size(), end - begin - open.size());
}

// The example of a page is one of the cases, with the message that it really gives.
TEST(ProblemPages, ShowACaseAsItIs) {
    for (const auto& [title, page] : pages()) {
        SCOPED_TRACE(title);
        EXPECT_NE(page.find("**Why.**"), std::string::npos);
        EXPECT_NE(page.find("**Cure.**"), std::string::npos);
        if (codes_without_case().contains(title))
            continue;
        std::size_t at = 0;
        const std::string toml = block(page, "toml", at);
        const std::string message = block(page, "text", at);
        const std::vector<std::string> names = case_names();
        const auto shown = std::find_if(names.begin(), names.end(), [&](const std::string& name) {
            return text_of(cases_dir / (name + ".toml")) == toml;
        });
        ASSERT_NE(shown, names.end()) << "the example is no case of tests/problems";
        EXPECT_EQ(message, printed(*shown));
        EXPECT_EQ(codes_in(message).count(title), 1U);
    }
}

}  // namespace
}  // namespace knockwell
