#include "base/count.hpp"

#include "base/words.hpp"

#include <algorithm>
#include <cassert>
#include <charconv>
#include <optional>
#include <system_error>

namespace knockwell {
namespace {

constexpr std::size_t longest_count = 64;  // bytes
constexpr double most_cases = 1e9;
constexpr std::string_view shape = "a count is written like '9 in 10', 'always' or 'never'";

/// The next word of `text`, taken off its front.
std::string_view take_word(std::string_view& text) {
    constexpr std::string_view blanks = " \t";
    text.remove_prefix(std::min(text.find_first_not_of(blanks), text.size()));
    const std::string_view word = text.substr(0, text.find_first_of(blanks));
    text.remove_prefix(word.size());
    return word;
}

/// Plain decimals, with a sign so that a negative number can be named as one. No exponent: a number
/// of cases that needs one is no number of cases.
std::optional<double> decimal(std::string_view word) {
    const std::string_view digits = word.substr(word.starts_with('-') ? 1 : 0);
    // from_chars would read "nan" and "inf".
    if (digits.empty() || digits.front() < '0' || digits.front() > '9')
        return std::nullopt;
    double value = 0;
    const char* const end = word.data() + word.size();
    const auto read = std::from_chars(word.data(), end, value, std::chars_format::fixed);
    if (read.ec != std::errc{} || read.ptr != end)
        return std::nullopt;
    return value;
}

}  // namespace

double Count::mean() const {
    // Rounding apart the two are the same where the Beta has not lifted k or n - k to a half.
    if (kind == Kind::exact || (k >= 0.5 && n - k >= 0.5))
        return k / n;
    const Beta beta = beta_of(*this);
    return beta.a / (beta.a + beta.b);
}

Beta beta_of(const Count& count) {
    assert(count.kind == Count::Kind::counted);
    return {.a = std::max(count.k, 0.5), .b = std::max(count.n - count.k, 0.5)};
}

std::variant<Count, std::string> parse_count(std::string_view text) {
    if (text.size() > longest_count)
        return std::string(shape);
    std::string_view rest = text;
    const std::string_view first = take_word(rest);
    const std::string_view in = take_word(rest);
    const std::string_view last = take_word(rest);
    if (in.empty() && first == "always")
        return Count{.kind = Count::Kind::exact, .k = 1, .n = 1};
    if (in.empty() && first == "never")
        return Count{.kind = Count::Kind::exact, .k = 0, .n = 1};
    const std::optional<double> k = decimal(first);
    const std::optional<double> n = decimal(last);
    if (!k || !n || in != "in" || !take_word(rest).empty())
        return std::string(shape);
    if (*n <= 0)
        return "a count needs at least one case, like '0 in 1'";
    if (*k < 0)
        return "a count cannot be below 0";
    if (*k > *n) {
        return std::string(first) + " cannot be more than the " + std::string(last) +
               " it is counted in";
    }
    if (*n > most_cases)
        return "nobody has counted more than 1000000000 cases";
    return Count{.kind = Count::Kind::counted, .k = *k, .n = *n};
}

std::string to_text(const Count& count) {
    if (count.kind == Count::Kind::counted)
        return to_the_last_digit(count.k) + " in " + to_the_last_digit(count.n);
    if (count.certain())
        return count.k == 0 ? "never" : "always";
    return to_the_last_digit(count.mean());
}

}  // namespace knockwell
