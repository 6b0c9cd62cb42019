// ledger/rows.hpp
//
// Jobs and events to rows and back. A row is foreign text: whatever is wrong with it is told,
// nothing is mended.
#pragma once
#include "job/job.hpp"

#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

namespace SQLite {  // NOLINT(readability-identifier-naming): not ours
class Database;
}

namespace knockwell {

/// A row that this program cannot have written. The caller adds file and deed.
class BadRow : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

void insert_job(SQLite::Database& database, const Job& job);
void insert_event(SQLite::Database& database, const std::string& job_id, const Event& event);

/// The job with its events. `id` must be exact.
[[nodiscard]] std::optional<Job> read_job(SQLite::Database& database, const std::string& id);

/// Identifiers of the jobs opened last, newest first; where several were opened in one second, the
/// one kept last.
[[nodiscard]] std::vector<std::string> newest_ids(SQLite::Database& database, std::size_t most);

/// The same of those only that have no `closed` event, or one that was taken back.
[[nodiscard]] std::vector<std::string> open_ids(SQLite::Database& database);

/// Those that so begin, newest first.
[[nodiscard]] std::vector<std::string>
ids_beginning(SQLite::Database& database, const std::string& beginning, std::size_t most);

}  // namespace knockwell
