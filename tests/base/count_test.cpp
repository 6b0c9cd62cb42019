#include "base/count.hpp"

#include <gtest/gtest.h>

#include <limits>

namespace knockwell {
namespace {

Count cases(double k, double n) { return {.kind = Count::Kind::counted, .k = k, .n = n}; }

Count read(std::string_view text) {
    const auto result = parse_count(text);
    EXPECT_TRUE(std::holds_alternative<Count>(result)) << text;
    return std::holds_alternative<Count>(result) ? std::get<Count>(result) : cases(-1, -1);
}

std::string refusal(std::string_view text) {
    const auto result = parse_count(text);
    return std::holds_alternative<std::string>(result) ? std::get<std::string>(result) : "accepted";
}

TEST(Count, ReadsCasesInCases) {
    EXPECT_EQ(read("9 in 10"), cases(9, 10));
    EXPECT_EQ(read("0 in 3"), cases(0, 3));
    EXPECT_EQ(read("3 in 3"), cases(3, 3));
    EXPECT_EQ(read("2.5 in 7.25"), cases(2.5, 7.25));
    EXPECT_EQ(read("  9\tin   10 "), cases(9, 10));
    EXPECT_EQ(read("1 in 1000000000"), cases(1, 1e9));
}

TEST(Count, ReadsCertainWords) {
    EXPECT_EQ(read("always"), (Count{.kind = Count::Kind::exact, .k = 1, .n = 1}));
    EXPECT_EQ(read("never"), (Count{.kind = Count::Kind::exact, .k = 0, .n = 1}));
    EXPECT_TRUE(read("always").certain());
    EXPECT_TRUE(read("never").certain());
    EXPECT_FALSE(read("10 in 10").certain());
}

TEST(Count, RefusesWhatIsNoCount) {
    const std::string shape = "a count is written like '9 in 10', 'always' or 'never'";
    for (const char* text :
         {"",          " ",         "9",           "9 in",        "in 10",
          "9 of 10",   "9/10",      "9in10",       "nine in 10",  "9 in 10 in 11",
          "9 in 10 x", "often",     "always in 3", "nan in 3",    "3 in nan",
          "inf in 3",  "1 in inf",  "1e400 in 2",  "1e2 in 1000", "0x1 in 2",
          "+1 in 2",   "- in 2",    "--1 in 2",    "1 in 2\n",    ".5 in 2",
          "1,5 in 2",  "\xFF in 2", "9 in 1\u0660"}) {
        SCOPED_TRACE(testing::PrintToString(text));
        EXPECT_EQ(refusal(text), shape);
    }
    EXPECT_EQ(refusal(std::string(1000000, '9') + " in 10"), shape);
    EXPECT_EQ(refusal("9 in 10" + std::string(1000000, ' ')), shape);
}

TEST(Count, SaysWhatIsWrongWithTheNumbers) {
    EXPECT_EQ(refusal("-1 in 4"), "a count cannot be below 0");
    EXPECT_EQ(refusal("5 in 4"), "5 cannot be more than the 4 it is counted in");
    EXPECT_EQ(refusal("1 in 0"), "a count needs at least one case, like '0 in 1'");
    EXPECT_EQ(refusal("0 in -2"), "a count needs at least one case, like '0 in 1'");
    EXPECT_EQ(refusal("1 in 1000000001"), "nobody has counted more than 1000000000 cases");
    EXPECT_EQ(refusal("1 in 99999999999999999999999999"),
              "nobody has counted more than 1000000000 cases");
}

TEST(Count, IsWrittenAsItIsRead) {
    for (const char* text : {"9 in 10", "0 in 3", "0.1 in 0.3", "2.5 in 7.25", "always", "never",
                             "123456.789 in 1000000000"}) {
        EXPECT_EQ(to_text(read(text)), text);
    }
    EXPECT_EQ(to_text(Count{.kind = Count::Kind::exact, .k = 0.25, .n = 1}), "0.25");
}

TEST(Count, StandsForABetaThatIsNeverCertain) {
    const Beta usual = beta_of(cases(9, 10));
    EXPECT_EQ(usual.a, 9);
    EXPECT_EQ(usual.b, 1);
    const Beta none = beta_of(cases(0, 10));
    EXPECT_EQ(none.a, 0.5);
    EXPECT_EQ(none.b, 10);
    const Beta all = beta_of(cases(10, 10));
    EXPECT_EQ(all.a, 10);
    EXPECT_EQ(all.b, 0.5);
}

TEST(Count, HasTheMeanOfItsBeta) {
    EXPECT_EQ(cases(9, 10).mean(), 0.9);
    EXPECT_EQ(cases(0.5, 1).mean(), 0.5);
    EXPECT_EQ(cases(1, 3).mean(), 1.0 / 3);  // k/n itself, without the rounding of 1 + 2
    EXPECT_DOUBLE_EQ(cases(0, 10).mean(), 0.5 / 10.5);
    EXPECT_DOUBLE_EQ(cases(10, 10).mean(), 10 / 10.5);
    EXPECT_DOUBLE_EQ(cases(0.1, 0.3).mean(), 0.5);
    EXPECT_EQ(read("always").mean(), 1);
    EXPECT_EQ(read("never").mean(), 0);
    EXPECT_EQ((Count{.kind = Count::Kind::exact, .k = 0.25, .n = 1}).mean(), 0.25);
}

}  // namespace
}  // namespace knockwell
