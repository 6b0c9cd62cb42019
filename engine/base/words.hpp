// base/words.hpp
//
// Numbers, lists and foreign text as plain text.
#pragma once
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace knockwell {

/// `text` with every control character, every byte that is not UTF-8, every bidirectional control
/// and what takes no room written as \x.. or \u....; newline and tab too unless `keep_newlines`.
/// What comes out is safe on a terminal.
[[nodiscard]] std::string escape_controls(std::string_view text, bool keep_newlines = false);

/// What somebody typed or wrote, for a message that repeats it: escaped, and cut with "..." where
/// it is longer than any name.
[[nodiscard]] std::string echo(std::string_view text);

/// The same between quotes: "'presure'".
[[nodiscard]] std::string in_quotes(std::string_view text);

/// A text as one word of a command that somebody types into a shell: as it is where it is plain,
/// else escaped and between single quotes.
/// Source  POSIX.1-2017, Shell Command Language, 2.2.2 single-quotes
[[nodiscard]] std::string as_argument(std::string_view text);

/// A sentence in which nothing that it repeats is longer than a name can be: "..." stands for the
/// rest of long words, and for all behind a thousand bytes.
[[nodiscard]] std::string shortened(std::string_view sentence);

/// A chance for people: "63 %", "4 %", "0.4 %", "under 0.1 %", "over 99.9 %", "0 %" and "100 %"
/// only when exact. What rounding left outside of 0..1 is taken as 0 or 1.
[[nodiscard]] std::string percent(double probability);

/// "a", "a and b", "a, b and c".
[[nodiscard]] std::string list_of(const std::vector<std::string>& items,
                                  std::string_view last = "and");

/// "1 job", "9 jobs"; `many` where an "s" behind `one` is not it: "2 entries".
[[nodiscard]] std::string counted(std::uint64_t count, std::string_view one,
                                  std::string_view many = {});

/// A number as short as it can be without losing what matters: so many significant digits, no
/// trailing zeros.
[[nodiscard]] std::string number(double value, int digits = 6);

/// The shortest plain decimals that read back as `value`: for what is read again, not for people.
[[nodiscard]] std::string to_the_last_digit(double value);

/// ASCII letters in small; all other bytes as they are.
[[nodiscard]] char small_letter(char c);
[[nodiscard]] std::string small_letters(std::string_view text);

/// What codes are compared by that may be the same: in small letters (ASCII), without blanks,
/// hyphens and underscores but between two figures, without zeros before a figure and without dots
/// at the end. "HB 01", "hb-1" and "HB1" are alike, "1-12" and "11-2" are not.
[[nodiscard]] std::string plain_code(std::string_view code);

/// Without blanks (any of these) at either end.
[[nodiscard]] std::string_view trimmed(std::string_view text, std::string_view blanks = " \t");

/// `text` with `by` wherever `what` stands.
[[nodiscard]] std::string replaced(std::string text, std::string_view what, std::string_view by);

/// Lines of at most `width` columns, each begun by `indent` blanks (the first by `first_indent`);
/// breaks at blanks and newlines only, so that a longer word stands out. No newline at the end.
[[nodiscard]] std::string wrap(std::string_view text, std::size_t width, std::size_t indent,
                               std::size_t first_indent);

}  // namespace knockwell
