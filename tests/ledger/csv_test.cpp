// Rows of a spreadsheet's text, each with its line.
#include "ledger/csv.hpp"

#include <gtest/gtest.h>

#include <random>
#include <sstream>

namespace knockwell {
namespace {

using Cells = std::vector<std::string>;

std::vector<CsvRow> rows(const std::string& text, char separator = ',') {
    std::istringstream in(text);
    CsvReader reader(in, separator);
    std::vector<CsvRow> all;
    while (auto row = reader.next())
        all.push_back(*std::move(row));
    return all;
}

Cells only(const std::string& text, char separator = ',') {
    const std::vector<CsvRow> all = rows(text, separator);
    if (all.size() != 1)
        return {std::to_string(all.size()) + " rows"};
    return all.front().wrong.empty() ? all.front().cells : Cells{all.front().wrong};
}

// RFC 4180, section 2, rules 1 to 7, with its examples.
TEST(Csv, IsReadAsTheStandardHasIt) {
    EXPECT_EQ(
        rows("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n"),
        (std::vector<CsvRow>{{1, {"aaa", "bbb", "ccc"}, ""}, {2, {"zzz", "yyy", "xxx"}, ""}}));
    EXPECT_EQ(rows("aaa,bbb,ccc\r\nzzz,yyy,xxx").size(), 2U);
    EXPECT_EQ(only("\"aaa\",\"bbb\",\"ccc\"\r\n"), (Cells{"aaa", "bbb", "ccc"}));
    EXPECT_EQ(
        rows("\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx"),
        (std::vector<CsvRow>{{1, {"aaa", "b\nbb", "ccc"}, ""}, {3, {"zzz", "yyy", "xxx"}, ""}}));
    EXPECT_EQ(only("\"aaa\",\"b\"\"bb\",\"ccc\""), (Cells{"aaa", "b\"bb", "ccc"}));
}

TEST(Csv, SpreadsheetsWriteItTheirWay) {
    EXPECT_EQ(only("\xef\xbb\xbf"
                   "a;b;c\n",
                   ';'),
              (Cells{"a", "b", "c"}));
    EXPECT_EQ(only("a\t\tc\n", '\t'), (Cells{"a", "", "c"}));
    EXPECT_EQ(only(","), (Cells{"", ""}));
    EXPECT_EQ(only("\"\""), (Cells{""}));
    EXPECT_EQ(rows("a\n\n\nb\n"), (std::vector<CsvRow>{{1, {"a"}, ""}, {4, {"b"}, ""}}));
    EXPECT_TRUE(rows("").empty());
}

TEST(Csv, ABrokenRowIsToldAndTheNextIsRead) {
    const std::vector<CsvRow> all = rows("a\"b,c\nd,e\n\"f\"g,h\ni,j\n\"k,l\nm");
    ASSERT_EQ(all.size(), 6U);
    EXPECT_EQ(all[0].wrong, "a quote stands in a cell that does not begin with one");
    EXPECT_EQ(all[1].cells, (Cells{"d", "e"}));
    EXPECT_EQ(all[2].wrong, "something stands behind a closing quote");
    EXPECT_EQ(all[3].cells, (Cells{"i", "j"}));
    EXPECT_EQ(all[4].wrong, "a quote is open to the end of the file");
    EXPECT_EQ(all[4].line, 5U);
    EXPECT_EQ(all[5], (CsvRow{6, {"m"}, ""}));
    EXPECT_EQ(rows("\"" + std::string(2U << 20U, 'x'))[0].wrong,
              "it is longer than 1 MiB; is a quote open?");
}

// The open quote of line 1 meets the next quote in line 4: the rows between are read all the same.
TEST(Csv, AnOpenQuoteHidesNoRow) {
    const std::vector<CsvRow> all = rows("\"a,b\nc,d\ne,f\n\"g\",h\ni,j\n");
    ASSERT_EQ(all.size(), 5U);
    EXPECT_EQ(all[0].wrong, "something stands behind a closing quote");
    for (std::size_t i = 1; i < all.size(); ++i) {
        EXPECT_EQ(all[i].wrong, "");
        EXPECT_EQ(all[i].line, i + 1);
        EXPECT_EQ(all[i].cells.size(), 2U);
    }
    // Nor does a text of nothing but open quotes take for ever.
    std::string quotes;
    for (int i = 0; i < 3000; ++i)
        quotes += "\"x\n";
    EXPECT_GE(rows(quotes).size(), 100U);
}

// Each of them is a byte of the row, though no line has one.
TEST(Csv, EmptyLinesInAnOpenQuoteAreCounted) {
    const std::vector<CsvRow> all = rows("\"" + std::string(std::size_t{2} << 20U, '\n') + "a,b\n");
    ASSERT_FALSE(all.empty());
    EXPECT_EQ(all.front().wrong, "it is longer than 1 MiB; is a quote open?");
}

TEST(Csv, AnyBytesAreReadToTheEnd) {
    std::mt19937 engine(3);
    for (int round = 0; round < 2000; ++round) {
        std::string text;
        for (std::size_t i = engine() % 60; i > 0; --i)
            text += "a\",\n\r;"[engine() % 6];
        for (const CsvRow& row : rows(text))
            EXPECT_FALSE(row.cells.empty());
    }
}

}  // namespace
}  // namespace knockwell
