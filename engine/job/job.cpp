#include "job/job.hpp"

#include <algorithm>
#include <cassert>
#include <charconv>
#include <map>

namespace knockwell {

const std::vector<EventKind>& event_kinds() {
    static const std::vector<EventKind> kinds = {
        EventKind::set,      EventKind::said, EventKind::found,  EventKind::pass,
        EventKind::did_test, EventKind::did,  EventKind::person, EventKind::state,
        EventKind::cause,    EventKind::note, EventKind::left,   EventKind::resumed,
        EventKind::closed,   EventKind::undo};
    return kinds;
}

std::string_view to_text(EventKind kind) {
    switch (kind) {
    case EventKind::set:
        return "set";
    case EventKind::said:
        return "said";
    case EventKind::found:
        return "found";
    case EventKind::pass:
        return "pass";
    case EventKind::did_test:
        return "did_test";
    case EventKind::did:
        return "did";
    case EventKind::person:
        return "person";
    case EventKind::state:
        return "state";
    case EventKind::cause:
        return "cause";
    case EventKind::note:
        return "note";
    case EventKind::left:
        return "left";
    case EventKind::resumed:
        return "resumed";
    case EventKind::closed:
        return "closed";
    case EventKind::undo:
        return "undo";
    }
    assert(false && "an event kind without a word");
    return {};
}

std::optional<EventKind> event_kind(std::string_view word) {
    for (const EventKind kind : event_kinds())
        if (to_text(kind) == word)
            return kind;
    return std::nullopt;
}

std::optional<std::uint32_t> event_number(std::string_view text) {
    std::uint32_t number = 0;
    const auto end = std::from_chars(text.data(), text.data() + text.size(), number);
    const bool whole = end.ec == std::errc() && end.ptr == text.data() + text.size();
    if (!whole || number == 0 || text.front() == '0')
        return std::nullopt;
    return number;
}

std::vector<Event> standing(const Job& job) {
    std::map<std::uint32_t, std::uint32_t> taken_back;  // event -> last undo that names it
    for (const Event& event : job.events)
        if (event.kind == EventKind::undo)
            if (const auto number = event_number(event.what)) {
                std::uint32_t& by = taken_back[*number];
                by = std::max(by, event.number);
            }
    std::vector<Event> stand;
    for (const Event& event : job.events) {
        const auto undone = taken_back.find(event.number);
        const bool gone = undone != taken_back.end() && undone->second > event.number;
        if (event.kind != EventKind::undo && !gone)
            stand.push_back(event);
    }
    return stand;
}

bool is_closed(const Job& job) {
    const std::vector<Event> stand = standing(job);
    return std::any_of(stand.begin(), stand.end(),
                       [](const Event& event) { return event.kind == EventKind::closed; });
}

}  // namespace knockwell
