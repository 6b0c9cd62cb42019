// The quick reader against the TOML library: where it answers, the tree is the same to the last
// span; where it does not, the library has the word.
#include "fuzz/feed.hpp"
#include "knowledge/read.hpp"
#include "support/cases.hpp"

#include <gtest/gtest.h>

#include <array>
#include <random>
#include <string>
#include <string_view>

namespace knockwell {
namespace {

TEST(QuickTree, ReadsTheShippedKnowledge) {
    const std::vector<Source> sources = gather_sources(KNOCKWELL_KB_DIR);
    EXPECT_GT(sources.size(), 10U);
    for (const Source& source : sources) {
        const Trees trees = trees_of(source);
        EXPECT_TRUE(trees.quick) << source.name;
        EXPECT_TRUE(trees.same) << source.name;
    }
}

TEST(QuickTree, ReadsWhatCuratorsWrite) {
    for (const std::string text : {
             "",
             "# only a comment without an end of line",
             "a = 1",
             "a=-2.50# at once",
             "\ta\t=\t0\t\r\n\r\nb = 0.5 # after \\r\\n\r\n",
             "\"quoted key\" = \"\"\n[ a . \"b c\" ]\nx = true\n[a.d.e]\ny = false\n",
             "[a.b]\n[c]\n[a.d] # back to a\n[a.b.e]\n",
             "t = { a = 1, b = { c = [ \"x\" ] } }\nu = {}\nv = { }\n",
             "l = [ # a comment\n  1,\n  \"2\", # another\n  [],\n]\nm = []\nn = [1,2]",
             "w = \"wells of 60 m³, \u4e95\" # ½ hour\nx = \"\u00e9\" # and more\ny = 1\n",
             "n = 123456789012345\nm = 12345678.9012345\n",
         }) {
        const Trees trees = trees_of({"kb/a.toml", text});
        EXPECT_TRUE(trees.quick) << text;
        EXPECT_TRUE(trees.same) << text;
    }
}

TEST(QuickTree, LeavesTheRestToTheLibrary) {
    using namespace std::string_view_literals;
    for (const std::string_view text : {
             // rare
             "a.b = 1"sv,
             "[[a]]"sv,
             "a = 'b'"sv,
             R"(a = """b""")"sv,
             R"(a = "\n")"sv,
             "a = +1"sv,
             "a = 0x1F"sv,
             "a = 1_000"sv,
             "a = 1e3"sv,
             "a = nan"sv,
             "a = 1234567890123456"sv,
             "a = 1979-05-27"sv,
             "a = 07:32:00"sv,
             "\xEF\xBB\xBF"
             "a = 1"sv,
             "[a.b]\n[a]"sv,
             "[a.b.c.d.e.f.g.h]"sv,
             "a = [[[[[[[[[]]]]]]]]]"sv,
             // wrong
             "a = 1\na = 2"sv,
             "[a]\n[a]"sv,
             "a = { b = 1 }\n[a.c]"sv,
             "a = 1\n[a]"sv,
             "a = { b = 1, b = 2 }"sv,
             "a = { b = 1, }"sv,
             "a = { b = 1\n}"sv,
             "a = [1 2]"sv,
             "a = [,]"sv,
             R"(a = "b)"sv,
             "a = \"b\nc\""sv,
             "a = \"\x01\""sv,
             "a = \"\x7F\""sv,
             "a = \"\xC0\x80\""sv,
             "a = \"\xED\xA0\x80\""sv,
             "# \x01"sv,
             "# \xFF"sv,
             "# a \r b"sv,
             "a = 1\r"sv,
             "\0"sv,
             "a = 1\0"sv,
             "a = 007"sv,
             "a = 1."sv,
             "a = .5"sv,
             "a = -"sv,
             "a ="sv,
             "a"sv,
             "= 1"sv,
             "a = truely"sv,
             "a = 1 b = 2"sv,
             "[a] b = 1"sv,
             "[]"sv,
             "[a"sv,
             "[a.]"sv,
             "[.a]"sv,
             "é = 1"sv,
         })
        EXPECT_FALSE(trees_of({"kb/a.toml", std::string(text)}).quick)
            << testing::PrintToString(text);
}

TEST(QuickTree, LeavesTablesWithThousandsOfKeys) {
    std::string text;
    for (int i = 0; i < 2000; ++i)
        text += "k" + std::to_string(i) + " = 1\n";
    EXPECT_FALSE(trees_of({"kb/a.toml", text}).quick);
}

// Pieces of TOML in any order: mostly wrong, in every way that pieces can be.
TEST(QuickTree, IsTheTreeOfTheLibraryForAnyPieces) {
    constexpr std::array<std::string_view, 48> pieces{
        "a",       "b",         "c = ",   "d = ",    "\"e\"", "\"\"",       "\n",    "\n",
        "\n[a]\n", "\n[a.b]\n", "[b]",    "[",       "]",     "{",          "}",     "=",
        ",",       ".",         " ",      "\t",      "\r\n",  "\r",         "# é\n", "#",
        "1",       "-2.5",      "0",      "-0",      "007",   "1e5",        "+1",    "0x1f",
        "1_0",     "true",      "false",  "\"f\"",   "\"é",   "1979-05-27", "'l'",   R"(""")",
        "\\",      "é",         "[1, 2]", "{a = 1}", "[[a]]", "inf",        "\x01",  "\xFF"};
    const std::uint64_t all = cases(200'000);
    std::uint64_t quick = 0;
    for (std::uint64_t seed = 1; seed <= all; ++seed) {
        std::mt19937_64 dice(seed);
        std::string text;
        if (dice() % 2 == 0)
            text = "x = ";
        for (std::uint64_t n = 1 + dice() % 9; n > 0; --n)
            text += pieces.at(dice() % pieces.size());
        const Trees trees = trees_of({"kb/a.toml", text});
        ASSERT_TRUE(trees.same) << "seed " << seed << ": " << testing::PrintToString(text);
        quick += trees.quick ? 1U : 0U;
    }
    EXPECT_GT(quick, all / 50);
}

}  // namespace
}  // namespace knockwell
