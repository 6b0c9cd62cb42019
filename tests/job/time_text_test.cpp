// Moments as text; the examples are those of RFC 3339, section 5.8.
#include "job/time_text.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

std::string round_trip(std::string_view text) {
    const auto at = parse_time(text);
    return at ? format_time(*at) : "none";
}

TEST(TimeText, ReadsTheExamplesOfTheStandard) {
    // "This represents 20 minutes and 50.52 seconds after the 23rd hour of April 12th, 1985 in
    // UTC."
    EXPECT_EQ(round_trip("1985-04-12T23:20:50.52Z"), "1985-04-12T23:20:50Z");
    // "Note that this is equivalent to 1996-12-20T00:39:57Z in UTC."
    EXPECT_EQ(round_trip("1996-12-19T16:39:57-08:00"), "1996-12-20T00:39:57Z");
    // "This represents the leap second inserted at the end of 1990."
    EXPECT_EQ(round_trip("1990-12-31T23:59:60Z"), "1991-01-01T00:00:00Z");
    // "This represents the same leap second in Pacific Standard Time, 8 hours behind UTC."
    EXPECT_EQ(round_trip("1990-12-31T15:59:60-08:00"), "1991-01-01T00:00:00Z");
    // "the same instant of time as noon, January 1, 1937, Netherlands time" (20 minutes ahead)
    EXPECT_EQ(round_trip("1937-01-01T12:00:27.87+00:20"), "1937-01-01T11:40:27Z");
}

TEST(TimeText, TellsTheDayAlone) { EXPECT_EQ(format_day(0), "1970-01-01"); }

TEST(TimeText, CountsSecondsSince1970) {
    EXPECT_EQ(parse_time("1970-01-01T00:00:00Z"), 0);
    // POSIX.1-2017, rationale A.4.16, from memory: 1 000 000 000 is 2001-09-09T01:46:40Z
    EXPECT_EQ(parse_time("2001-09-09T01:46:40Z"), 1000000000);
    EXPECT_EQ(format_time(-1), "1969-12-31T23:59:59Z");
    EXPECT_EQ(parse_time("0000-01-01T00:00:00Z"), first_moment);
    EXPECT_EQ(parse_time("9999-12-31T23:59:59Z"), last_moment);
    EXPECT_EQ(format_time(last_moment), "9999-12-31T23:59:59Z");
    EXPECT_EQ(format_time(last_moment + 1), "253402300800 s");
}

TEST(TimeText, KnowsLeapYears) {
    EXPECT_NE(round_trip("2024-02-29T00:00:00Z"), "none");
    EXPECT_NE(round_trip("2000-02-29T00:00:00Z"), "none");
    EXPECT_EQ(round_trip("1900-02-29T00:00:00Z"), "none");
    EXPECT_EQ(round_trip("2026-02-29T00:00:00Z"), "none");
}

TEST(TimeText, EverySecondReadsBack) {
    for (std::int64_t at = -5000000000; at < 20000000000; at += 98765431)
        EXPECT_EQ(parse_time(format_time(at)), at);
}

TEST(TimeText, OtherTextIsNone) {
    for (const char* text :
         {"", "2026-11-25", "2026-11-25T13:14:45", "2026-13-01T00:00:00Z", "2026-11-31T00:00:00Z",
          "2026-11-25T24:00:00Z", "2026-11-25T13:60:00Z", "2026-11-25T13:14:61Z",
          "2026-11-25T13:00:60Z", "2026-11-25T23:59:60+01:00", "2026-11-25T13:14:45.Z",
          "2026-11-25T13:14:45Zx", "2026-11-25T13:14:45+24:00", "2026-11-25T13:14:45+0100",
          " 2026-11-25T13:14:45Z", "+026-11-25T13:14:45Z", "2026-00-10T13:14:45Z",
          "2026-11-00T13:14:45Z"})
        EXPECT_EQ(round_trip(text), "none") << text;
}

TEST(TimeText, WhatIsWrittenAsATimeAndIsNoneIsToldApart) {
    const auto why = [](std::string_view text) { return std::get<NoTime>(read_time(text)); };
    for (const char* text :
         {"2026-02-29T00:00:00Z", "2026-11-25T24:00:00Z", "2026-11-25T13:00:60Z"})
        EXPECT_EQ(why(text), NoTime::no_such_moment) << text;
    for (const char* text : {"", "yesterday", "2026-02-29", "2026-02-29T00:00:00"})
        EXPECT_EQ(why(text), NoTime::not_written_so) << text;
}

}  // namespace
}  // namespace knockwell
