#include "cli/pick.hpp"

#include "base/nearest.hpp"
#include "base/words.hpp"

#include <algorithm>
#include <sstream>

namespace knockwell {
namespace {

constexpr std::size_t most_near = 3;
constexpr std::size_t most_fitting = 20;

/// How many of the typed words the thing has.
std::size_t words_in(const Pickable& thing, const std::vector<std::string>& words) {
    const std::string all = small_letters(thing.id + ' ' + thing.title);
    return static_cast<std::size_t>(
        std::count_if(words.begin(), words.end(), [&](const std::string& word) {
            return all.find(word) != std::string::npos;
        }));
}

/// The places nearest to what names nothing.
std::vector<std::size_t> near_to(const std::vector<Pickable>& all, std::string_view typed) {
    std::vector<std::string> ids;
    for (const Pickable& thing : all)
        ids.push_back(thing.id);
    std::vector<std::size_t> near;
    for (const std::string& id : nearest(small_letters(typed), ids, most_near))
        near.push_back(
            static_cast<std::size_t>(std::find(ids.begin(), ids.end(), id) - ids.begin()));
    std::vector<std::vector<std::string>> known;
    for (const Pickable& thing : all)
        known.push_back(small_words_of(thing.id + ' ' + thing.title));
    const std::vector<std::size_t> others = by_common_words(small_words_of(typed), known);
    near.insert(near.end(), others.begin(), others.end());
    return near;
}

/// Up to `most` of them, each once: "id (title)".
std::vector<std::string> names_of(const std::vector<Pickable>& all,
                                  const std::vector<std::size_t>& places, std::size_t most) {
    std::vector<std::string> names;
    for (const std::size_t i : places) {
        const std::string name =
            all[i].title.empty() ? all[i].id : all[i].id + " (" + all[i].title + ")";
        if (names.size() < most && std::find(names.begin(), names.end(), name) == names.end())
            names.push_back(name);
    }
    return names;
}

NotPicked several(const std::vector<Pickable>& all, const std::vector<std::size_t>& fitting,
                  std::string_view typed, std::string_view kind) {
    NotPicked none{in_quotes(typed) + " fits " + std::to_string(fitting.size()) + " " +
                       std::string(kind) + "s",
                   names_of(all, fitting, most_fitting)};
    if (fitting.size() > most_fitting)
        none.says +=
            ", of which the first " + std::to_string(most_fitting) + " are named; add a word";
    return none;
}

}  // namespace

std::variant<std::size_t, NotPicked> pick(const std::vector<Pickable>& all, std::string_view typed,
                                          std::string_view kind) {
    for (std::size_t i = 0; i < all.size(); ++i)
        if (all[i].id == typed)
            return i;

    std::istringstream reader(small_letters(typed));
    std::vector<std::string> words;
    for (std::string word; reader >> word;)
        words.push_back(word);
    std::vector<std::size_t> whole;
    for (std::size_t i = 0; i < all.size() && !words.empty(); ++i)
        if (words_in(all[i], words) == words.size())
            whole.push_back(i);
    if (whole.size() == 1)
        return whole.front();
    if (!whole.empty())
        return several(all, whole, typed, kind);
    return NotPicked{"no " + std::string(kind) + " is called " + in_quotes(typed),
                     names_of(all, near_to(all, typed), most_near)};
}

}  // namespace knockwell
