#include "base/source.hpp"

#include "base/utf8.hpp"

namespace knockwell {

std::string_view line_of(std::string_view text, std::uint32_t line) {
    if (line == 0)
        return {};
    for (std::uint32_t at = 1; at < line; ++at) {
        const std::size_t end = text.find('\n');
        if (end == std::string_view::npos)
            return {};
        text.remove_prefix(end + 1);
    }
    std::string_view found = text.substr(0, text.find('\n'));
    if (!found.empty() && found.back() == '\r')
        found.remove_suffix(1);
    return found;
}

std::size_t code_points(std::string_view text) {
    std::size_t points = 0;
    while (!text.empty()) {
        text.remove_prefix(first_glyph(text).bytes);
        ++points;
    }
    return points;
}

}  // namespace knockwell
