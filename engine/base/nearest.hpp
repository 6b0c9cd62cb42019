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

/// The words of a text in small letters: ASCII letters and digits, and whatever bytes other
/// alphabets have, so that a title in any language is split at its blanks.
[[nodiscard]] std::vector<std::string> small_words_of(std::string_view text);

/// The places in `known` of those, each as its words, among which any typed word of three letters
/// or more stands, as a piece of a word too, a slip of the finger allowed; most such words first.
[[nodiscard]] std::vector<std::size_t>
by_common_words(const std::vector<std::string>& typed,
                const std::vector<std::vector<std::string>>& known);

/// Up to `most` of `known`, nearest first, ties in alphabetical order; only those within a third of
/// the length of `name` (at least 2 edits).
[[nodiscard]] std::vector<std::string>
nearest(std::string_view name, const std::vector<std::string>& known, std::size_t most = 3);

/// "write instead: a, b or c"; `otherwise` where nothing is near.
[[nodiscard]] std::string one_of_instead(const std::vector<std::string>& near,
                                         std::string otherwise);

}  // namespace knockwell
