// ledger/kept.hpp
//
// A job as it is kept: every entry has a stamp that says its place, wherever and on however many
// trucks it was written, and no number.
//
// Given    copies of one job that were gone on with on several trucks, whose clocks are wrong
// Wanted   one job with all entries, the same whichever copy is merged into which, how often and in
//          what order; what a writer could see stands before what it wrote
// Idea     entries are a set, so that merging is union. They are ordered by a clock that is the
//          writer's own or, where that runs behind, one tick after the last entry that it saw; what
//          still is level, by its content. Corrections name an entry by its stamp and checksum
// Source   S. Kulkarni, M. Demirbas, D. Madappa, B. Avva, M. Leone, Logical Physical Clocks, OPODIS
//          2014 (hybrid logical clocks); M. Shapiro, N. Preguiça, C. Baquero, M. Zawirski,
//          Conflict-free Replicated Data Types, SSS 2011 (grow-only set)
// Care     two trucks that write the very same entry at the same place in the same second wrote
//          one entry
// Held by  tests/ledger/merge_law_test.cpp
#pragma once
#include "job/job.hpp"

#include <compare>
#include <cstdint>
#include <string>
#include <vector>

namespace knockwell {

struct Stamp {
    std::int64_t moment = 0;  // seconds since 1970-01-01T00:00:00Z
    std::uint32_t tick = 0;   // counts on where the moment cannot
    auto operator<=>(const Stamp&) const = default;
};

/// `event` has no number, and a correction names its entry by reference instead of by number.
struct KeptEvent {
    Stamp stamp;
    Event event;
    bool operator==(const KeptEvent&) const = default;
};

struct KeptJob {
    Job head;                       // without events
    std::vector<KeptEvent> events;  // ascending
    bool operator==(const KeptJob&) const = default;
};

/// The order of entries: stamp, kind, what, value, time, minutes; as the tables sort them.
[[nodiscard]] std::strong_ordering order_of(const KeptEvent& a, const KeptEvent& b);

/// What a correction calls an entry: "1795698000.2.0f3a99c1", moment, tick and checksum.
[[nodiscard]] std::string reference_to(const std::string& job_id, const KeptEvent& event);

/// Whether `text` is written as a reference is.
[[nodiscard]] bool is_reference(const std::string& text);

/// The job with stamps, as if it were written down now for the first time. Corrections of events
/// that are not there are kept as "?" and their number, and correct nothing.
[[nodiscard]] KeptJob stamped(const Job& job);

/// Adds events, stamped on from the last; the numbers that corrections name are those of `job` as
/// it is told.
void add_stamped(KeptJob& job, const std::vector<Event>& events);

/// The job with numbers from 1. Throws BadRow where a correction names an entry that is missing.
[[nodiscard]] Job as_told(const KeptJob& job);

}  // namespace knockwell
