#include "cli/page.hpp"
#include "cli/support.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <functional>

namespace knockwell {
namespace {

std::string written(PageStyle style, const std::function<void(Page&)>& write) {
    Page page(style);
    write(page);
    return page.all();
}

TEST(Page, PutsTheRightSideAtTheEdge) {
    EXPECT_EQ(written({.width = 20}, [](Page& page) { page.row("cause", "9 %", 4, 2); }),
              "  cause          9 %\n");
    EXPECT_EQ(
        written({.width = 20}, [](Page& page) { page.row("a cause of many words", "9 %", 4, 2); }),
        "  a cause of many\n    words, 9 %\n");
}

TEST(Page, CountsLettersAndNotBytes) {
    EXPECT_EQ(written({.width = 12}, [](Page& page) { page.row("Öl ö", "1 %", 0, 0); }),
              "Öl ö     1 %\n");
}

TEST(Page, BreaksWordsThatAreLongerThanALine) {
    const std::string text =
        written({.width = 40}, [](Page& page) { page.block(std::string(300, 'x'), 5); });
    EXPECT_LE(widest_line(text), 40U);
    EXPECT_EQ(std::count(text.begin(), text.end(), 'x'), 300);
}

TEST(Page, KeepsANumberWithItsPercentSign) {
    EXPECT_EQ(written({.width = 12}, [](Page& page) { page.text("a chance 28 % of it"); }),
              "a chance\n28 % of it\n");
}

TEST(Page, EscapesWhatItIsGiven) {
    EXPECT_EQ(written({}, [](Page& page) { page.text("a\x1b[2Jb\n"); }), "a\\x1b[2Jb\\x0a\n");
}

TEST(Page, NeverHasTwoEmptyLinesNorOneAtTheTop) {
    EXPECT_EQ(written({},
                      [](Page& page) {
                          page.gap();
                          page.text("a");
                          page.gap();
                          page.gap();
                          page.text("b");
                      }),
              "a\n\nb\n");
}

TEST(Page, ColoursTheSignalWordAlone) {
    const auto write = [](Page& page) { page.signal("WARNING", "hot", 2); };
    EXPECT_EQ(written({.colour = true}, write), "  \x1b[1;31mWARNING\x1b[0m: hot\n");
    EXPECT_EQ(written({}, write), "  WARNING: hot\n");
}

TEST(LinesWithin, GoOnTwoBlanksFurtherIn) {
    EXPECT_EQ(lines_within("  one two three\nfour\n", 10), "  one two\n    three\nfour\n");
    EXPECT_EQ(lines_within("", 10), "");
}

}  // namespace
}  // namespace knockwell
