// A job told in a few lines, for tests.
#pragma once
#include "job/job.hpp"

#include <initializer_list>
#include <string>

namespace knockwell {

/// An event without its number and its moment.
struct StoryEvent {
    EventKind kind = EventKind::note;
    std::string what;
    std::string value;
};

inline constexpr std::int64_t story_begins = 1795600000;  // 2026-11-25

inline Event event_of(const StoryEvent& told, std::uint32_t number) {
    Event event;
    event.number = number;
    event.at = story_begins + 60 * std::int64_t{number};
    event.kind = told.kind;
    event.what = told.what;
    event.value = told.value;
    return event;
}

inline Job job_with(const std::vector<StoryEvent>& events) {
    Job job;
    job.id = "3b241101-e2bb-4255-8caf-4136c566a962";
    job.area = "heron-bottom";
    job.installation = "HB-17";
    job.knowledge = "2026.11 (3f9c0a12bd77)";
    job.opened = story_begins;
    for (const StoryEvent& told : events)
        job.events.push_back(event_of(told, static_cast<std::uint32_t>(job.events.size() + 1)));
    return job;
}

inline Job story(std::initializer_list<StoryEvent> events) {
    return job_with(std::vector<StoryEvent>(events));
}

}  // namespace knockwell
