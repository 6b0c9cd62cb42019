#include "knowledge/slips.hpp"

#include "base/count.hpp"
#include "base/words.hpp"

#include <algorithm>
#include <optional>

namespace knockwell {
namespace {

constexpr std::string_view slip_blanks = " \t\r";
constexpr std::string_view figures = "0123456789";

bool is_of_number(char c) { return figures.find(c) != std::string_view::npos; }
bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }

/// How many of these brackets are open at the end of the line; nothing where a text is.
std::optional<std::size_t> open_at_end(std::string_view line, char opening, char closing) {
    std::size_t open = 0;
    char quote = 0;
    bool escaped = false;  // the character follows a \ in a text
    for (const char c : line) {
        if (quote != 0) {
            if (c == quote && !escaped)
                quote = '\0';
            escaped = c == '\\' && quote == '"' && !escaped;
            continue;
        }
        if (c == '#')
            break;
        if (c == '"' || c == '\'')
            quote = c;
        else if (c == opening)
            ++open;
        else if (c == closing && open > 0)
            --open;
    }
    return quote == 0 ? std::optional(open) : std::nullopt;
}

bool ends_within(std::string_view line, char opening, char closing) {
    return open_at_end(line, opening, closing).value_or(0) > 0;
}

bool ends_in_braces(std::string_view line) { return ends_within(line, '{', '}'); }

/// Whether `rest` begins as the next of several things in brackets does: a text or a table of an
/// array, a key and its value of a table.
bool begins_the_next(std::string_view before, std::string_view rest) {
    if (ends_in_braces(before)) {
        const std::size_t key = rest.find_first_not_of(
            "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_\"'/");
        return key != 0 && key != std::string_view::npos &&
               trimmed(rest.substr(key), slip_blanks).starts_with('=');
    }
    return ends_within(before, '[', ']') && (rest.starts_with('"') || rest.starts_with('{'));
}

/// The number at the end of `text`.
std::string number_behind(std::string_view text) {
    const std::size_t other = text.find_last_not_of("0123456789.");
    return std::string(other == std::string_view::npos ? text : text.substr(other + 1));
}

/// "in 1000": its number; empty where it is no such thing.
std::string of_how_many(std::string_view rest) {
    if (!rest.starts_with("in "))
        return {};
    rest = trimmed(rest.substr(2), slip_blanks);
    return std::string(rest.substr(0, rest.find_first_not_of(figures)));
}

/// "4,5" or "1,500": how the number is written; empty where no figures stand around the comma.
std::string without_comma(std::string_view before, std::string_view rest) {
    const std::string whole = number_behind(before);
    const std::string_view behind =
        rest.substr(1, std::min(rest.find_first_not_of(figures, 1), rest.size()) - 1);
    if (rest.front() != ',' || whole.empty() || behind.empty())
        return {};
    const std::string parts = whole + "." + std::string(behind);
    if (behind.size() != 3)
        return "a number is written with a point: " + parts;
    return "a number has no comma in it: " + whole + std::string(behind) +
           " where thousands are meant, " + parts + " where parts are";
}

/// Where something stands behind a value that is whole.
std::string cure_behind_value(std::string_view before, std::string_view rest) {
    const char last = before.back();
    const char next = rest.front();
    if (std::string cure = without_comma(before, rest); !cure.empty())
        return cure;
    if (begins_the_next(before, rest)) {
        const std::size_t end = rest.find_first_of(next == '"' ? "\"" : " =,]}", 1);
        return "a comma is missing before " +
               std::string(
                   rest.substr(0, next == '"' && end != std::string_view::npos ? end + 1 : end));
    }
    if (next == ';' || next == ',')
        return std::string("a line ends with its value: take out the '") + next + "'";
    if (last == '"') {
        const bool inch = before.size() > 1 && is_of_number(before[before.size() - 2]);
        return inch ? R"(the text ends at the inch mark: write "1/2 in" or "1/2\" pipe" instead)"
                    : R"(the text ends at the quote before it: inside a text a quote is \")";
    }
    if (last == '\'')
        return R"(the text ends at the apostrophe: put it between double quotes, "it's dry")";
    if (!is_of_number(last))
        return {};
    const std::string number = number_behind(before);
    if (const std::string n = of_how_many(rest); !n.empty())
        return "a count stands between quotes: \"" + number + " in " + n + "\"";
    if (is_letter(next) || next == '%')
        return "a number stands by itself, without a unit: " + number;
    return {};
}

/// The plain number at the front of `text`, which is taken off with the blanks behind it; nothing
/// where there is none.
std::optional<std::string> take_number(std::string_view& text) {
    const std::size_t end = std::min(text.find_first_not_of("0123456789."), text.size());
    const std::string_view taken = text.substr(0, end);
    if (taken.empty() || !is_of_number(taken.front()) || !is_of_number(taken.back()))
        return std::nullopt;
    text = trimmed(text.substr(end), slip_blanks);
    return std::string(taken);
}

/// Where a header should have closed. `before` begins with its [.
std::string cure_of_header(std::string_view before, std::string_view rest) {
    if (before.starts_with("[["))
        return "a header has one [ before it and one ] behind it";
    rest = trimmed(rest, slip_blanks);
    if (rest.empty() || rest.starts_with('#'))
        return "the header lacks its ]";
    if (rest.starts_with('['))
        return {};
    return "a header has no blank in it: a name is small letters, figures and -, such as "
           "[cause.worn-pump]";
}

}  // namespace

std::string count_meant(std::string_view text) {
    std::string_view rest = trimmed(text, slip_blanks);
    const auto cases = take_number(rest);
    if (!cases)
        return {};
    if (rest == "%" || rest == "percent" || rest == "per cent")
        return *cases + " in 100";
    for (const std::string_view between : {"/", "out of", "of", "in", "In", "IN"}) {
        if (!rest.starts_with(between))
            continue;
        rest = trimmed(rest.substr(between.size()), slip_blanks);
        const auto of = take_number(rest);
        const std::string meant = of && rest.empty() ? *cases + " in " + *of : "";
        return std::holds_alternative<Count>(parse_count(meant)) ? meant : "";
    }
    return {};
}

std::string cure_of_slip(std::string_view line, std::size_t at, std::string_view says) {
    const std::string_view before = trimmed(line.substr(0, at), slip_blanks);
    const std::string_view rest = line.substr(std::min(at, line.size()));
    if (rest.starts_with("//"))
        return "a comment begins with # and not with //";
    if (says.find("dangling comma") != std::string_view::npos)
        return "take out the last comma before }";
    if (trimmed(rest, slip_blanks).empty() && !open_at_end(line, '{', '}'))
        return "the text lacks the quote at its end";
    if (trimmed(rest, slip_blanks).empty() && ends_in_braces(line))
        return "what stands between { and } stands on one line; or write it under a header of its "
               "own, such as [cause.worn-pump.shows]";
    if (says.starts_with("expected ']'") && before.starts_with('['))
        return cure_of_header(before, rest);
    if (says.starts_with("expected '='") && rest.starts_with(':'))
        return "between a key and its value stands = and not :";
    const bool behind_value = says.starts_with("expected a comment or whitespace") ||
                              says.starts_with("expected comma or closing") ||
                              says.starts_with("expected digit");
    return behind_value && !before.empty() && !rest.empty() ? cure_behind_value(before, rest)
                                                            : std::string();
}

}  // namespace knockwell
