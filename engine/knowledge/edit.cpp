#include "knowledge/edit.hpp"

#include <algorithm>

namespace knockwell {
namespace {

constexpr std::size_t nowhere_in_text = std::string::npos;

/// Byte of a line at which a column begins; its length stands for the end.
std::size_t byte_of(std::string_view line, std::uint32_t column) {
    std::size_t at = 0;
    for (std::uint32_t c = 1; c < column; ++c) {
        if (at >= line.size())
            return nowhere_in_text;
        ++at;
        while (at < line.size() && (static_cast<unsigned char>(line[at]) & 0xC0U) == 0x80U)
            ++at;
    }
    return at;
}

struct Stretch {
    std::size_t begin = nowhere_in_text;
    std::size_t end = nowhere_in_text;
    [[nodiscard]] bool is_there() const { return begin <= end && end != nowhere_in_text; }
};

Stretch stretch_of(const std::string& text, const Span& span) {
    if (span.begin.line == 0 || span.begin.line != span.end.line || span.begin.column == 0)
        return {};
    std::size_t line = 0;
    for (std::uint32_t n = 1; n < span.begin.line; ++n) {
        line = text.find('\n', line);
        if (line == std::string::npos)
            return {};
        ++line;
    }
    const std::string_view rest = std::string_view(text).substr(line);
    const std::string_view whole = rest.substr(0, rest.find('\n'));
    const std::size_t begin = byte_of(whole, span.begin.column);
    const std::size_t end = byte_of(whole, span.end.column);
    if (begin == nowhere_in_text || end == nowhere_in_text)
        return {};
    return {line + begin, line + end};
}

}  // namespace

std::optional<std::string_view> text_at(const std::vector<Source>& sources, const Span& span) {
    if (span.source >= sources.size())
        return std::nullopt;
    const std::string& text = sources[span.source].text;
    const Stretch at = stretch_of(text, span);
    if (!at.is_there())
        return std::nullopt;
    return std::string_view(text).substr(at.begin, at.end - at.begin);
}

std::optional<std::vector<Source>> edited(std::vector<Source> sources,
                                          std::vector<TextEdit> edits) {
    // From the last to the first, so that the places of the others stay.
    std::stable_sort(edits.begin(), edits.end(),
                     [](const TextEdit& a, const TextEdit& b) { return b.span < a.span; });
    const TextEdit* behind = nullptr;
    for (const TextEdit& edit : edits) {
        if (edit.span.source >= sources.size())
            return std::nullopt;
        if (behind != nullptr && behind->span.source == edit.span.source &&
            behind->span.begin < edit.span.end)
            return std::nullopt;
        behind = &edit;
        std::string& text = sources[edit.span.source].text;
        const Stretch at = stretch_of(text, edit.span);
        if (!at.is_there())
            return std::nullopt;
        text.replace(at.begin, at.end - at.begin, edit.with);
    }
    return sources;
}

}  // namespace knockwell
