#include "base/nearest.hpp"

#include "base/words.hpp"

#include <algorithm>
#include <array>
#include <cstddef>
#include <iterator>
#include <utility>

namespace knockwell {
namespace {

constexpr std::size_t longest_compared = 64;

bool is_word_char(char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') ||
           static_cast<unsigned char>(c) >= 0x80;
}

bool stands_among(const std::string& word, const std::vector<std::string>& known) {
    const std::size_t slips = word.size() / 4;
    return std::any_of(known.begin(), known.end(), [&](const std::string& one) {
        return one.find(word) != std::string::npos ||
               (slips > 0 && edits_between(one, word) <= slips);
    });
}

}  // namespace

std::size_t edits_between(std::string_view a, std::string_view b) {
    a = a.substr(0, longest_compared);
    b = b.substr(0, longest_compared);
    // rows[i % 3][j]: edits between the first i bytes of a and the first j bytes of b; a swap looks
    // two rows back.
    std::array<std::array<std::size_t, longest_compared + 1>, 3> rows{};
    for (std::size_t j = 0; j <= b.size(); ++j)
        rows[0][j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        auto& row = rows[i % 3];
        const auto& before = rows[(i + 2) % 3];
        const auto& two_before = rows[(i + 1) % 3];
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t replaced = before[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
            row[j] = std::min({before[j] + 1, row[j - 1] + 1, replaced});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
                row[j] = std::min(row[j], two_before[j - 2] + 1);
            }
        }
    }
    return rows[a.size() % 3][b.size()];
}

std::vector<std::string> small_words_of(std::string_view text) {
    std::vector<std::string> words(1);
    for (const char raw : text) {
        const char c = small_letter(raw);
        if (is_word_char(c))
            words.back() += c;
        else if (!words.back().empty())
            words.emplace_back();
    }
    if (words.back().empty())
        words.pop_back();
    return words;
}

std::vector<std::size_t> by_common_words(const std::vector<std::string>& typed,
                                         const std::vector<std::vector<std::string>>& known) {
    constexpr std::size_t shortest = 3;
    std::vector<std::pair<std::ptrdiff_t, std::size_t>> ranked;  // words missing, place
    for (std::size_t i = 0; i < known.size(); ++i) {
        const auto common = std::count_if(typed.begin(), typed.end(), [&](const std::string& word) {
            return word.size() >= shortest && stands_among(word, known[i]);
        });
        if (common > 0)
            ranked.emplace_back(std::ssize(typed) - common, i);
    }
    std::sort(ranked.begin(), ranked.end());
    std::vector<std::size_t> places;
    for (const auto& [missing, place] : ranked)
        places.push_back(place);
    return places;
}

std::vector<std::string> nearest(std::string_view name, const std::vector<std::string>& known,
                                 std::size_t most) {
    const std::size_t limit = std::max<std::size_t>(2, name.size() / 3);
    std::vector<std::pair<std::size_t, std::string>> found;
    for (const std::string& each : known) {
        const std::size_t edits = edits_between(name, each);
        // As many edits as letters: the two have nothing in common.
        if (edits <= limit && edits < std::max(name.size(), each.size())) {
            found.emplace_back(edits, each);
        }
    }
    std::sort(found.begin(), found.end());
    found.erase(std::unique(found.begin(), found.end()), found.end());
    std::vector<std::string> names;
    for (const auto& [edits, each] : found) {
        if (names.size() == most)
            break;
        names.push_back(each);
    }
    return names;
}

std::string one_of_instead(const std::vector<std::string>& near, std::string otherwise) {
    return near.empty() ? std::move(otherwise) : "write instead: " + list_of(near, "or");
}

}  // namespace knockwell
