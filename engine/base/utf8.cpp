#include "base/utf8.hpp"

#include <algorithm>
#include <array>
#include <cassert>
#include <cstdint>

namespace knockwell {
namespace {

std::uint8_t byte_at(std::string_view text, std::size_t at) {
    return static_cast<std::uint8_t>(text[at]);
}

/// What may follow a lead byte: the length of the sequence and the range of the second byte; every
/// later byte is 80..BF. Length 0: no sequence begins so.
struct Lead {
    std::size_t bytes = 0;
    std::uint8_t low = 0x80;
    std::uint8_t high = 0xBF;
};

Lead lead_of(std::uint8_t byte) {
    if (byte < 0x80)
        return {.bytes = 1};
    if (byte < 0xC2)
        return {};  // a trailing byte, or an overlong form of ASCII
    if (byte < 0xE0)
        return {.bytes = 2};
    if (byte == 0xE0)
        return {.bytes = 3, .low = 0xA0};  // below: overlong
    if (byte == 0xED)
        return {.bytes = 3, .high = 0x9F};  // above: surrogates
    if (byte < 0xF0)
        return {.bytes = 3};
    if (byte == 0xF0)
        return {.bytes = 4, .low = 0x90};  // below: overlong
    if (byte < 0xF4)
        return {.bytes = 4};
    if (byte == 0xF4)
        return {.bytes = 4, .high = 0x8F};  // above: beyond U+10FFFF
    return {};
}

struct Range {
    char32_t first;
    char32_t last;
};

template <std::size_t N>
bool within(const std::array<Range, N>& ranges, char32_t code) {
    return std::any_of(ranges.begin(), ranges.end(), [code](const Range& range) {
        return code >= range.first && code <= range.last;
    });
}

constexpr std::array<Range, 6> combining{{{0x0300, 0x036F},
                                          {0x1AB0, 0x1AFF},
                                          {0x1DC0, 0x1DFF},
                                          {0x200B, 0x200D},
                                          {0x20D0, 0x20FF},
                                          {0xFE00, 0xFE0F}}};
constexpr std::array<Range, 10> wide{{{0x1100, 0x115F},
                                      {0x2E80, 0x303E},
                                      {0x3041, 0xA4CF},
                                      {0xAC00, 0xD7A3},
                                      {0xF900, 0xFAFF},
                                      {0xFE30, 0xFE6F},
                                      {0xFF01, 0xFF60},
                                      {0xFFE0, 0xFFE6},
                                      {0x1F300, 0x1FAFF},
                                      {0x20000, 0x3FFFD}}};

}  // namespace

Glyph first_glyph(std::string_view text) {
    assert(!text.empty());
    const std::uint8_t first = byte_at(text, 0);
    const Glyph alone{.code = first, .bytes = 1, .well_formed = false};
    const Lead lead = lead_of(first);
    if (lead.bytes == 0 || lead.bytes > text.size())
        return alone;
    if (lead.bytes == 1)
        return {.code = first, .bytes = 1, .well_formed = true};
    char32_t code = first & (0x7FU >> lead.bytes);
    for (std::size_t i = 1; i < lead.bytes; ++i) {
        const std::uint8_t byte = byte_at(text, i);
        const bool follows =
            i == 1 ? byte >= lead.low && byte <= lead.high : byte >= 0x80 && byte <= 0xBF;
        if (!follows)
            return alone;
        code = (code << 6U) | (byte & 0x3FU);
    }
    return {.code = code, .bytes = lead.bytes, .well_formed = true};
}

bool is_utf8(std::string_view text) {
    while (!text.empty()) {
        const Glyph glyph = first_glyph(text);
        if (!glyph.well_formed)
            return false;
        text.remove_prefix(glyph.bytes);
    }
    return true;
}

std::size_t columns_of(char32_t code) {
    if (within(combining, code))
        return 0;
    return within(wide, code) ? 2 : 1;
}

std::size_t columns_of(std::string_view text) {
    std::size_t columns = 0;
    while (!text.empty()) {
        const Glyph glyph = first_glyph(text);
        columns += columns_of(glyph.code);
        text.remove_prefix(glyph.bytes);
    }
    return columns;
}

}  // namespace knockwell
