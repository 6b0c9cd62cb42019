// ledger/rows.hpp
//
// Jobs and entries to rows and back. A row is foreign text: whatever is wrong with it is told,
// nothing is mended.
#pragma once
#include "ledger/bad_row.hpp"
#include "ledger/kept.hpp"

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace SQLite {  // NOLINT(readability-identifier-naming): not ours
class Database;
}

namespace knockwell {

using JobKey = std::int64_t;

/// Statements on the tables, each prepared once. Lives shorter than the database.
class Rows {
public:
    explicit Rows(SQLite::Database& database);
    ~Rows();
    Rows(const Rows&) = delete;
    Rows& operator=(const Rows&) = delete;
    Rows(Rows&&) = delete;
    Rows& operator=(Rows&&) = delete;

    [[nodiscard]] std::optional<JobKey> key_of(const std::string& id);
    /// Throws BadRow where rows are not as they were kept, or some are missing.
    [[nodiscard]] KeptJob read(JobKey key);
    /// A new job with all its entries.
    JobKey insert(const KeptJob& job);
    /// Entries of `whole` from number `first` (counted from 0) on; the others are there already.
    void add(JobKey key, const KeptJob& whole, std::size_t first);
    /// Entries that are in `whole`, and of `old` only what is in it too.
    void add_missing(JobKey key, const KeptJob& whole, const KeptJob& old);

private:
    struct Statements;
    void insert_event(JobKey key, const std::string& job_id, const KeptEvent& kept);
    void tally(JobKey key, const KeptJob& whole);
    std::unique_ptr<Statements> with_;
};

/// Keys of the jobs opened last, newest first; where several were opened in one second, the one
/// kept last.
[[nodiscard]] std::vector<JobKey> newest(SQLite::Database& database, std::size_t most);

/// The job opened last of those that are not closed.
[[nodiscard]] std::optional<JobKey> newest_open(SQLite::Database& database);

/// The same of one installation.
[[nodiscard]] std::vector<JobKey> newest_at(SQLite::Database& database,
                                            const std::string& installation, std::size_t most);

/// Identifiers that so begin, newest first.
[[nodiscard]] std::vector<std::string>
ids_beginning(SQLite::Database& database, const std::string& beginning, std::size_t most);

/// Every job, in the order of its opening and then of its identifier: whatever ledger they are in
/// and however they came there.
void each_by_time(SQLite::Database& database, const std::function<void(const KeptJob&)>& visit);

/// Every job, in the order in which they were kept, which is quicker.
void each_as_kept(SQLite::Database& database, const std::function<void(const KeptJob&)>& visit);

[[nodiscard]] std::int64_t count_of_jobs(SQLite::Database& database);

}  // namespace knockwell
