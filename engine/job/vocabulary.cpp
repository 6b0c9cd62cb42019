#include "job/vocabulary.hpp"

#include "base/words.hpp"
#include "job/identity.hpp"
#include "job/leaving.hpp"

#include <algorithm>
#include <sstream>

namespace knockwell {
namespace {

using Words = std::vector<std::string>;

std::string against_word(const std::string& word, const Words& allowed) {
    return std::find(allowed.begin(), allowed.end(), word) != allowed.end()
               ? ""
               : none_of_these(word, allowed);
}

template <class All>
Words words_of(const All& all) {
    Words words;
    for (const auto one : all)
        words.emplace_back(to_text(one));
    return words;
}

/// "test:read-gauge": one of the kinds, and something behind it.
bool is_of_a_kind(const std::string& text, const Words& kinds) {
    const std::size_t colon = text.find(':');
    return colon != std::string::npos && colon + 1 < text.size() &&
           std::find(kinds.begin(), kinds.end(), text.substr(0, colon)) != kinds.end();
}

std::string against_pass(const Event& event) {
    if (std::string why = against_word(event.value, {"cannot", "not-sure"}); !why.empty())
        return why;
    if (is_of_a_kind(event.what, {"test", "question", "setting", "repair", "refer"}))
        return {};
    return "no step is called " + in_quotes(event.what) +
           "; write test:, question:, setting:, repair: or refer: and its identifier";
}

std::string against_person(const std::string& value) {
    std::istringstream words(value);
    std::string word;
    words >> word;
    std::string why = against_word(word, words_of(all_skills));
    while (why.empty() && words >> word)
        why = against_word(word, words_of(all_licences));
    return why;
}

std::string against_state(const Event& event) {
    const auto value = [&](const Words& allowed) {
        const std::string why = against_word(event.value, allowed);
        return why.empty() ? why : event.what + ": " + why;
    };
    if (event.what == "power")
        return value({"off", "on"});
    if (event.what == "pressure")
        return value({"zero", "up"});
    if (event.what == "tank")
        return value({"drained", "filled"});
    if (event.what == "lacks" || event.what == "carries")
        return is_of_a_kind(event.value, {"part", "tool"})
                   ? ""
                   : "no part or tool is called " + in_quotes(event.value) +
                         "; write part: and its identifier, or tool: and its name";
    return against_word(event.what, {"power", "pressure", "tank", "access", "lacks", "carries"});
}

std::string against_about(const Event& event) {
    if (is_about_leaving(event))
        return against_leaving(event);
    if (event.what == "call-back-of" && !event.value.empty() && !is_job_id(event.value))
        return in_quotes(event.value) + " is no identifier of a job";
    return against_word(event.what, {"area", "installation", "knowledge", "call-back-of"});
}

}  // namespace

const std::vector<std::string>& ways_to_know() {
    static const Words words = {"seen", "fixed-it", "guessed"};
    return words;
}

const std::vector<std::string>& ways_to_close() {
    static const Words words = {"cured", "not-cured", "handed-over"};
    return words;
}

std::string none_of_these(std::string_view typed, const std::vector<std::string>& allowed) {
    return in_quotes(typed) + " is none of these: " + list_of(allowed, "or");
}

std::string against_words(const Event& event) {
    switch (event.kind) {
    case EventKind::pass:
        return against_pass(event);
    case EventKind::person:
        return against_person(event.value);
    case EventKind::state:
        return against_state(event);
    case EventKind::cause:
        return against_word(event.value, ways_to_know());
    case EventKind::closed:
        return against_word(event.value, ways_to_close());
    case EventKind::about:
        return against_about(event);
    case EventKind::set:
    case EventKind::said:
    case EventKind::found:
    case EventKind::did_test:
    case EventKind::did:
    case EventKind::note:
    case EventKind::left:
    case EventKind::resumed:
    case EventKind::undo:
    case EventKind::instead:
        return {};
    }
    return {};
}

std::string against_words(const Job& job) {
    for (const Event& event : job.events) {
        Event says = event;
        const auto target =
            event.kind == EventKind::instead ? event_number(event.what) : std::nullopt;
        if (target && *target < event.number) {
            says = job.events[*target - 1];
            says.value = event.value;
        }
        if (const std::string why = against_words(says); !why.empty())
            return "entry " + std::to_string(event.number) + ": " +
                   std::string(to_text(event.kind)) + ": " + why;
    }
    return {};
}

}  // namespace knockwell
