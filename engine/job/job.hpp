// job/job.hpp
//
// One service call as dated events that are only added to. Nothing is overwritten: a correction is
// an event that takes an earlier one back.
#pragma once
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace knockwell {

enum class EventKind {
    set,       // what = setting or quantity, value = choice or number with unit
    said,      // a customer's word: what = sign, value
    found,     // what = sign, table or cause, value ("12 psi@read-gauge")
    pass,      // a step that cannot be done here or that left one not sure: what =
               // "test:knock-on-tank", value = "cannot" | "not-sure"
    did_test,  // a test was made (its findings come as `found`): what = test, minutes
    did,       // a repair: what = repair, minutes; ends a stage
    person,   // who is there now: value = owner | helper | qualified; licences after it: "qualified
              // electrician"
    state,    // what = power | pressure | tank | access, value = off | on | zero | up | drained |
              // identifier of an access; what = lacks | carries, value = "part:bladder-tank" |
              // "tool:clamp meter"
    cause,    // confirmed at closing: what = cause, value = seen | fixed-it | guessed
    note,     // value = text
    left,     // everybody left; power off and open accesses are forgotten
    resumed,  // back again
    closed,   // value = cured | not-cured | handed-over
    undo,     // what = number of the event that is taken back
    instead,  // what = number of an event; value (and minutes, where they are not 0) hold in its
              // place, at its place
    about,    // the job itself: what = area | installation | knowledge | call-back-of (an earlier
              // job's identifier, or empty), or how it is left: left:... (job/leaving.hpp)
};

// What an event can hold; `refusal` and the ledger keep to it.
constexpr std::size_t longest_what = 200;    // bytes
constexpr std::size_t longest_value = 4000;  // bytes
constexpr double most_minutes = 100000;

struct Event {
    std::uint32_t number = 0;  // from 1 within the job
    std::int64_t at = 0;       // seconds since 1970-01-01T00:00:00Z
    EventKind kind = EventKind::note;
    std::string what;
    std::string value;
    double minutes = 0;  // 0 = not said
    bool operator==(const Event&) const = default;
};

struct Job {
    std::string id;    // universal identifier (RFC 9562): version 4, or 5 of a row of a spreadsheet
    std::string area;  // code of the area, "heron-bottom"
    std::string installation;  // opaque code of the installation; no name, no address
    std::string knowledge;     // version of the knowledge: "2026.11 (3f9c0a12bd77)"
    std::int64_t opened = 0;
    std::vector<Event> events;
    bool operator==(const Job&) const = default;
};

/// An event that would be the next of the job.
[[nodiscard]] Event next_event(const Job& job, std::int64_t at, EventKind kind, std::string what,
                               std::string value, double minutes = 0);

/// Every kind, in the order above.
[[nodiscard]] const std::vector<EventKind>& event_kinds();

/// "did_test" and its like: the word that a ledger keeps.
[[nodiscard]] std::string_view to_text(EventKind kind);
[[nodiscard]] std::optional<EventKind> event_kind(std::string_view word);

/// The number in the `what` of an undo or an `instead`: decimal digits without a sign or a leading
/// zero, from 1.
[[nodiscard]] std::optional<std::uint32_t> event_number(std::string_view text);

/// Whether the event is about another one: an undo or an `instead`.
[[nodiscard]] bool is_correction(EventKind kind);

/// Events that stand: those that no later `undo` takes back, each with the value that the last
/// standing `instead` gives it, without the undos and `instead`s. An undo that names an undo, a
/// later event or nothing takes nothing back; of an `instead` it restores what was there before.
[[nodiscard]] std::vector<Event> standing(const Job& job);

/// Whether a later undo takes the event of that number back.
[[nodiscard]] bool is_taken_back(const Job& job, std::uint32_t number);

[[nodiscard]] bool is_closed(const Job& job);

}  // namespace knockwell
