// cli/job_commands.hpp
//
// What the commands of a job share: the ledger, the job that is meant, and entries that are refused
// before they are kept.
#pragma once
#include "cli/desk.hpp"
#include "cli/told.hpp"
#include "ledger/ledger.hpp"

#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace knockwell {

/// Why there is nothing to go on with, and the exit status that says so.
struct NoJob {
    std::string text;
    Status status = status_problems;
};

/// Says it, and is the exit status.
Status complain(const Desk& desk, const NoJob& why);

/// The ledger; it is made only where `make` says so.
[[nodiscard]] std::variant<Ledger, NoJob> open_ledger(const Desk& desk, bool make);

/// The job of that identifier, or the one opened last that is not closed.
[[nodiscard]] std::variant<Job, NoJob> job_meant(const Ledger& ledger, const std::string& id);

/// `job` with the events numbered on from its last, or why one of them cannot be added.
[[nodiscard]] std::variant<Job, Refused> with_events(const Knowledge& knowledge, Job job,
                                                     std::vector<Event> events);

}  // namespace knockwell
