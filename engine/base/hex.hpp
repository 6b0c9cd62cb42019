// base/hex.hpp
//
// Hexadecimal digits.
#pragma once
#include <cstdint>
#include <string>
#include <string_view>

namespace knockwell {

/// In the order of their value; small letters.
constexpr std::string_view hex_digits = "0123456789abcdef";

/// The lowest `digits` digits of the value, leading zeros too.
[[nodiscard]] inline std::string hex(std::uint64_t value, unsigned digits) {
    std::string text(digits, '0');
    for (unsigned place = digits; place-- > 0; value >>= 4U)
        text[place] = hex_digits[value & 0xFU];
    return text;
}

}  // namespace knockwell
