// cli/keys.hpp
//
// What somebody answers in a conversation: a number, a single key, or words, one line each. It
// reads a terminal and a pipe alike, and the end of the input is an answer too.
#pragma once
#include <cstddef>
#include <iosfwd>
#include <optional>
#include <string>

namespace knockwell {

/// One line. Exactly one of `end`, `key`, and a text (which may be a number) says it; an empty line
/// is an empty text.
struct Reply {
    bool end = false;                   // nothing more comes
    char key = 0;                       // a single letter, made small, or '?'
    std::optional<std::size_t> number;  // where the text is digits only, at most four of them
    std::string text;                   // without blanks around it
};

class Keys {
public:
    /// `in` may be null, which is an end.
    explicit Keys(std::istream* in) : in_(in) {}

    /// The next line. What is longer than an entry of a job can be is cut, and control characters
    /// become blanks, so that no line can fill the memory or steer anything.
    [[nodiscard]] Reply next();

private:
    std::istream* in_;
};

/// A line as a reply.
[[nodiscard]] Reply reply_of(std::string line);

}  // namespace knockwell
