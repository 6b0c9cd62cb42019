#include "knowledge/lookup.hpp"

#include "base/nearest.hpp"
#include "base/words.hpp"

#include <algorithm>
#include <set>

namespace knockwell {
namespace {

constexpr std::size_t most_named = 3;

struct Candidate {
    Named named;
    std::vector<std::vector<std::string>> sayings;  // identifier, title, other words; each as words
};

Candidate candidate(Named named, const Head& head, const std::vector<std::string>& also) {
    Candidate made{named, {small_words_of(head.id), small_words_of(head.title)}};
    for (const std::string& other : also)
        made.sayings.push_back(small_words_of(other));
    return made;
}

/// What can be meant, by number; nothing of it is copied.
std::vector<Named> nameable(const Knowledge& knowledge, Wanted wanted) {
    std::vector<Named> all;
    if (wanted != Wanted::settings)
        for (std::size_t i = 0; i < knowledge.signs.size(); ++i)
            all.emplace_back(SignId{i});
    if (wanted != Wanted::signs)
        for (std::size_t i = 0; i < knowledge.settings.size(); ++i)
            if (knowledge.settings[i].table == (wanted != Wanted::settings))
                all.emplace_back(SettingId{i});
    if (wanted == Wanted::findable || wanted == Wanted::told)
        for (std::size_t i = 0; i < knowledge.causes.size(); ++i)
            all.emplace_back(CauseId{i});
    return all;
}

const Head& head_of(const Knowledge& knowledge, const Named& named) {
    return std::visit([&](auto id) -> const Head& { return knowledge[id].head; }, named);
}

std::vector<Candidate> candidates(const Knowledge& knowledge, const std::vector<Named>& named) {
    std::vector<Candidate> all;
    for (const Named& one : named) {
        const auto* sign = std::get_if<SignId>(&one);
        all.push_back(
            candidate(one, head_of(knowledge, one),
                      sign != nullptr ? knowledge[*sign].also : std::vector<std::string>{}));
    }
    return all;
}

enum class Hit { none, piece, word, saying };  // a better one is greater

Hit hit(const std::vector<std::string>& saying, const std::vector<std::string>& typed) {
    if (saying == typed)
        return Hit::saying;
    Hit worst = Hit::word;
    for (const std::string& word : typed) {
        Hit best = Hit::none;
        for (const std::string& known : saying) {
            if (known == word)
                best = Hit::word;
            else if (best == Hit::none && known.find(word) != std::string::npos)
                best = Hit::piece;
        }
        worst = std::min(worst, best);
    }
    return worst;
}

/// All words in one saying: from two of them a "not" of one would turn the other round.
Hit hit(const Candidate& candidate, const std::vector<std::string>& typed) {
    Hit best = Hit::none;
    for (const std::vector<std::string>& saying : candidate.sayings)
        best = std::max(best, hit(saying, typed));
    return best;
}

/// Whatever word any of its sayings has.
std::vector<std::string> all_words(const Candidate& candidate) {
    std::vector<std::string> all;
    for (const std::vector<std::string>& saying : candidate.sayings)
        all.insert(all.end(), saying.begin(), saying.end());
    return all;
}

std::string with_title(const Knowledge& knowledge, const Named& named) {
    return escape_controls(id_of(knowledge, named) + " (" + title_of(knowledge, named) + ")");
}

/// "weather=freezing (Weather of the last days; a fact that is set)".
std::string with_state(const Knowledge& knowledge, const ChoiceOf& choice) {
    const Setting& setting = knowledge[choice.setting];
    return escape_controls(setting.head.id + "=" + setting.states[choice.state] + " (" +
                           setting.head.title + "; a fact that is set)");
}

std::vector<std::string> nearest_titles(const Knowledge& knowledge, std::string_view typed,
                                        const std::vector<Candidate>& all) {
    std::vector<std::string> ids;
    for (const Candidate& one : all)
        ids.push_back(id_of(knowledge, one.named));
    std::string small;
    for (const char c : typed)
        small += c == ' ' ? '-' : small_letter(c);

    std::vector<std::string> found;
    std::set<std::string> taken;
    const auto take = [&](const Candidate& one) {
        const std::string& id = id_of(knowledge, one.named);
        if (found.size() < most_named && taken.insert(id).second)
            found.push_back(with_title(knowledge, one.named));
    };
    for (const std::string& id : nearest(small, ids, most_named))
        take(*std::find_if(all.begin(), all.end(), [&](const Candidate& one) {
            return id_of(knowledge, one.named) == id;
        }));

    std::vector<std::vector<std::string>> known;
    for (const Candidate& one : all)
        known.push_back(all_words(one));
    for (const std::size_t place : by_common_words(small_words_of(typed), known))
        take(all[place]);
    return found;
}

/// Several things fit; the one with the shortest identifier is the one most likely meant.
NotNamed too_many(const Knowledge& knowledge, std::string_view typed, std::string_view kind,
                  std::vector<Candidate> fitting) {
    const auto length = [&](const Candidate& one) { return id_of(knowledge, one.named).size(); };
    std::stable_sort(fitting.begin(), fitting.end(),
                     [&](const Candidate& a, const Candidate& b) { return length(a) < length(b); });
    NotNamed result{in_quotes(typed) + " fits " + std::to_string(fitting.size()) + " " +
                        std::string(kind) + "s",
                    {}};
    for (std::size_t i = 0; i < std::min(most_named, fitting.size()); ++i)
        result.nearest.push_back(with_title(knowledge, fitting[i].named));
    return result;
}

}  // namespace

std::variant<Named, NotNamed> find_named(const Knowledge& knowledge, std::string_view typed,
                                         Wanted wanted) {
    const std::string_view kind = wanted == Wanted::settings ? "setting" : "sign";
    const std::vector<Named> known = nameable(knowledge, wanted);
    // Signs and tables stand before causes, so a sign wins where a cause has the same identifier.
    for (const Named& one : known)
        if (id_of(knowledge, one) == typed)
            return one;

    const std::vector<std::string> words = small_words_of(typed);
    if (words.empty())
        return NotNamed{"no " + std::string(kind) + " is named", {}};
    const auto is_asked = [&](const Named& named) {
        const auto* sign = std::get_if<SignId>(&named);
        return sign != nullptr ? knowledge[*sign].symptom
                               : std::holds_alternative<SettingId>(named);
    };
    // Only now: taking every title and every other word apart takes milliseconds.
    std::vector<Candidate> all = candidates(knowledge, known);
    if (wanted == Wanted::told)  // no cause is named to who tells what a customer said
        std::erase_if(
            all, [](const Candidate& one) { return std::holds_alternative<CauseId>(one.named); });
    for (const Hit wanted_hit : {Hit::saying, Hit::word, Hit::piece}) {
        std::vector<Candidate> fitting;
        for (const Candidate& one : all)
            if (hit(one, words) >= wanted_hit &&
                (wanted != Wanted::told || wanted_hit == Hit::saying || is_asked(one.named)))
                fitting.push_back(one);
        if (fitting.size() == 1)
            return fitting.front().named;
        if (fitting.size() > 1)
            return too_many(knowledge, typed, kind, std::move(fitting));
    }
    NotNamed none{"no " + std::string(kind) + " is called " + in_quotes(typed),
                  nearest_titles(knowledge, typed, all)};
    // What stands for a fact of the installation is nearer than any sign.
    if (wanted == Wanted::told)
        if (const auto said = choices_said_as(knowledge, typed); !said.empty()) {
            none.nearest.clear();
            for (const ChoiceOf& choice : said)
                none.nearest.push_back(with_state(knowledge, choice));
        }
    return none;
}

std::vector<ChoiceOf> choices_said_as(const Knowledge& knowledge, std::string_view typed) {
    const std::vector<std::string> words = small_words_of(typed);
    std::vector<ChoiceOf> said;
    for (std::size_t i = 0; i < knowledge.settings.size(); ++i) {
        const auto& also = knowledge.settings[i].also;
        for (std::size_t state = 0; state < also.size(); ++state)
            if (std::any_of(also[state].begin(), also[state].end(),
                            [&](const auto& other) { return small_words_of(other) == words; }))
                said.push_back({SettingId(i), state});
    }
    return said;
}

bool is_said_in_full(const Knowledge& knowledge, const Named& named, std::string_view typed) {
    const std::vector<Candidate> all = candidates(knowledge, {named});
    return hit(all.front(), small_words_of(typed)) == Hit::saying;
}

ValueAndTest value_and_test(std::string_view text) {
    const std::size_t at = text.rfind('@');
    if (at == std::string_view::npos)
        return {text, std::nullopt};
    return {text.substr(0, at), text.substr(at + 1)};
}

const std::string& id_of(const Knowledge& knowledge, const Named& named) {
    return head_of(knowledge, named).id;
}

const std::string& title_of(const Knowledge& knowledge, const Named& named) {
    return head_of(knowledge, named).title;
}

}  // namespace knockwell
