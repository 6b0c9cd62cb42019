// cli/told.hpp
//
// What was typed -> events of a job, every name looked up and every value read. `ask` makes events
// of a job that nobody keeps, so that a question and a job are answered by the same code.
#pragma once
#include "advice/candidate.hpp"
#include "cli/command_line.hpp"
#include "job/job.hpp"
#include "knowledge/model.hpp"

#include <cstdint>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace knockwell {

/// Why a person's words cannot be used, in lines: what is wrong, what to write. Escaped already.
struct Refused {
    std::string text;
};

/// The events in the order in which they must be read: who is there, where one stands, then what is
/// known. Numbers are left to the ledger.
[[nodiscard]] std::variant<std::vector<Event>, Refused>
events_of(const Knowledge& knowledge, const Told& told, std::int64_t at);

/// What was taken for a sign though it is not called so word for word, a line each; escaped.
[[nodiscard]] std::vector<std::string> taken_loosely(const Knowledge& knowledge, const Told& told);

/// A test or repair that was done, and the note to it.
[[nodiscard]] std::variant<std::vector<Event>, Refused>
events_of(const Knowledge& knowledge, const DidCommand& did, std::int64_t at);

/// How the place is left: readings, and what is said of the lines of the list.
[[nodiscard]] std::variant<std::vector<Event>, Refused>
events_of_leaving(const Knowledge& knowledge, const CloseCommand& close, std::int64_t at);

/// Confirms a cause. One that the job has confirmed already is confirmed otherwise at its place, at
/// every one where two trucks confirmed it; two entries would clash.
[[nodiscard]] std::vector<Event> confirming(const Job& job, const std::string& cause,
                                            const std::string& how, std::int64_t at);

/// Causes as typed, "worn-contacts=seen", confirmed on the job; of one typed twice the last holds.
[[nodiscard]] std::variant<std::vector<Event>, Refused>
events_of_causes(const Knowledge& knowledge, const Job& job, const std::vector<std::string>& typed,
                 std::int64_t at);

/// Confirmed causes, notes and the closing itself.
[[nodiscard]] std::variant<std::vector<Event>, Refused>
events_of(const Knowledge& knowledge, const Job& job, const CloseCommand& close, std::int64_t at);

/// A cause by its identifier or the only one whose title has every word typed.
[[nodiscard]] std::variant<CauseId, Refused> find_cause(const Knowledge& knowledge,
                                                        std::string_view typed);

/// The same of a repair.
[[nodiscard]] std::variant<RepairId, Refused> find_repair(const Knowledge& knowledge,
                                                          std::string_view typed);

/// A cause, or a look that can be made: a test, a question of a symptom, a setting; by its
/// identifier or the only one whose title has every word typed.
[[nodiscard]] std::variant<CauseId, Candidate, Refused>
find_cause_or_look(const Knowledge& knowledge, std::string_view typed);

/// Lines for what names nothing: the deed, what is wrong, the nearest names.
[[nodiscard]] Refused refused(std::string_view where, std::string_view what,
                              const std::vector<std::string>& nearest_names);

}  // namespace knockwell
