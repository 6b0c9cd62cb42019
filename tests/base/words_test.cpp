#include "base/words.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace knockwell {
namespace {

TEST(EscapeControls, LeavesPlainTextAlone) {
    const std::string text = "Heron Bottom 7, \u00e9\u4e95\U0001F6B0 ~ \\x41 \"quoted\"";
    EXPECT_EQ(escape_controls(text), text);
    EXPECT_EQ(escape_controls(""), "");
}

TEST(EscapeControls, WritesEveryControlCharacterOfAscii) {
    for (int code = 0; code < 0x20; ++code) {
        const std::string shown = escape_controls(std::string(1, static_cast<char>(code)));
        ASSERT_EQ(shown.size(), 4U) << code;
        EXPECT_EQ(shown.substr(0, 2), "\\x");
        EXPECT_EQ(std::stoi(shown.substr(2), nullptr, 16), code);
    }
    EXPECT_EQ(escape_controls("\x1b[31m"), "\\x1b[31m");
    EXPECT_EQ(escape_controls("\x7f"), "\\x7f");
}

TEST(EscapeControls, WritesTheControlCharactersAboveAscii) {
    EXPECT_EQ(escape_controls("\u0080\u0085\u009b\u009f"), "\\u0080\\u0085\\u009b\\u009f");
    EXPECT_EQ(escape_controls("\u00a0"), "\u00a0");
}

// Unicode Standard Annex #9, section 2: the explicit directional formatting characters.
TEST(EscapeControls, WritesWhatTurnsTheDirectionOfWriting) {
    EXPECT_EQ(escape_controls("\u202a\u202b\u202c\u202d\u202e"),
              "\\u202a\\u202b\\u202c\\u202d\\u202e");
    EXPECT_EQ(escape_controls("\u2066\u2067\u2068\u2069"), "\\u2066\\u2067\\u2068\\u2069");
    EXPECT_EQ(escape_controls("\u200e\u200f\u061c"), "\\u200e\\u200f\\u061c");
    EXPECT_EQ(escape_controls("\u2027\u202f\u2065\u206a"), "\u2027\u202f\u2065\u206a");
}

// The Unicode Standard, version 15.0, 23.2 and 23.8: format characters without any width.
TEST(EscapeControls, WritesWhatTakesNoRoom) {
    EXPECT_EQ(escape_controls("\u00ad\u200b\u2060\u2064\ufeff"),
              "\\u00ad\\u200b\\u2060\\u2064\\ufeff");
    EXPECT_EQ(escape_controls("\u200c\u200d"), "\u200c\u200d") << "letters are joined by them";
}

TEST(EscapeControls, WritesLineAndParagraphSeparators) {
    EXPECT_EQ(escape_controls("\u2028\u2029"), "\\u2028\\u2029");
}

TEST(EscapeControls, WritesBytesThatAreNoUtf8) {
    EXPECT_EQ(escape_controls("a\xFFz"), "a\\xffz");
    EXPECT_EQ(escape_controls("\xED\xA0\x80"), "\\xed\\xa0\\x80");
    EXPECT_EQ(escape_controls("\xC2"), "\\xc2");
    EXPECT_EQ(escape_controls("\x9b"), "\\x9b");  // the one-byte form of "escape ["
}

TEST(EscapeControls, KeepsNewlinesAndTabsOnlyIfAsked) {
    EXPECT_EQ(escape_controls("a\n\tb\r"), "a\\x0a\\x09b\\x0d");
    EXPECT_EQ(escape_controls("a\n\tb\r", true), "a\n\tb\\x0d");
}

TEST(Percent, RoundsAsPeopleDo) {
    EXPECT_EQ(percent(0.63), "63 %");
    EXPECT_EQ(percent(0.634), "63 %");
    EXPECT_EQ(percent(0.636), "64 %");
    EXPECT_EQ(percent(0.04), "4 %");
    EXPECT_EQ(percent(0.5), "50 %");
    EXPECT_EQ(percent(0.99), "99 %");
    EXPECT_EQ(percent(0.01), "1 %");
}

TEST(Percent, IsFinerAtTheEnds) {
    EXPECT_EQ(percent(0.004), "0.4 %");
    EXPECT_EQ(percent(0.001), "0.1 %");
    EXPECT_EQ(percent(0.0099), "1 %");
    EXPECT_EQ(percent(0.994), "99.4 %");
    EXPECT_EQ(percent(0.999), "99.9 %");
    EXPECT_EQ(percent(0.0009), "under 0.1 %");
    EXPECT_EQ(percent(1e-300), "under 0.1 %");
    EXPECT_EQ(percent(0.9991), "over 99.9 %");
    EXPECT_EQ(percent(std::nextafter(1.0, 0.0)), "over 99.9 %");
}

TEST(Percent, IsCertainOnlyWhenExact) {
    EXPECT_EQ(percent(0), "0 %");
    EXPECT_EQ(percent(1), "100 %");
    EXPECT_EQ(percent(-1e-17), "0 %");
    EXPECT_EQ(percent(1 + 1e-15), "100 %");
}

TEST(ListOf, JoinsWithCommasAndALastWord) {
    EXPECT_EQ(list_of({}), "");
    EXPECT_EQ(list_of({"a"}), "a");
    EXPECT_EQ(list_of({"a", "b"}), "a and b");
    EXPECT_EQ(list_of({"a", "b", "c"}), "a, b and c");
    EXPECT_EQ(list_of({"a", "b", "c"}, "or"), "a, b or c");
}

TEST(Number, HasSixDigitsAndNoTrailingZeros) {
    EXPECT_EQ(number(0), "0");
    EXPECT_EQ(number(-0.0), "0");
    EXPECT_EQ(number(2), "2");
    EXPECT_EQ(number(-2.5), "-2.5");
    EXPECT_EQ(number(100), "100");
    EXPECT_EQ(number(39.1602, 5), "39.16");
    EXPECT_EQ(number(1234567, 3), "1230000");
    EXPECT_EQ(number(3.14159265), "3.14159");
    EXPECT_EQ(number(0.1 + 0.2), "0.3");
    EXPECT_EQ(number(0.00012345678), "0.000123457");
    EXPECT_EQ(number(999999.7), "1000000");
    EXPECT_EQ(number(1234567), "1234570");
    EXPECT_EQ(number(-12345678), "-12345700");
    EXPECT_EQ(number(1e14), "100000000000000");
}

TEST(Number, FallsBackToPowersOfTen) {
    EXPECT_EQ(number(1e15), "1e+15");
    EXPECT_EQ(number(1.7976931348623157e308), "1.79769e+308");
    EXPECT_EQ(number(1.25e-7), "1.25e-07");
    EXPECT_EQ(number(std::numeric_limits<double>::infinity()), "inf");
    EXPECT_EQ(number(-std::numeric_limits<double>::infinity()), "-inf");
    EXPECT_EQ(number(std::numeric_limits<double>::quiet_NaN()), "nan");
}

TEST(AsArgument, IsOneWordOfAShellWhateverIsInIt) {
    EXPECT_EQ(as_argument("heron-bottom"), "heron-bottom");
    EXPECT_EQ(as_argument("HB_17.b"), "HB_17.b");
    EXPECT_EQ(as_argument("mill road; rm x"), "'mill road; rm x'");
    EXPECT_EQ(as_argument("o'hare $(x)"), "'o'\\''hare $(x)'");
    EXPECT_EQ(as_argument(""), "''");
    EXPECT_EQ(as_argument("a\nb"), "'a\\x0ab'");
}

TEST(Echo, IsEscapedAndCutWhereItIsLongerThanAnyName) {
    EXPECT_EQ(in_quotes("bell\a"), "'bell\\x07'");
    EXPECT_EQ(echo(std::string(80, 'x')), std::string(80, 'x'));
    EXPECT_EQ(in_quotes(std::string(100000, 'x')), "'" + std::string(60, 'x') + "...'");
    EXPECT_EQ(echo(std::string(59, 'x') + "\u00e9" + std::string(40, 'x')),
              std::string(59, 'x') + "...")
        << "no piece of a character";
    const std::string whole = "'pressure' is none of these: gauge or flow";
    EXPECT_EQ(shortened(whole), whole);
    EXPECT_EQ(shortened("a key '" + std::string(5000, 'x') + "' is unknown"),
              "a key '" + std::string(59, 'x') + "...' is unknown");
    std::string words;
    for (int i = 0; i < 50000; ++i)
        words += "x ";
    EXPECT_LT(shortened(words).size(), 1100U);
}

TEST(Words, CodesThatMayBeTheSameAreAlike) {
    for (const char* alike : {"HB-1", "hb 1", "HB1", "hb_1", "HB-01", "HB-001", "-HB-1-"})
        EXPECT_EQ(plain_code(alike), "hb1") << alike;
    EXPECT_EQ(plain_code("heron bottom"), plain_code("Heron-Bottom"));
    EXPECT_EQ(plain_code("Mill Rd. "), plain_code("mill rd"));
    EXPECT_NE(plain_code("1-12"), plain_code("11-2"));
    EXPECT_NE(plain_code("HB-1"), plain_code("HB-10"));
    EXPECT_NE(plain_code("HB-0"), plain_code("HB"));
    EXPECT_EQ(plain_code("HB-100"), "hb100");
    EXPECT_EQ(plain_code("10-05"), "10-5");
    EXPECT_EQ(plain_code(""), "");
}

TEST(SmallLetters, AreThoseOfAsciiAlone) {
    EXPECT_EQ(small_letters("No WATER, 40 PSI"), "no water, 40 psi");
    EXPECT_EQ(small_letters("\xC3\x89TAGE @[`{"), "\xC3\x89tage @[`{");
}

TEST(Counted, HasOneOrMany) {
    EXPECT_EQ(counted(1, "job"), "1 job");
    EXPECT_EQ(counted(0, "job"), "0 jobs");
    EXPECT_EQ(counted(2, "new job"), "2 new jobs");
    EXPECT_EQ(counted(1, "entry", "entries"), "1 entry");
    EXPECT_EQ(counted(9, "entry", "entries"), "9 entries");
}

TEST(Replaced, IsEveryPlaceAndNotWhatWasPutThere) {
    EXPECT_EQ(replaced("a-b-c", "-", "--"), "a--b--c");
    EXPECT_EQ(replaced("aaa", "aa", "b"), "ba");
    EXPECT_EQ(replaced("nothing", "x", "y"), "nothing");
}

TEST(ToTheLastDigit, IsPlainAndReadsBackTheSame) {
    EXPECT_EQ(to_the_last_digit(12), "12");
    EXPECT_EQ(to_the_last_digit(100000), "100000");
    EXPECT_EQ(to_the_last_digit(38.1234567), "38.1234567");
    for (const double value : {0.1 + 0.2, 1.0 / 3, 1e-7, 123456789.123456789})
        EXPECT_EQ(std::stod(to_the_last_digit(value)), value);
}

TEST(Wrap, BreaksAtBlanks) {
    EXPECT_EQ(wrap("turn the pump off at the breaker", 16, 2, 0),
              "turn the pump\n  off at the\n  breaker");
    EXPECT_EQ(wrap("exactly ten", 11, 0, 0), "exactly ten");
    EXPECT_EQ(wrap("exactly ten", 10, 0, 0), "exactly\nten");
}

TEST(Wrap, IndentsTheFirstLineByItself) { EXPECT_EQ(wrap("a b c", 5, 4, 2), "  a b\n    c"); }

TEST(Wrap, KeepsNewlinesAndInnerBlanks) {
    EXPECT_EQ(wrap("one\n\ntwo", 20, 2, 0), "one\n\n  two");
    EXPECT_EQ(wrap("name  (where)", 20, 0, 0), "name  (where)");
    EXPECT_EQ(wrap("name    (where)", 10, 0, 0), "name\n(where)");
    EXPECT_EQ(wrap("", 20, 2, 2), "");
    EXPECT_EQ(wrap("end  ", 20, 0, 0), "end");
}

TEST(Wrap, LetsALongWordStandOut) {
    EXPECT_EQ(wrap("a gooseneck b", 6, 0, 0), "a\ngooseneck\nb");
    EXPECT_EQ(wrap("gooseneck", 3, 2, 2), "  gooseneck");
    EXPECT_EQ(wrap("gooseneck", 0, 8, 8), "        gooseneck");
}

TEST(Wrap, CountsColumnsAndNotBytes) {
    EXPECT_EQ(wrap("\u00e9\u00e9 \u00e9\u00e9", 5, 0, 0), "\u00e9\u00e9 \u00e9\u00e9");
    EXPECT_EQ(wrap("\u4e95\u4e95 \u4e95", 6, 0, 0), "\u4e95\u4e95\n\u4e95");
}

}  // namespace
}  // namespace knockwell
