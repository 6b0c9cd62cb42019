#include "base/source.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

TEST(Source, FindsLinesByNumber) {
    const std::string text = "first\nsecond\r\n\nlast";
    EXPECT_EQ(line_of(text, 1), "first");
    EXPECT_EQ(line_of(text, 2), "second");
    EXPECT_EQ(line_of(text, 3), "");
    EXPECT_EQ(line_of(text, 4), "last");
}

TEST(Source, GivesNothingWhereThereIsNoLine) {
    EXPECT_EQ(line_of("only\n", 0), "");
    EXPECT_EQ(line_of("only\n", 2), "");
    EXPECT_EQ(line_of("only\n", 4294967295U), "");
    EXPECT_EQ(line_of("", 1), "");
}

TEST(Source, KeepsAReturnThatEndsNoLine) { EXPECT_EQ(line_of("a\rb\n", 1), "a\rb"); }

}  // namespace
}  // namespace knockwell
