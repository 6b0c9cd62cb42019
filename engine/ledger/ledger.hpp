// ledger/ledger.hpp
//
// The SQLite file of jobs. Write-ahead log, foreign keys on, one transaction a call; rows are only
// added.
//
// Errors   LedgerError with the file, the deed and SQLite's words: cannot be opened, is no ledger,
// is from a newer program, is locked,
//          disk full, damaged. Safe on a terminal. After an error nothing of the call is kept
// Care     what is read is foreign text still: kinds, numbers and checksums are checked, words are
// not Held by  tests/ledger/
#pragma once
#include "job/job.hpp"

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>
#include <variant>
#include <vector>

namespace knockwell {

class LedgerError : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

struct JobLine {
    std::string id;
    std::string area;
    std::string installation;
    std::int64_t opened = 0;
    bool closed = false;
    std::size_t events = 0;
    std::string first_said;  // what the first complaint was: the sign's identifier; may be empty
};

/// Why a beginning of an identifier names no job.
enum class NoneFound {
    too_short,  // fewer than `shortest_beginning` characters, which nothing is looked up by
    no_match,
};

/// Several jobs begin so.
struct Ambiguous {
    std::vector<std::string> ids;  // newest first; `most_candidates` of them at most
    bool more = false;             // there are others
};

using FoundJob = std::variant<Job, NoneFound, Ambiguous>;

constexpr std::size_t shortest_beginning = 4;  // characters
constexpr std::size_t most_candidates = 10;

class Ledger {
public:
    /// Opens or makes the file (private to its owner; the folder must be there); checks the
    /// structure of what stands in it; brings an older schema up to date in one transaction.
    /// ":memory:" works. `patience` is how long each call waits for another program.
    explicit Ledger(const std::filesystem::path& file,
                    std::chrono::milliseconds patience = std::chrono::seconds(5));
    ~Ledger();
    Ledger(Ledger&&) noexcept;
    Ledger& operator=(Ledger&&) noexcept;
    Ledger(const Ledger&) = delete;
    Ledger& operator=(const Ledger&) = delete;

    /// Stores a new job with its events, numbered from 1. Throws where the id exists.
    void begin(const Job& job);

    /// Adds events to a job, numbered on from its last one, all or none; returns the job as it then
    /// stands.
    Job append(const std::string& job_id, std::vector<Event> events);

    /// A job by its id or by an unambiguous beginning of it; capitals count as small letters.
    [[nodiscard]] FoundJob find(const std::string& id_or_beginning) const;

    /// The job opened last that is not closed.
    [[nodiscard]] std::optional<Job> current() const;

    /// Newest first.
    [[nodiscard]] std::vector<JobLine> list(std::size_t most = 50) const;

    /// Reads every row and every page; throws where anything is not as this program wrote it.
    void verify() const;

private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

}  // namespace knockwell
