#include "base/source.hpp"
#include "base/utf8.hpp"

#include <gtest/gtest.h>

#include <string>

namespace knockwell {
namespace {

struct Row {
    const char* bytes;
    char32_t code;
};

// First and last code point of every row of The Unicode Standard, version 15.0, table 3-7.
TEST(Utf8, ReadsTheEndsOfEveryRowOfTheUnicodeTable) {
    const Row rows[] = {
        {"\x01", 0x0001},
        {"\x7F", 0x007F},
        {"\xC2\x80", 0x0080},
        {"\xDF\xBF", 0x07FF},
        {"\xE0\xA0\x80", 0x0800},
        {"\xE0\xBF\xBF", 0x0FFF},
        {"\xE1\x80\x80", 0x1000},
        {"\xEC\xBF\xBF", 0xCFFF},
        {"\xED\x80\x80", 0xD000},
        {"\xED\x9F\xBF", 0xD7FF},
        {"\xEE\x80\x80", 0xE000},
        {"\xEF\xBF\xBF", 0xFFFF},
        {"\xF0\x90\x80\x80", 0x10000},
        {"\xF0\xBF\xBF\xBF", 0x3FFFF},
        {"\xF1\x80\x80\x80", 0x40000},
        {"\xF3\xBF\xBF\xBF", 0xFFFFF},
        {"\xF4\x80\x80\x80", 0x100000},
        {"\xF4\x8F\xBF\xBF", 0x10FFFF},
    };
    for (const Row& row : rows) {
        SCOPED_TRACE(static_cast<unsigned>(row.code));
        const std::string bytes = row.bytes;
        const Glyph glyph = first_glyph(bytes + "x");
        EXPECT_TRUE(glyph.well_formed);
        EXPECT_EQ(glyph.code, row.code);
        EXPECT_EQ(glyph.bytes, bytes.size());
    }
}

// What stands just outside of the rows of the same table: each first byte is left alone.
TEST(Utf8, RefusesWhatStandsOutsideOfTheUnicodeTable) {
    const char* const outside[] = {
        "\x80",              // a trailing byte first
        "\xBF",              //
        "\xC0\xAF",          // overlong "/"
        "\xC1\xBF",          // overlong
        "\xE0\x9F\xBF",      // overlong
        "\xED\xA0\x80",      // surrogate U+D800
        "\xED\xBF\xBF",      // surrogate U+DFFF
        "\xF0\x8F\xBF\xBF",  // overlong
        "\xF4\x90\x80\x80",  // beyond U+10FFFF
        "\xF5\x80\x80\x80",  // no lead byte
        "\xFF",              //
        "\xC2",              // cut short
        "\xE1\x80",          // cut short
        "\xF1\x80\x80",      // cut short
        "\xC2\x7F",          // second byte too low
        "\xC2\xC0",          // second byte too high
        "\xE1\x80\x7F",      // third byte too low
        "\xF1\x80\x80\xC0",  // fourth byte too high
    };
    for (const std::string bytes : outside) {
        SCOPED_TRACE(testing::PrintToString(bytes));
        const Glyph glyph = first_glyph(bytes);
        EXPECT_FALSE(glyph.well_formed);
        EXPECT_EQ(glyph.bytes, 1U);
        EXPECT_EQ(glyph.code, static_cast<unsigned char>(bytes[0]));
    }
}

TEST(Utf8, DoesNotLookBehindTheEnd) {
    EXPECT_FALSE(first_glyph(std::string_view("\xC2\x80", 1)).well_formed);
    EXPECT_FALSE(first_glyph(std::string_view("\xF0\x90\x80\x80", 3)).well_formed);
}

TEST(Utf8, KnowsHowWideACharacterIsDrawn) {
    EXPECT_EQ(columns_of(U'a'), 1U);
    EXPECT_EQ(columns_of(U'\u00e9'), 1U);
    EXPECT_EQ(columns_of(U'\u0301'), 0U);  // combining acute accent
    EXPECT_EQ(columns_of(U'\u4e95'), 2U);  // a well, in Chinese
    EXPECT_EQ(columns_of("e\u0301 \u4e95"), 4U);
    EXPECT_EQ(columns_of(""), 0U);
}

TEST(Source, CountsCodePointsAndStrayBytes) {
    EXPECT_EQ(code_points(""), 0U);
    EXPECT_EQ(code_points("tank"), 4U);
    EXPECT_EQ(code_points("\u00e9\u4e95\U0001F6B0"), 3U);
    EXPECT_EQ(code_points("\xE1\x80x\xFF"), 4U);
}

}  // namespace
}  // namespace knockwell
