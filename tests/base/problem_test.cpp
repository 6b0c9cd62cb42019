#include "base/problem.hpp"
#include "base/utf8.hpp"

#include <gtest/gtest.h>

#include <sstream>

namespace knockwell {
namespace {

Span span(std::uint32_t line, std::uint32_t from, std::uint32_t to) {
    return {.source = 0, .begin = {line, from}, .end = {line, to}};
}

Problem problem(const Span& where) {
    return {.code = "bad", .span = where, .says = "says", .help = {}, .notes = {}};
}

/// The line of the text and the caret line, as they are drawn for one line of text.
std::string drawn(const std::string& text, std::uint32_t from, std::uint32_t to) {
    const std::string all = to_text(problem(span(1, from, to)), {{"kb/a.toml", text}});
    return all.substr(all.find('\n') + 1);
}

TEST(Problem, PointsSaysAndHelps) {
    const std::vector<Source> sources = {{"kb/tank.toml", "\n\noverpresure = \"1 in 10\"\n"}};
    const Problem it{.code = "unknown-sign",
                     .span = span(3, 1, 12),
                     .says = "cause 'waterlogged' shows a sign that nothing defines",
                     .help = "write instead: overpressure  (defined at kb/tank.toml:52:1)",
                     .notes = {}};
    EXPECT_EQ(to_text(it, sources),
              "kb/tank.toml:3:1: error: cause 'waterlogged' shows a sign that nothing defines "
              "(unknown-sign)\n"
              "  overpresure = \"1 in 10\"\n"
              "  ^~~~~~~~~~~\n"
              "  write instead: overpressure  (defined at kb/tank.toml:52:1)\n");
}

TEST(Problem, TellsNotesAtTheirPlaces) {
    Problem it = problem(span(1, 1, 2));
    it.severity = Severity::warning;
    it.notes = {{.span = span(2, 1, 2), .says = "first defined here"},
                {.span = {}, .says = "why\x07"}};
    EXPECT_EQ(to_text(it, {{"kb/a.toml", "a\nb\n"}}), "kb/a.toml:1:1: warning: says (bad)\n"
                                                      "  a\n"
                                                      "  ^\n"
                                                      "  kb/a.toml:2:1: note: first defined here\n"
                                                      "  note: why\\x07\n");
}

TEST(Problem, StandsWithoutAPlace) {
    EXPECT_EQ(to_text(problem({}), {{"kb/a.toml", "a"}}), "error: says (bad)\n");
    const Span other{.source = 7, .begin = {1, 1}, .end = {1, 2}};
    EXPECT_EQ(to_text(problem(other), {{"kb/a.toml", "a"}}), "error: says (bad)\n");
    Problem endless = problem({});
    endless.says = "no kind '" + std::string(100000, 'x') + "'";
    EXPECT_EQ(to_text(endless, {}), "error: no kind '" + std::string(59, 'x') + "...' (bad)\n");
}

TEST(Problem, DrawsTheCaretUnderTheLetter) {
    EXPECT_EQ(drawn("key = 5", 7, 8), "  key = 5\n        ^\n");
    EXPECT_EQ(drawn("key = 55", 7, 9), "  key = 55\n        ^~\n");
    EXPECT_EQ(drawn("\u00e9\u00e9 = 5", 6, 7), "  \u00e9\u00e9 = 5\n       ^\n");  // code points
    EXPECT_EQ(drawn("\u4e95 = 5", 5, 6), "  \u4e95 = 5\n       ^\n");              // two columns
    EXPECT_EQ(drawn("e\u0301 = 5", 6, 7), "  e\u0301 = 5\n      ^\n");             // none
    EXPECT_EQ(drawn("\tkey = 5", 2, 5), "   key = 5\n   ^~~\n");
}

TEST(Problem, ShowsBytesOfTheSourceEscaped) {
    EXPECT_EQ(drawn("a\x1b\xFFz = 5", 4, 5), "  a\\x1b\\xffz = 5\n           ^\n");
    EXPECT_EQ(drawn("a\x1b = 5", 2, 3), "  a\\x1b = 5\n   ^~~~\n");
    Problem it = problem(span(1, 1, 2));
    it.says = "no\nsign '\x1b[2J'";
    it.help = "\u202e";
    EXPECT_EQ(to_text(it, {{"kb/\x1b.toml", ""}}),
              "kb/\\x1b.toml:1:1: error: no\\x0asign '\\x1b[2J' (bad)\n  \\u202e\n");
}

TEST(Problem, DrawsASpanThatLeavesItsLineToTheEnd) {
    const Span open{.source = 0, .begin = {1, 3}, .end = {2, 2}};
    EXPECT_EQ(to_text(problem(open), {{"a", "ab [1,\n2]\n"}}),
              "a:1:3: error: says (bad)\n  ab [1,\n    ^~~~\n");
}

TEST(Problem, DrawsOneCaretWhereTheSpanIsEmptyOrBackwards) {
    EXPECT_EQ(drawn("abcd", 2, 2), "  abcd\n   ^\n");
    EXPECT_EQ(drawn("abcd", 3, 1), "  abcd\n    ^\n");
    const Span backwards{.source = 0, .begin = {2, 1}, .end = {1, 1}};
    EXPECT_EQ(to_text(problem(backwards), {{"a", "x\nyyy\n"}}),
              "a:2:1: error: says (bad)\n  yyy\n  ^\n");
}

TEST(Problem, StandsBehindTheEndOfTheLine) {
    EXPECT_EQ(drawn("abc", 4, 5), "  abc\n     ^\n");
    EXPECT_EQ(drawn("abc", 4000000000U, 4000000001U), "  abc\n     ^\n");
    EXPECT_EQ(drawn("abc", 2, 4000000000U), "  abc\n   ^~\n");
    EXPECT_EQ(drawn("", 1, 2), "");
}

TEST(Problem, CutsALongLineAroundTheCaret) {
    const std::string line = std::string(300, 'a') + "MISTAKE" + std::string(300, 'b');
    EXPECT_EQ(drawn(line, 301, 308), "  ..." + std::string(40, 'a') + "MISTAKE" +
                                         std::string(45, 'b') + "...\n     " +
                                         std::string(40, ' ') + "^~~~~~~\n");
    EXPECT_EQ(drawn(line, 1, 2), "  " + std::string(92, 'a') + "...\n  ^\n");
    const std::string end = drawn(line, 607, 608);
    EXPECT_EQ(end, "  ..." + std::string(92, 'b') + "\n  " + std::string(94, ' ') + "^\n");
}

TEST(Problem, KeepsALineOfAHundredColumnsWhole) {
    const std::string fits(98, 'a');
    EXPECT_EQ(drawn(fits, 1, 99), "  " + fits + "\n  ^" + std::string(97, '~') + "\n");
    EXPECT_EQ(drawn(fits + "a", 1, 2), "  " + std::string(92, 'a') + "...\n  ^\n");
}

// Whatever the line is made of and wherever the caret stands: no line is wider than the page, and
// the caret stands under a shown letter or right behind the last.
TEST(Problem, NeverDrawsOverTheEdgeOfThePage) {
    const std::string pieces[] = {"a", "\u4e95", "\x1b", "\xFF", "\t", "e\u0301", "\u202e"};
    for (std::size_t kind = 0; kind < std::size(pieces); ++kind) {
        std::string line;
        for (std::size_t i = 0; i < 250; ++i)
            line += pieces[i % 3 == 0 ? kind : (i * 5) % 7];
        for (std::uint32_t from = 1; from < 300; from += 7) {
            for (const std::uint32_t to : {from, from + 3, from + 200}) {
                SCOPED_TRACE(std::to_string(kind) + " from " + std::to_string(from));
                std::istringstream lines(drawn(line, from, to));
                std::string text;
                std::string caret;
                ASSERT_TRUE(std::getline(lines, text) && std::getline(lines, caret));
                EXPECT_LE(columns_of(text), 100U);
                EXPECT_LE(caret.size(), 100U);
                EXPECT_NE(caret.find('^'), std::string::npos);
            }
        }
    }
}

TEST(Problem, WrapsLongHelp) {
    Problem it = problem({});
    for (int i = 0; i < 30; ++i)
        it.help += "word-" + std::to_string(i) + ' ';
    std::istringstream lines(to_text(it, {}));
    std::string line;
    std::size_t count = 0;
    while (std::getline(lines, line)) {
        EXPECT_LE(line.size(), 100U);
        ++count;
    }
    EXPECT_EQ(count, 4U);
}

TEST(PutInOrder, SortsByPlaceWithErrorsFirst) {
    Problem warning = problem(span(2, 1, 2));
    warning.severity = Severity::warning;
    const Problem error = problem(span(2, 1, 2));
    const Problem earlier = problem(span(1, 9, 10));
    Problem other_file = problem(span(1, 1, 2));
    other_file.span.source = 1;
    std::vector<Problem> problems = {other_file, warning, error, earlier};
    put_in_order(problems);
    EXPECT_EQ(problems, (std::vector<Problem>{earlier, error, warning, other_file}));
}

TEST(PutInOrder, RemovesDoubles) {
    const Problem once = problem(span(1, 1, 2));
    Problem again = once;
    again.help = "the same mistake, found on another way";
    Problem other = once;
    other.says = "something else";
    std::vector<Problem> problems = {once, other, again};
    put_in_order(problems);
    EXPECT_EQ(problems, (std::vector<Problem>{once, other}));
}

TEST(AnyError, LooksForErrorsOnly) {
    Problem warning = problem({});
    warning.severity = Severity::warning;
    EXPECT_FALSE(any_error({}));
    EXPECT_FALSE(any_error({warning}));
    EXPECT_TRUE(any_error({warning, problem({})}));
}

}  // namespace
}  // namespace knockwell
