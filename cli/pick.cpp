#include "cli/pick.hpp"

#include "base/nearest.hpp"

#include <algorithm>
#include <sstream>

namespace knockwell {
namespace {

constexpr std::size_t most_named = 3;

std::string lower(std::string_view text) {
    std::string out;
    for (const char c : text)
        out += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    return out;
}

/// How many of the typed words the thing has.
std::size_t words_in(const Pickable& thing, const std::vector<std::string>& words) {
    const std::string all = lower(thing.id + ' ' + thing.title);
    return static_cast<std::size_t>(
        std::count_if(words.begin(), words.end(), [&](const std::string& word) {
            return all.find(word) != std::string::npos;
        }));
}

}  // namespace

std::variant<std::size_t, NotPicked> pick(const std::vector<Pickable>& all, std::string_view typed,
                                          std::string_view kind) {
    for (std::size_t i = 0; i < all.size(); ++i)
        if (all[i].id == typed)
            return i;

    std::istringstream reader(lower(typed));
    std::vector<std::string> words;
    for (std::string word; reader >> word;)
        words.push_back(word);
    std::vector<std::size_t> whole;
    std::vector<std::size_t> some;
    for (std::size_t i = 0; i < all.size() && !words.empty(); ++i) {
        const std::size_t had = words_in(all[i], words);
        if (had == words.size())
            whole.push_back(i);
        else if (had > 0)
            some.push_back(i);
    }
    if (whole.size() == 1)
        return whole.front();

    NotPicked none{"no " + std::string(kind) + " is called '" + std::string(typed) + "'", {}};
    std::vector<std::string> ids;
    for (const Pickable& thing : all)
        ids.push_back(thing.id);
    std::vector<std::size_t> near = whole;
    if (whole.empty()) {
        for (const std::string& id : nearest(lower(typed), ids, most_named))
            near.push_back(
                static_cast<std::size_t>(std::find(ids.begin(), ids.end(), id) - ids.begin()));
        near.insert(near.end(), some.begin(), some.end());
    } else {
        none.says = "'" + std::string(typed) + "' fits " + std::to_string(whole.size()) + " " +
                    std::string(kind) + "s";
    }
    for (const std::size_t i : near) {
        const std::string name = all[i].id + " (" + all[i].title + ")";
        if (none.nearest.size() < most_named &&
            std::find(none.nearest.begin(), none.nearest.end(), name) == none.nearest.end())
            none.nearest.push_back(name);
    }
    return none;
}

}  // namespace knockwell
