#include "fuzz/mutate.hpp"

#include <algorithm>
#include <string_view>
#include <utility>

namespace knockwell {
namespace {

/// 0 .. below-1; the distributions of the standard library differ between machines, this does not.
std::size_t roll(std::mt19937_64& dice, std::size_t below) {
    return below == 0 ? 0 : static_cast<std::size_t>(dice() % below);
}

/// Where a line begins and how long it is, with its end.
std::pair<std::size_t, std::size_t> some_line(const std::string& text, std::mt19937_64& dice) {
    const std::size_t at = roll(dice, text.size());
    const std::size_t before = at == 0 ? std::string::npos : text.rfind('\n', at - 1);
    const std::size_t begin = before == std::string::npos ? 0 : before + 1;
    const std::size_t end = std::min(text.find('\n', at), text.size() - 1);
    return {begin, end + 1 - begin};
}

void damage(std::string& text, std::mt19937_64& dice) {
    using namespace std::string_view_literals;  // there is a zero byte in it
    constexpr std::string_view nasty = "\"'[]{}=.,#\\-\n\r\t\0\x1b\x7f\xff\xc2\xe2 09az"sv;
    const std::size_t at = roll(dice, text.size());
    switch (roll(dice, 7)) {
    case 0:
        text[at] = static_cast<char>(text[at] ^ (1 << roll(dice, 8)));
        break;
    case 1:
        text.resize(at);
        break;
    case 2:
        text.erase(at, 1 + roll(dice, 40));
        break;
    case 3: {
        const auto [begin, length] = some_line(text, dice);
        text.insert(begin, text.substr(begin, length));
        break;
    }
    case 4: {
        const auto [begin, length] = some_line(text, dice);
        const std::string line = text.substr(begin, length);
        text.erase(begin, length);
        const std::size_t to = text.empty() ? 0 : some_line(text, dice).first;
        text.insert(to, line);
        break;
    }
    case 5:
        text.insert(at, 1, nasty[roll(dice, nasty.size())]);
        break;
    default:
        text.insert(at, text.substr(roll(dice, text.size()), 1 + roll(dice, 200)));
        break;
    }
}

}  // namespace

std::string damaged(std::string text, std::mt19937_64& dice) {
    for (std::size_t times = 1 + roll(dice, 3); times > 0 && !text.empty(); --times)
        damage(text, dice);
    return text;
}

}  // namespace knockwell
