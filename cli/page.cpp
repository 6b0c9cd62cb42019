#include "cli/page.hpp"

#include "base/source.hpp"
#include "base/words.hpp"

#include <algorithm>

namespace knockwell {
namespace {

constexpr std::string_view bold = "\x1b[1m";
constexpr std::string_view bold_red = "\x1b[1;31m";
constexpr std::string_view bold_yellow = "\x1b[1;33m";
constexpr std::string_view plain = "\x1b[0m";

/// Breaks words that are longer than a line: an identifier typed by a joker must not widen the
/// page.
std::string breakable(std::string_view words, std::size_t longest) {
    std::string out;
    std::size_t run = 0;
    for (const char c : words) {
        const bool starts_a_letter = (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
        if (c == ' ' || c == '\n')
            run = 0;
        else if (starts_a_letter && ++run > longest) {
            out += ' ';
            run = 1;
        }
        out += c;
    }
    return out;
}

/// At most `bytes` of it, whole letters, with dots where something is left out.
std::string cut_to(std::string_view text, std::size_t bytes) {
    if (text.size() <= bytes)
        return std::string(text);
    while ((static_cast<unsigned char>(text[bytes]) & 0xC0U) == 0x80U)
        --bytes;
    return std::string(text.substr(0, bytes)) + "...";
}

}  // namespace

std::string lines_within(std::string_view text, std::size_t width) {
    constexpr std::size_t longest = 400;  // bytes; an echo of more helps nobody
    std::string out;
    while (!text.empty()) {
        const std::string_view whole = text.substr(0, text.find('\n'));
        const std::string line = cut_to(whole, longest);
        const std::size_t blanks = std::min(line.find_first_not_of(' '), line.size());
        out += wrap(breakable(line.substr(blanks), width - 2), width, blanks + 2, blanks);
        text.remove_prefix(whole.size());
        if (text.empty())
            break;
        out += '\n';
        text.remove_prefix(1);
    }
    return out;
}

void Page::text(std::string_view words, std::size_t indent, std::size_t first) {
    // A number stays with its percent sign: a blank that does not break stands there meanwhile.
    const std::size_t deepest = std::max(indent, first);
    const std::string glued = replaced(escape_controls(words), " %", "\u00A0%");
    const std::string lines =
        wrap(breakable(glued, style_.width - deepest), style_.width, indent, first);
    all_ += replaced(lines, "\u00A0%", " %") + '\n';
}

void Page::row(std::string_view left, std::string_view right, std::size_t indent,
               std::size_t first) {
    const std::string begin = escape_controls(left);
    const std::string end = escape_controls(right);
    const std::size_t used = first + code_points(begin) + code_points(end);
    if (used + 2 > style_.width) {
        text(std::string(left) + ", " + std::string(right), indent, first);
        return;
    }
    all_ += std::string(first, ' ') + begin + std::string(style_.width - used, ' ') + end + '\n';
}

void Page::heading(std::string_view words) {
    if (style_.colour)
        all_ += bold;
    text(words);
    if (style_.colour)
        all_.insert(all_.size() - 1, plain);
}

void Page::signal(std::string_view word, std::string_view words, std::size_t indent) {
    const std::size_t start = all_.size() + indent;
    text(std::string(word) + ": " + std::string(words), indent + 2, indent);
    if (!style_.colour)
        return;
    all_.insert(start + word.size(), plain);
    all_.insert(start, word == "CAUTION" ? bold_yellow : bold_red);
}

void Page::gap() {
    if (!all_.empty() && !all_.ends_with("\n\n"))
        all_ += '\n';
}

}  // namespace knockwell
