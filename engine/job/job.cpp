#include "job/job.hpp"

#include <algorithm>
#include <cassert>
#include <charconv>
#include <map>
#include <utility>

namespace knockwell {

Event next_event(const Job& job, std::int64_t at, EventKind kind, std::string what,
                 std::string value, double minutes) {
    return {static_cast<std::uint32_t>(job.events.size() + 1),
            at,
            kind,
            std::move(what),
            std::move(value),
            minutes};
}

const std::vector<EventKind>& event_kinds() {
    static const std::vector<EventKind> kinds = {
        EventKind::set,      EventKind::said, EventKind::found,   EventKind::pass,
        EventKind::did_test, EventKind::did,  EventKind::person,  EventKind::state,
        EventKind::cause,    EventKind::note, EventKind::left,    EventKind::resumed,
        EventKind::closed,   EventKind::undo, EventKind::instead, EventKind::about};
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
    case EventKind::instead:
        return "instead";
    case EventKind::about:
        return "about";
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

bool is_correction(EventKind kind) { return kind == EventKind::undo || kind == EventKind::instead; }

std::vector<Event> standing(const Job& job) {
    std::map<std::uint32_t, std::uint32_t> taken_back;  // event -> last undo that names it
    for (const Event& event : job.events)
        if (event.kind == EventKind::undo)
            if (const auto number = event_number(event.what)) {
                std::uint32_t& by = taken_back[*number];
                by = std::max(by, event.number);
            }
    const auto gone = [&](const Event& event) {
        const auto undone = taken_back.find(event.number);
        return undone != taken_back.end() && undone->second > event.number;
    };
    std::map<std::uint32_t, const Event*> instead;  // event -> last `instead` that names it
    for (const Event& event : job.events)
        if (event.kind == EventKind::instead && !gone(event))
            if (const auto number = event_number(event.what); number && *number < event.number)
                instead[*number] = &event;
    std::vector<Event> stand;
    for (const Event& event : job.events) {
        if (is_correction(event.kind) || gone(event))
            continue;
        stand.push_back(event);
        if (const auto by = instead.find(event.number); by != instead.end()) {
            stand.back().value = by->second->value;
            if (by->second->minutes > 0)
                stand.back().minutes = by->second->minutes;
        }
    }
    return stand;
}

bool is_taken_back(const Job& job, std::uint32_t number) {
    return std::any_of(job.events.begin(), job.events.end(), [&](const Event& event) {
        return event.kind == EventKind::undo && event.number > number &&
               event_number(event.what) == number;
    });
}

bool is_closed(const Job& job) {
    const std::vector<Event> stand = standing(job);
    return std::any_of(stand.begin(), stand.end(),
                       [](const Event& event) { return event.kind == EventKind::closed; });
}

}  // namespace knockwell
