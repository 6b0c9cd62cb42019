// base/source.hpp
//
// Named texts and places in them. The only floor that counts lines and columns.
// Columns count code points from 1, as the TOML reader does, so that a caret stands under the right
// letter.
#pragma once
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

namespace knockwell {

/// A text with the name that its reader knows it by (a path relative to the knowledge folder).
struct Source {
    std::string name;
    std::string text;
    std::string unread = {};  // why there is no text; empty where there is
    bool operator==(const Source&) const = default;
};

struct Place {
    std::uint32_t line = 0;    // from 1; 0 = nowhere
    std::uint32_t column = 0;  // from 1, in code points
    auto operator<=>(const Place&) const = default;
};

/// A stretch of one source, [begin, end). `source` indexes the list of sources of the run.
struct Span {
    std::uint32_t source = 0;
    Place begin;
    Place end;
    [[nodiscard]] bool somewhere() const { return begin.line != 0; }
    auto operator<=>(const Span&) const = default;
};

/// Line `line` (from 1) of `text` without its end of line; empty where there is none.
[[nodiscard]] std::string_view line_of(std::string_view text, std::uint32_t line);

/// Number of code points of `text`; bytes that are no UTF-8 count one each.
[[nodiscard]] std::size_t code_points(std::string_view text);

}  // namespace knockwell
