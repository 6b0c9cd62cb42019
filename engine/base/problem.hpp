// base/problem.hpp
//
// What is wrong with a person's text: where, what, and what to write instead. One value, drawn by
// one printer.
//
//   kb/tank.toml:14:1: error: cause 'waterlogged' shows a sign that nothing defines (unknown-sign)
//     overpresure = "1 in 10"
//     ^~~~~~~~~~~
//     write instead: overpressure  (defined at kb/tank.toml:52:1)
#pragma once
#include "base/source.hpp"

#include <string>
#include <vector>

namespace knockwell {

enum class Severity { error, warning };

struct Note {
    Span span;  // may be nowhere
    std::string says;
    bool operator==(const Note&) const = default;
};

struct Problem {
    Severity severity = Severity::error;
    std::string code;  // kebab-case; has a page in docs/problems.md
    Span span;         // the smallest stretch that is wrong
    std::string says;  // lower case, no full stop
    std::string help;  // what to write instead; may be empty
    std::vector<Note> notes;
    bool operator==(const Problem&) const = default;
};

/// The problem as text: place and words, the line with its caret, notes, help; several lines,
/// ending in a newline; source bytes are shown escaped and a long line is cut around the caret.
[[nodiscard]] std::string to_text(const Problem& problem, const std::vector<Source>& sources);

/// Order of place, errors before warnings at one place, doubles removed.
void put_in_order(std::vector<Problem>& problems);

[[nodiscard]] bool any_error(const std::vector<Problem>& problems);

}  // namespace knockwell
