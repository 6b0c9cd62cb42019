#include "knowledge/edit.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

Span on_line(std::uint32_t line, std::uint32_t from, std::uint32_t to, std::uint32_t source = 0) {
    return {source, {line, from}, {line, to}};
}

const std::vector<Source> three_lines = {
    {"a.toml", "one = \"1 in 2\" # ünd so\r\n\ntwo\t= \"3 in 4\""},
    {"b.toml", "drei = \"ä\", vier = \"5 in 6\"\n"}};

TEST(Edit, ChangesTheseStretchesAndNoOtherByte) {
    const auto after = edited(three_lines, {{on_line(1, 7, 15), "\"11 in 12\""},
                                            {on_line(3, 7, 15), "\"3.5 in 4\""},
                                            {on_line(1, 20, 28, 1), "\"6 in 6.5\""}});
    ASSERT_TRUE(after.has_value());
    EXPECT_EQ((*after)[0].text, "one = \"11 in 12\" # ünd so\r\n\ntwo\t= \"3.5 in 4\"");
    EXPECT_EQ((*after)[1].text, "drei = \"ä\", vier = \"6 in 6.5\"\n") << "columns are letters";
    EXPECT_EQ(text_at(three_lines, on_line(1, 8, 9, 1)), "\"");
    EXPECT_EQ(text_at(three_lines, on_line(1, 9, 10, 1)), "ä");
}

TEST(Edit, PutsALineIn) {
    const auto after =
        edited(three_lines, {{on_line(3, 1, 1), "new = 1\n"}, {on_line(3, 7, 15), "x"}});
    ASSERT_TRUE(after.has_value());
    EXPECT_EQ((*after)[0].text, "one = \"1 in 2\" # ünd so\r\n\nnew = 1\ntwo\t= x");
}

TEST(Edit, RefusesWhatIsNotThere) {
    EXPECT_FALSE(edited(three_lines, {{on_line(9, 1, 2), ""}}));
    EXPECT_FALSE(edited(three_lines, {{on_line(2, 1, 2), ""}}));
    EXPECT_FALSE(edited(three_lines, {{on_line(1, 1, 2, 7), ""}}));
    EXPECT_FALSE(edited(three_lines, {{on_line(1, 5, 2), ""}}));
    EXPECT_FALSE(edited(three_lines, {{{0, {1, 1}, {3, 1}}, ""}})) << "over a line";
    EXPECT_FALSE(edited(three_lines, {{{}, ""}}));
    EXPECT_FALSE(edited(three_lines, {{on_line(1, 1, 8), "a"}, {on_line(1, 7, 15), "b"}}))
        << "overlap";
    EXPECT_FALSE(text_at(three_lines, on_line(1, 1, 99)).has_value());
}

}  // namespace
}  // namespace knockwell
