// ledger/ledger.hpp
//
// The SQLite file of jobs. Write-ahead log, foreign keys on, one transaction a call; rows are only
// added.
//
// Errors   LedgerError with the file, the deed and SQLite's words: cannot be opened, is no ledger,
//          is from a newer program, is locked, disk full, damaged. Safe on a terminal. After an
//          error nothing of the call is kept
// Care     what is read is foreign text still: kinds, numbers and checksums are checked, words are
//          not
// Held by  tests/ledger/
#pragma once
#include "job/job.hpp"
#include "job/summary.hpp"
#include "ledger/kept.hpp"

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <functional>
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
    std::string first_said;    // what the first complaint was: the sign's identifier; may be empty
    std::string outcome = {};  // of the closing that stands; empty while open
    std::vector<ConfirmedCause> causes = {};  // each once, as it was confirmed last
    std::string call_back_of = {};            // the earlier job; empty where it is none
};

/// Which jobs are wanted, by the codes as they were corrected last; what is empty asks nothing.
struct JobsWanted {
    std::string area = {};  // however it is spelled: same_road()
    std::string installation = {};
    std::string cause = {};                   // that the job names, guessed or more
    std::string repair = {};                  // that was made on the job
    bool call_backs = false;                  // only call-backs of an earlier job
    bool called_back = false;                 // only those that another job is a call-back of
    std::optional<std::int64_t> since = {};   // opened at that moment or later
    std::optional<std::int64_t> before = {};  // opened earlier than that
    [[nodiscard]] bool all() const { return *this == JobsWanted{}; }
    bool operator==(const JobsWanted&) const = default;
};

/// Jobs that were wanted.
struct JobsFound {
    std::vector<JobLine> newest;  // newest first, as many as were asked for
    std::size_t jobs = 0;         // all of them
    std::size_t closed = 0;       // of these
    std::size_t houses = 0;       // installations of the closed ones, by area and code
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

/// How far a long deed is: `done` of `all`. Called now and then.
using Progress = std::function<void(std::size_t done, std::size_t all)>;

/// A code of a job from elsewhere that would be refused where a job is opened or corrected.
struct OddCode {
    std::string job;   // its identifier
    std::string says;  // "the area has blanks at its ends; leave them out", safe on a terminal
    bool operator==(const OddCode&) const = default;
};

/// A road that came in spelled otherwise than the ledger has it (same_road).
struct OtherSpelling {
    std::string area;
    std::string usual;
    bool operator==(const OtherSpelling&) const = default;
};

/// A job that two places went on with without knowing of each other.
struct Crossed {
    Job common;  // what both had
    Job here;    // as it was here before
    Job there;   // as it came in
    bool operator==(const Crossed&) const = default;
};

/// What came into a ledger from elsewhere.
struct TakenIn {
    std::size_t new_jobs = 0;    // that were not there
    std::size_t grown_jobs = 0;  // that were there with fewer entries
    std::size_t same_jobs = 0;   // that were there already, with all of it
    std::size_t entries = 0;     // added
    // Jobs with an odd code are taken in like all others: what an older program wrote must not keep
    // two ledgers apart.
    std::size_t odd_codes = 0;
    std::vector<OddCode> first_odd = {};  // of these
    std::vector<OtherSpelling> other_spellings = {};
    // Identifiers of jobs that are closed and have entries that nobody had when they closed them: a
    // danger may be among them.
    std::vector<std::string> closed_unweighed = {};
    // What ends a danger in one may have been written without knowing of the danger. The first of
    // them; two trucks seldom meet at one job.
    std::vector<Crossed> crossed = {};
    void add(const TakenIn& more);
    bool operator==(const TakenIn&) const = default;
};

/// Told each job that is new (`before` is null) or has grown, as it stands then.
using CameIn = std::function<void(const KeptJob* before, const KeptJob& now)>;

/// Jobs from elsewhere, one after the other.
struct Intake {
    std::function<std::optional<KeptJob>()> next;  // nothing: there are no more
    /// Told why a job cannot be kept: the one handed as number `nth`, from 0. The others are looked
    /// at all the same.
    std::function<void(std::size_t nth, const std::string& why)> refuse;
    /// Asked at the end: whether all of it is to be kept.
    std::function<bool()> keep;
    /// Whether the job of an identifier may be among what was refused before it could be handed: it
    /// is then not told as missing. Empty: nothing was.
    std::function<bool(const std::string& job)> may_be_refused = {};
    bool grows = true;  // false: a job that is there already must be the very same
    CameIn came_in = {};
};

/// What is done where there is no ledger yet.
enum class NoLedger {
    make,            // one is made
    make_with_jobs,  // one is made that has its name with the first jobs that are kept; till then
                     // nothing is there, and where it comes to none nothing is left
    refuse,
};

class Ledger {
public:
    /// Opens or makes the file (private to its owner; the folder must be there); checks the
    /// structure of what stands in it (a file of 0 bytes is one that was lost); brings an older
    /// schema up to date in one transaction.
    /// ":memory:" works. `patience` is how long each call waits for another program.
    explicit Ledger(const std::filesystem::path& file,
                    std::chrono::milliseconds patience = std::chrono::seconds(5),
                    NoLedger missing = NoLedger::make);
    ~Ledger();
    Ledger(Ledger&&) noexcept;
    Ledger& operator=(Ledger&&) noexcept;
    Ledger(const Ledger&) = delete;
    Ledger& operator=(const Ledger&) = delete;

    /// Whether it is there under its name.
    [[nodiscard]] bool has_its_name() const;

    /// Stores a new job with its events, numbered from 1. Throws where the id exists.
    void begin(const Job& job);

    /// Adds events to a job, numbered on from its last one, all or none; returns the job as it then
    /// stands. Where the writer has `seen` another count of entries than there are, corrections
    /// (they name entries by number) and closings (they are weighed by what was found) are refused,
    /// and everything where the job is closed now.
    Job append(const std::string& job_id, const std::vector<Event>& events,
               std::optional<std::size_t> seen = std::nullopt);

    /// A job by its id or by an unambiguous beginning of it; capitals count as small letters.
    [[nodiscard]] FoundJob find(const std::string& id_or_beginning) const;

    /// The job opened last that is not closed.
    [[nodiscard]] std::optional<Job> current() const;

    /// Newest first.
    [[nodiscard]] std::vector<JobLine> list(std::size_t most = 50) const;

    /// Those that are wanted; a row of every job is read, but for those of one installation, which
    /// has an index.
    [[nodiscard]] JobsFound list(const JobsWanted& wanted, std::size_t most = 50) const;

    /// The same of one installation, by the codes as they were corrected last. Many roads may have
    /// a house of one code: `area`, in any capitals, asks for those of one road; empty, for all.
    [[nodiscard]] std::vector<JobLine> at_installation(const std::string& installation,
                                                       std::size_t most = 50,
                                                       const std::string& area = {}) const;

    /// Those too that were opened at the installation, or corrected to it, and are at another now;
    /// the same of the area.
    [[nodiscard]] std::vector<JobLine> ever_at(const std::string& installation,
                                               std::size_t most = 50,
                                               const std::string& area = {}) const;

    /// Codes of houses that may be meant by this one (plain_code), itself too where it is there, as
    /// they were opened or corrected; on any road.
    [[nodiscard]] std::vector<std::string> codes_like(const std::string& installation) const;

    /// How most jobs spell a road (same_road); of two as many, the one that was there first. Empty
    /// where no job has it.
    [[nodiscard]] std::string usual_spelling(const std::string& area) const;

    [[nodiscard]] std::size_t count() const;

    /// Reads every row and every page; throws where anything is not as this program wrote it.
    void verify(const Progress& progress = {}) const;

    /// Every job, in the order of opening and then of identifiers: the same for the same jobs,
    /// however they came here.
    /// Told first how many there are at that moment, where `begin` is given.
    void each(const std::function<void(const KeptJob&)>& visit,
              const std::function<void(std::size_t all)>& begin = {}) const;

    /// Every job in short, in no order that means anything: a row a job is read and not its
    /// entries. `whole` reads the job itself, and can be called only within the visit.
    void each_in_short(
        const std::function<void(const Summary&, const std::function<Job()>& whole)>& visit) const;

    /// All in one transaction; nothing where `keep` says no, and then nothing is kept. A job that
    /// is there comes to have the entries of both; one whose own row differs is refused, and one
    /// that is called a call-back of what it cannot be (job/call_back.hpp), which is looked at when
    /// all are there: the earlier job may come later.
    std::optional<TakenIn> take_in(const Intake& intake);

    /// Takes in every job of another ledger, which is only read, an older one too.
    TakenIn merge(const std::filesystem::path& other, const Progress& progress = {},
                  const CameIn& came_in = {});

    /// A whole copy as it is at one moment, private to its owner, checked before it gets its name.
    /// Throws where `copy` is there already, or has come when it is to get its name.
    void backup(const std::filesystem::path& copy, const Progress& progress = {}) const;

private:
    struct Inside;
    [[nodiscard]] std::vector<JobLine> lines_of(const std::vector<std::int64_t>& keys) const;
    std::unique_ptr<Inside> inside_;
};

}  // namespace knockwell
