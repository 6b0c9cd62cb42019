#include "base/words.hpp"

#include "base/hex.hpp"
#include "base/utf8.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <system_error>
#include <utility>

namespace knockwell {
namespace {

/// Characters that turn the direction of writing or break a line unseen.
bool steers_text(char32_t code) {
    return code == 0x061C || code == 0x200E || code == 0x200F ||
           (code >= 0x2028 && code <= 0x202E) || (code >= 0x2066 && code <= 0x2069);
}

/// Characters that take no room, so that two texts look alike and are not; those that join or part
/// the letters of a script stay.
bool is_unseen(char32_t code) {
    return code == 0x00AD || code == 0x200B || (code >= 0x2060 && code <= 0x2064) || code == 0xFEFF;
}

bool is_control(char32_t code) { return code < 0x20 || (code >= 0x7F && code <= 0x9F); }

// Bytes of what a message repeats.
constexpr std::size_t longest_name = 80;   // an identifier has no more
constexpr std::size_t longest_echo = 60;   // of what is longer
constexpr std::size_t longest_word = 120;  // of a sentence: a name in quotes, or two of them
constexpr std::size_t longest_sentence = 1000;

/// So many bytes at most, and no piece of a character.
std::string_view beginning(std::string_view text, std::size_t most) {
    std::size_t bytes = 0;
    while (bytes < text.size()) {
        const std::size_t next = bytes + first_glyph(text.substr(bytes)).bytes;
        if (next > most)
            break;
        bytes = next;
    }
    return text.substr(0, bytes);
}

/// `value` in plain decimals with `digits` of them after the point.
std::string fixed(double value, int digits) {
    std::array<char, 400> out{};
    const auto end = std::to_chars(out.begin(), out.end(), value, std::chars_format::fixed, digits);
    return {out.data(), end.ptr};
}

std::string without_trailing_zeros(std::string text) {
    if (text.find('.') == std::string::npos)
        return text;
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.')
        text.pop_back();
    return text;
}

}  // namespace

std::string escape_controls(std::string_view text, bool keep_newlines) {
    std::string out;
    out.reserve(text.size());
    while (!text.empty()) {
        const Glyph glyph = first_glyph(text);
        const bool kept = keep_newlines && (glyph.code == U'\n' || glyph.code == U'\t');
        if (!glyph.well_formed || (glyph.code < 0x80 && is_control(glyph.code) && !kept)) {
            out += "\\x" + hex(glyph.code, 2);
        } else if (glyph.code >= 0x80 &&
                   (is_control(glyph.code) || steers_text(glyph.code) || is_unseen(glyph.code))) {
            out += "\\u" + hex(glyph.code, 4);
        } else {
            out += text.substr(0, glyph.bytes);
        }
        text.remove_prefix(glyph.bytes);
    }
    return out;
}

std::string echo(std::string_view text) {
    if (text.size() <= longest_name)
        return escape_controls(text);
    return escape_controls(beginning(text, longest_echo)) + "...";
}

std::string in_quotes(std::string_view text) { return "'" + echo(text) + "'"; }

std::string as_argument(std::string_view text) {
    constexpr std::string_view plain =
        "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-._";
    std::string safe = escape_controls(text);
    if (!safe.empty() && safe.front() != '-' && safe.find_first_not_of(plain) == std::string::npos)
        return safe;
    return "'" + replaced(safe, "'", "'\\''") + "'";
}

std::string shortened(std::string_view sentence) {
    std::string out;
    while (!sentence.empty() && out.size() < longest_sentence) {
        const std::size_t blanks = std::min(sentence.find_first_not_of(" \n"), sentence.size());
        out += sentence.substr(0, blanks);
        sentence.remove_prefix(blanks);
        const std::string_view word = sentence.substr(0, sentence.find_first_of(" \n"));
        out += word.size() <= longest_word ? word : beginning(word, longest_echo);
        if (word.size() > longest_word)
            out += word.back() == '\'' ? "...'" : "...";
        sentence.remove_prefix(word.size());
    }
    return out + (sentence.empty() ? "" : " ...");
}

char small_letter(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

std::string small_letters(std::string_view text) {
    std::string small(text);
    std::transform(small.begin(), small.end(), small.begin(), small_letter);
    return small;
}

std::string plain_code(std::string_view code) {
    if (const std::size_t last = code.find_last_not_of(" ."); last != std::string_view::npos)
        code = code.substr(0, last + 1);
    const auto is_figure = [](char c) { return c >= '0' && c <= '9'; };
    std::string plain;
    bool parted = false;  // something was left out before this
    for (std::size_t i = 0; i < code.size(); ++i) {
        const char c = code[i];
        if (c == ' ' || c == '-' || c == '_') {
            parted = true;
            continue;
        }
        const bool after_figure = !plain.empty() && is_figure(plain.back());
        const bool leading_zero =
            c == '0' && (parted || !after_figure) && i + 1 < code.size() && is_figure(code[i + 1]);
        if (leading_zero)
            continue;
        if (parted && after_figure && is_figure(c))
            plain += '-';
        plain += small_letter(c);
        parted = false;
    }
    return plain;
}

std::string_view trimmed(std::string_view text, std::string_view blanks) {
    const std::size_t first = text.find_first_not_of(blanks);
    if (first == std::string_view::npos)
        return {};
    return text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

std::string percent(double probability) {
    constexpr double hair = 1e-9;  // 100 * 0.999 is not quite 99.9
    const double points = 100 * std::clamp(probability, 0.0, 1.0);
    if (points == 0)
        return "0 %";
    if (points == 100)
        return "100 %";
    if (points < 0.1 - hair)
        return "under 0.1 %";
    if (points > 99.9 + hair)
        return "over 99.9 %";
    const bool near_an_end = points < 1 || points > 99;
    return without_trailing_zeros(fixed(points, near_an_end ? 1 : 0)) + " %";
}

std::string list_of(const std::vector<std::string>& items, std::string_view last) {
    std::string out;
    for (std::size_t i = 0; i < items.size(); ++i) {
        if (i > 0 && i + 1 == items.size()) {
            out += ' ';
            out += last;
            out += ' ';
        } else if (i > 0) {
            out += ", ";
        }
        out += items[i];
    }
    return out;
}

std::string counted(std::uint64_t count, std::string_view one, std::string_view many) {
    std::string words = std::to_string(count) + " ";
    words += count == 1 || many.empty() ? one : many;
    return count == 1 || !many.empty() ? words : words + "s";
}

std::string number(double value, int digits) {
    if (value == 0)
        return "0";  // minus zero too
    if (!std::isfinite(value))
        return std::isnan(value) ? "nan" : (value > 0 ? "inf" : "-inf");
    const double size = std::abs(value);
    if (size < 1e-5 || size >= 1e15) {
        std::array<char, 32> out{};
        const auto end =
            std::to_chars(out.begin(), out.end(), value, std::chars_format::general, digits);
        return {out.data(), end.ptr};
    }
    // Rounded first, so that 1234567 reads 1234570 and not 1.23457e+06.
    const int exponent = static_cast<int>(std::floor(std::log10(size)));
    if (exponent < digits)
        return without_trailing_zeros(fixed(value, digits - 1 - exponent));
    const double step = std::pow(10.0, exponent - digits + 1);
    return fixed(std::round(value / step) * step, 0);
}

std::string to_the_last_digit(double value) {
    std::array<char, 400> out{};
    const auto end = std::to_chars(out.begin(), out.end(), value, std::chars_format::fixed);
    return {out.data(), end.ptr};
}

std::string replaced(std::string text, std::string_view what, std::string_view by) {
    for (std::size_t at = text.find(what); at != std::string::npos;
         at = text.find(what, at + by.size()))
        text.replace(at, what.size(), by);
    return text;
}

std::string wrap(std::string_view text, std::size_t width, std::size_t indent,
                 std::size_t first_indent) {
    std::string out(first_indent, ' ');
    std::size_t column = first_indent;
    bool empty_line = true;
    const auto begin_line = [&] {
        out.erase(out.find_last_not_of(' ') + 1);
        out += '\n';
        out.append(indent, ' ');
        column = indent;
        empty_line = true;
    };
    while (!text.empty()) {
        if (text.front() == '\n') {
            begin_line();
            text.remove_prefix(1);
            continue;
        }
        // Blanks in front of a word stay as they are, unless the line breaks there.
        const std::size_t blanks = std::min(text.find_first_not_of(' '), text.size());
        text.remove_prefix(blanks);
        const std::string_view word = text.substr(0, text.find_first_of(" \n"));
        const std::size_t columns = columns_of(word);
        if (!empty_line && !word.empty() && column + blanks + columns > width) {
            begin_line();
        } else if (!word.empty()) {
            out.append(blanks, ' ');
            column += blanks;
        }
        out += word;
        column += columns;
        empty_line = empty_line && word.empty();
        text.remove_prefix(word.size());
    }
    out.erase(out.find_last_not_of(' ') + 1);
    return out;
}

}  // namespace knockwell
