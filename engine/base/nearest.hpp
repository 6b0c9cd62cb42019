// base/nearest.hpp
//
// The known names nearest to a name that is not known.
// Source   F. J. Damerau, A technique for computer detection and correction of spelling errors,
//          CACM 7(3), 1964, pp. 171-176 (restricted to adjacent transpositions, each substring
//          edited once)
#pragma once
#include <string>
#include <string_view>
#include <vector>

namespace knockwell {

/// Edits (insert, drop, replace, swap neighbours) between two names, in bytes; both are cut at 64
/// bytes.
[[nodiscard]] std::size_t edits_between(std::string_view a, std::string_view b);

/// Up to `most` of `known`, nearest first, ties in alphabetical order; only those within a third of
/// the length of `name` (at least 2 edits).
[[nodiscard]] std::vector<std::string>
nearest(std::string_view name, const std::vector<std::string>& known, std::size_t most = 3);

}  // namespace knockwell
