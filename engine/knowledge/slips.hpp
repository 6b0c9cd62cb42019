// knowledge/slips.hpp
//
// Slips of people who are no programmers, recognised from the line on which the TOML reader stops:
// an inch mark inside a text, a unit behind a number, a comment as elsewhere.
//
// Held by  tests/problems/syntax-*.toml
#pragma once
#include <cstddef>
#include <string>
#include <string_view>

namespace knockwell {

/// What to do about it, in a sentence; empty where it is no slip that is known. `at`: the byte of
/// `line` where the reader stopped; `says`: what it said, with a small letter.
[[nodiscard]] std::string cure_of_slip(std::string_view line, std::size_t at,
                                       std::string_view says);

/// "9 of 10", "9/10", "9 out of 10", "9in10" and "90 %" as the count that is meant: "9 in 10";
/// empty where it is none of these, and where it would be no count.
[[nodiscard]] std::string count_meant(std::string_view text);

}  // namespace knockwell
