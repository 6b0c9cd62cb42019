// base/utf8.hpp
//
// Bytes as code points, one at a time, and how wide each is drawn.
//
// Source   The Unicode Standard, version 15.0, table 3-7 (well-formed UTF-8 byte sequences);
//          Unicode Standard Annex #11 (wide and full-width characters take two columns)
// Ours     differs: every byte outside a well-formed sequence stands alone, so that it can be shown
#pragma once
#include <cstddef>
#include <string_view>

namespace knockwell {

/// One code point, or one byte that belongs to no well-formed sequence.
struct Glyph {
    char32_t code = 0;      // the byte itself where it is not well formed
    std::size_t bytes = 1;  // taken from the text; 1 where it is not well formed
    bool well_formed = false;
};

/// The first code point of `text`, which is not empty.
[[nodiscard]] Glyph first_glyph(std::string_view text);

/// Whether every byte belongs to a well-formed sequence.
[[nodiscard]] bool is_utf8(std::string_view text);

/// Columns of a terminal that a printable code point takes: 0 (combining), 1 or 2.
[[nodiscard]] std::size_t columns_of(char32_t code);

/// Columns that `text` takes; it holds no control characters (see escape_controls).
[[nodiscard]] std::size_t columns_of(std::string_view text);

}  // namespace knockwell
