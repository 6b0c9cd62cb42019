// ledger/rows.hpp
//
// Jobs and entries to rows and back. A row is foreign text: whatever is wrong with it is told,
// nothing is mended.
#pragma once
#include "job/summary.hpp"
#include "ledger/bad_row.hpp"
#include "ledger/kept.hpp"

#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace SQLite {  // NOLINT(readability-identifier-naming): not ours
class Database;
class Statement;
}  // namespace SQLite

namespace knockwell {

using JobKey = std::int64_t;

/// Whether the tables have a place for the summary of a job: those of version 3 have none.
enum class Summaries { kept, none };

/// Statements on the tables, each prepared once. Lives shorter than the database.
class Rows {
public:
    explicit Rows(SQLite::Database& database, Summaries summaries = Summaries::kept);
    ~Rows();
    Rows(const Rows&) = delete;
    Rows& operator=(const Rows&) = delete;
    Rows(Rows&&) = delete;
    Rows& operator=(Rows&&) = delete;

    [[nodiscard]] std::optional<JobKey> key_of(const std::string& id);
    /// Throws BadRow where rows are not as they were kept, or some are missing.
    [[nodiscard]] KeptJob read(JobKey key);
    /// The job's own row, without its entries.
    [[nodiscard]] Job head(JobKey key);
    /// A new job with all its entries.
    JobKey insert(const KeptJob& job);
    /// Entries of `whole` from number `first` (counted from 0) on; the others are there already.
    void add(JobKey key, const KeptJob& whole, std::size_t first);
    /// Entries that are in `whole`, and of `old` only what is in it too.
    void add_missing(JobKey key, const KeptJob& whole, const KeptJob& old);
    /// Draws up the summary of a job that is there.
    void sum_up(JobKey key);

private:
    struct Statements;
    /// Gives the entry's checksum.
    std::int64_t insert_event(JobKey key, const std::string& job_id, const KeptEvent& kept);
    void tally(JobKey key, const KeptJob& whole, std::int64_t seal);
    void keep_summary(JobKey key, const Summary& summary, std::int64_t seal);
    std::unique_ptr<Statements> with_;
};

/// Keys of the jobs opened last, newest first; where several were opened in one second, the one
/// kept last.
[[nodiscard]] std::vector<JobKey> newest(SQLite::Database& database, std::size_t most);

/// The job opened last of those that are not closed.
[[nodiscard]] std::optional<JobKey> newest_open(SQLite::Database& database);

/// Of the spellings of one road (same_road) the one of most jobs; of two as many, the first.
[[nodiscard]] std::string usual_spelling(SQLite::Database& database, const std::string& area);

/// The same of every area that a job has: [same_road].
[[nodiscard]] std::map<std::string, std::string> usual_spellings(SQLite::Database& database);

/// Those opened at the installation, or ever corrected to it, and maybe away from it since; newest
/// first. Where an area is given, of these the ones that were opened in it or corrected to it, in
/// any capitals.
[[nodiscard]] std::vector<JobKey>
ever_at(SQLite::Database& database, const std::string& installation, const std::string& area = {});

/// Codes that plain_code() does not tell from this one, each once, of jobs as they were opened or
/// corrected. Two indexes are read from end to end.
[[nodiscard]] std::vector<std::string> codes_like(SQLite::Database& database,
                                                  const std::string& installation);

/// Identifiers that so begin, newest first.
[[nodiscard]] std::vector<std::string>
ids_beginning(SQLite::Database& database, const std::string& beginning, std::size_t most);

/// Every job, in the order of its opening and then of its identifier: whatever ledger they are in
/// and however they came there.
void each_by_time(SQLite::Database& database, const std::function<void(const KeptJob&)>& visit);

/// Every job, in the order in which they were kept, which is quicker.
void each_as_kept(SQLite::Database& database, const std::function<void(const KeptJob&)>& visit);

/// Every job in short, in the order in which they were kept, with a way to the whole of it. The
/// entries are read only where the summary was drawn up by another program.
void each_in_short(
    SQLite::Database& database,
    const std::function<void(const Summary&, const std::function<KeptJob()>& whole)>& visit);

/// Draws up the summary of every job; the table for them is there and empty.
void sum_up_all(SQLite::Database& database);

/// The summaries as they are kept, job by job, beside a reading of the jobs in that order.
class KeptSummaries {
public:
    explicit KeptSummaries(SQLite::Database& database);
    ~KeptSummaries();
    KeptSummaries(const KeptSummaries&) = delete;
    KeptSummaries& operator=(const KeptSummaries&) = delete;
    KeptSummaries(KeptSummaries&&) = delete;
    KeptSummaries& operator=(KeptSummaries&&) = delete;

    /// Throws BadRow where the next one is not that of this job, which is the next one too.
    void compare(const KeptJob& job, const Job& told);

private:
    std::unique_ptr<SQLite::Statement> row_;
};

[[nodiscard]] std::int64_t count_of_jobs(SQLite::Database& database);

}  // namespace knockwell
