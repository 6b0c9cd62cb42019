// ledger/exchange.hpp
//
// Jobs as JSON Lines: a line a job, the first line says what it is. docs/ledger.md has the form.
//
// Idea     a line holds all that a ledger keeps of a job, stamps too, so that what is exported and
//          taken in again is the same to the byte, and a file can be merged as a ledger can
// Care     a line is foreign text: every field is checked, unknown ones are refused. JSON cannot
//          hold bytes that are no UTF-8; such a text is written as the hexadecimal digits of its
//          bytes, under its name with "-hex" behind it
// Source   RFC 8259 (2017), JSON
// Held by  tests/ledger/exchange_test.cpp
#pragma once
#include "ledger/kept.hpp"

#include <cstddef>
#include <string>
#include <string_view>
#include <variant>

namespace knockwell {

/// Bytes; a longer line is no job.
inline constexpr std::size_t longest_line = std::size_t{16} << 20U;

/// The first line, without its newline; `jobs` = the lines that follow, so that a file that was cut
/// short is seen.
[[nodiscard]] std::string exchange_head(std::size_t jobs);

/// Without its newline; nothing but characters of ASCII that can be printed.
[[nodiscard]] std::string to_line(const KeptJob& job);

/// Why a line is no job: lower case, no full stop, safe on a terminal.
struct NoJobLine {
    std::string says;
};

/// The jobs that a first line promises.
[[nodiscard]] std::variant<std::size_t, NoJobLine> from_exchange_head(std::string_view line);

[[nodiscard]] std::variant<KeptJob, NoJobLine> from_line(std::string_view line);

/// Why a job cannot be kept (its fields, the order of its entries, what its corrections name);
/// empty where it can.
[[nodiscard]] std::string against_kept(const KeptJob& job);

}  // namespace knockwell
