// Command lines in, bytes out. With KNOCKWELL_REWRITE=1 the expected output is written anew, to be
// read with git diff.

#include "cli/stage.hpp"
#include "runs/script.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <ostream>
#include <regex>
#include <sstream>

namespace knockwell {
namespace {

namespace fs = std::filesystem;

struct Script {
    fs::path file;
    fs::path folder;  // where its commands are typed
};

void PrintTo(const Script& script, std::ostream* out) { *out << script.file.filename().string(); }

std::vector<Script> scripts() {
    const fs::path runs = fs::path(KNOCKWELL_TESTS_DIR) / "runs";
    const fs::path top = KNOCKWELL_TOP_DIR;
    std::vector<Script> all;
    for (const auto& entry : fs::directory_iterator(runs))
        if (entry.path().extension() == ".run")
            all.push_back({entry.path(), runs});
    std::sort(all.begin(), all.end(),
              [](const Script& a, const Script& b) { return a.file < b.file; });
    for (const char* page : {"docs/commands.md", "docs/computations.md", "README.md"})
        if (fs::exists(top / page))
            all.push_back({top / page, top});
    return all;
}

std::string name_of(const testing::TestParamInfo<Script>& info) {
    std::string name = info.param.file.stem().string();
    std::replace_if(
        name.begin(), name.end(), [](unsigned char c) { return std::isalnum(c) == 0; }, '_');
    return name;
}

std::string read(const fs::path& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

std::string answer(Stage& stage, const std::string& typed) {
    const Printed printed = stage.type(typed);
    std::string text = printed.out + printed.err;
    const std::string room = stage.room().string();
    for (std::size_t at = text.find(room); at != std::string::npos; at = text.find(room, at))
        text.replace(at, room.size(), "ROOM");
    if (printed.status != 0)
        text += "[" + std::to_string(printed.status) + "]\n";
    return text;
}

class Runs : public testing::TestWithParam<Script> {};

TEST_P(Runs, PrintWhatStandsThere) {
    const Script& script = GetParam();
    const std::string file = read(script.file);
    std::vector<Stretch> stretches =
        script.file.extension() == ".md" ? read_page(file) : read_run(file);
    ASSERT_EQ(to_text(stretches), file) << "the reader of scripts loses something";

    const bool rewrite = std::getenv("KNOCKWELL_REWRITE") != nullptr;
    Stage stage(script.folder);
    std::size_t turns = 0;
    for (Stretch& stretch : stretches)
        for (Turn& turn : stretch.turns) {
            // An empty line before the next command is for the reader.
            const bool gap = turn.expected == "\n" || turn.expected.ends_with("\n\n");
            const std::string got = answer(stage, turn.typed) + (gap ? "\n" : "");
            if (rewrite)
                turn.expected = got;
            EXPECT_EQ(turn.expected, got) << "$ " << turn.typed;
            ++turns;
        }
    EXPECT_GT(turns, 0U) << "there is no command in it";
    if (rewrite)
        std::ofstream(script.file, std::ios::binary) << to_text(stretches);
}

INSTANTIATE_TEST_SUITE_P(Every, Runs, testing::ValuesIn(scripts()), name_of);

/// The examples of the manual page, as they are typed.
std::vector<std::string> examples_of_the_manual() {
    const std::string opening = ".Dl $ ";
    std::vector<std::string> all;
    std::istringstream page(read(fs::path(KNOCKWELL_TOP_DIR) / "docs" / "knockwell.1"));
    for (std::string line; std::getline(page, line);)
        if (line.starts_with(opening))
            all.push_back(
                std::regex_replace(line.substr(opening.size()), std::regex(R"(\\\(dq)"), "\""));
    return all;
}

TEST(Manual, EveryExampleIsDone) {
    std::size_t tried = 0;
    for (std::string typed : examples_of_the_manual()) {
        SCOPED_TRACE(typed);
        Stage stage(KNOCKWELL_TOP_DIR);
        const std::string knowledge = "KNOCKWELL_KB=~/kb ";  // the reader's own; here a sound one
        if (typed.starts_with(knowledge)) {
            stage.here.environment["KNOCKWELL_KB"] = "tests/runs/kb";
            typed.erase(0, knowledge.size());
        }
        const Printed printed = stage.type(typed);
        EXPECT_EQ(printed.status, 0) << printed.err;
        ++tried;
    }
    EXPECT_GE(tried, 3U);
}

// What a shell would read otherwise must not pass for an example.
TEST(ShellWords, AreTheShells) {
    using Words = std::vector<std::string>;
    EXPECT_EQ(shell_words("knockwell ask --says 'no water'"),
              (Words{"knockwell", "ask", "--says", "no water"}));
    EXPECT_EQ(shell_words("a \\\n    b=\"c d\"e\n"), (Words{"a", "b=c de"}));
    EXPECT_EQ(shell_words("a ''"), (Words{"a", ""}));
    for (const char* line : {"a | b", "a > b", "a $b", "a 'b", "a; b", "a *", "a # b"})
        EXPECT_THROW((void)shell_words(line), std::runtime_error) << line;
}

}  // namespace
}  // namespace knockwell
