// job/time_text.hpp
//
// Moments as people and files write them. The engine has no clock: a moment is handed in.
//
// Source   RFC 3339 (2002), section 5.6, the profile of ISO 8601 for internet dates; days by
//          H. Hinnant's method, as std::chrono has it
// Held by  tests/job/time_text_test.cpp (the examples of RFC 3339, section 5.8)
#pragma once
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>

namespace knockwell {

/// First and last moment that a four-digit year can say, in seconds since 1970-01-01T00:00:00Z.
constexpr std::int64_t first_moment = -62167219200;
constexpr std::int64_t last_moment = 253402300799;

constexpr std::int64_t day_seconds = 86400;

/// The years in which anything is written down, 1950 to 2199: outside of them a clock is wrong, or
/// a year was mistyped. (What stands in an older ledger may lie outside.)
constexpr std::int64_t first_written = -631152000;
constexpr std::int64_t last_written = 7258118399;

/// "the time lies outside of the years 1950 to 2199"; empty where it does not. `name`: what it is
/// that lies there.
[[nodiscard]] std::string against_time(std::string_view name, std::int64_t at);

/// "2026-11-25T13:14:45Z"; `at` in seconds since 1970-01-01T00:00:00Z. A moment outside of the
/// years 0000 to 9999 is written as its number of seconds.
[[nodiscard]] std::string format_time(std::int64_t at);

/// "2026-11-25": the day of that moment.
[[nodiscard]] std::string format_day(std::int64_t at);

/// Why a text is no moment. `no_such_moment`: it is written as one, like the 30th of February.
enum class NoTime { not_written_so, no_such_moment };

/// Reads a date and time with `Z` or an offset ("2026-11-25T15:14:45+02:00"); parts of a second are
/// cut off, and the second 60, which only the last minute of a day by UTC can have, counts as the
/// first one of the next day.
[[nodiscard]] std::variant<std::int64_t, NoTime> read_time(std::string_view text);

/// The same; nothing where it is no moment.
[[nodiscard]] std::optional<std::int64_t> parse_time(std::string_view text);

}  // namespace knockwell
