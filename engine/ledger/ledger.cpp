#include "ledger/ledger.hpp"

#include "base/words.hpp"
#include "job/identity.hpp"
#include "ledger/rows.hpp"
#include "ledger/schema.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <fcntl.h>
#include <sqlite3.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <system_error>
#include <thread>

namespace knockwell {
namespace {

constexpr const char* in_memory = ":memory:";

std::string sentence(const std::filesystem::path& file, std::string_view deed,
                     std::string_view why) {
    return escape_controls(file.string() + ": cannot " + std::string(deed) + ": " +
                           std::string(why));
}

/// SQLite's primary result codes in words; its own words go behind them.
std::string in_words(const SQLite::Exception& error) {
    const std::string own = std::string(" (") + error.what() + ")";
    switch (error.getErrorCode() & 0xFF) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        return "another program is using it; try again when that is done" + own;
    case SQLITE_NOTADB:
        return "it is not a ledger" + own;
    case SQLITE_CORRUPT:
        return "it is damaged; put back a backup" + own;
    case SQLITE_READONLY:
    case SQLITE_PERM:
    case SQLITE_CANTOPEN:
        return "the file or its folder cannot be written" + own;
    case SQLITE_FULL:
        return "the disk is full" + own;
    default:
        return error.what();
    }
}

int pragma(SQLite::Database& database, const std::string& name) {
    return database.execAndGet("PRAGMA " + name).getInt();
}

constexpr std::uintmax_t shortest_database = 512;  // bytes: one page of the smallest size

/// A new file belongs to its owner alone; SQLite gives the files beside it the same rights.
void make_private(const std::filesystem::path& file) {
    std::error_code none;
    if (std::filesystem::is_directory(file, none))
        throw LedgerError(sentence(file, "open the ledger", "it is a folder"));
    // NOLINTNEXTLINE(cppcoreguidelines-pro-type-vararg): there is no other way to say O_EXCL
    const int made = ::open(file.c_str(), O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
    if (made >= 0) {
        ::close(made);
        return;
    }
    if (errno != EEXIST)
        throw LedgerError(
            sentence(file, "make the ledger", std::generic_category().message(errno)));
    // SQLite takes a file of one byte for an empty one and would write over it.
    const std::uintmax_t size = std::filesystem::file_size(file, none);
    if (!none && size > 0 && size < shortest_database)
        throw LedgerError(sentence(file, "open the ledger", "it is not a ledger"));
}

std::string against_file(SQLite::Database& database) {
    const int version = pragma(database, "user_version");
    const bool empty = database.execAndGet("SELECT count(*) FROM sqlite_schema").getInt() == 0;
    const int application = pragma(database, "application_id");
    if (application == 0 && version == 0 && empty)
        return {};
    if (application != ledger_application_id)
        return "it belongs to another program";
    if (version > schema_version())
        return "it is from a newer knockwell (schema " + std::to_string(version) +
               ", this one knows " + std::to_string(schema_version()) + ")";
    if (version < 1)
        return "it is damaged: its schema has no version";
    if (const std::string why = against_schema(database, version); !why.empty())
        return "it is damaged: " + why;
    // Of the rows only those that are read are looked at, and then closely: here the pages are
    // meant.
    database.exec("PRAGMA ignore_check_constraints = ON");
    const std::string checked = database.execAndGet("PRAGMA quick_check(1)").getString();
    database.exec("PRAGMA ignore_check_constraints = OFF");
    if (checked != "ok")
        return "it is damaged: " + checked;
    return {};
}

JobLine line_of(const Job& job) {
    JobLine line{job.id, job.area, job.installation, job.opened, is_closed(job), job.events.size(),
                 {}};
    const std::vector<Event> stand = standing(job);
    const auto said = std::find_if(stand.begin(), stand.end(), [](const Event& event) {
        return event.kind == EventKind::said;
    });
    if (said != stand.end())
        line.first_said = said->what;
    return line;
}

}  // namespace

struct Ledger::Inside {
    std::filesystem::path file;
    std::chrono::milliseconds patience;
    mutable SQLite::Database database;

    Inside(const std::filesystem::path& path, std::chrono::milliseconds waits)
        : file(path), patience(waits),
          database(path.string(), SQLite::OPEN_READWRITE, static_cast<int>(waits.count())) {}

    /// Does the work; whatever SQLite says against it is told with file and deed.
    template <class Work>
    auto tried(std::string_view deed, Work work) const {
        try {
            return work();
        } catch (const SQLite::Exception& error) {
            throw LedgerError(sentence(file, deed, in_words(error)));
        } catch (const BadRow& bad) {
            throw LedgerError(sentence(file, deed, "it is damaged: " + std::string(bad.what())));
        }
    }

    void refuse(std::string_view deed, const std::string& why) const {
        if (!why.empty())
            throw LedgerError(sentence(file, deed, why));
    }

    void prepare() const {
        // A hostile file gets no say in what its tables do beyond SQLite's own harmless functions.
        database.exec("PRAGMA trusted_schema = OFF");
        database.exec("PRAGMA cell_size_check = ON");
        database.exec("PRAGMA recursive_triggers = ON");
        database.exec("PRAGMA foreign_keys = ON");
        {  // All of it at one moment: another program may be making the same file.
            SQLite::Transaction one_moment(database);
            refuse("open the ledger", against_file(database));
        }
        // Only now: another program's file is not even switched to the write-ahead log.
        if (file != in_memory)
            use_write_ahead_log();
        database.exec("PRAGMA synchronous = NORMAL");
        if (pragma(database, "user_version") != schema_version())
            migrate();
    }

    /// For this one deed SQLite itself does not wait for others.
    void use_write_ahead_log() const {
        const auto give_up = std::chrono::steady_clock::now() + patience;
        while (true) {
            try {
                database.exec("PRAGMA journal_mode = WAL");
                return;
            } catch (const SQLite::Exception& error) {
                const bool busy = (error.getErrorCode() & 0xFF) == SQLITE_BUSY;
                if (!busy || std::chrono::steady_clock::now() >= give_up)
                    throw;
            }
            std::this_thread::sleep_for(std::chrono::milliseconds(5));
        }
    }

    void migrate() const {
        SQLite::Transaction all(database, SQLite::TransactionBehavior::IMMEDIATE);
        // Two programs may both have seen the old version; the second finds the work done.
        refuse("bring the ledger up to date", against_file(database));
        const int version = pragma(database, "user_version");
        if (version == schema_version())
            return;
        bring_up_to_date(database, version);
        all.commit();
    }

    void insert(const std::string& job_id, std::vector<Event>& events, std::size_t already) const {
        for (std::size_t i = 0; i < events.size(); ++i) {
            events[i].number = static_cast<std::uint32_t>(already + i + 1);
            insert_event(database, job_id, events[i]);
        }
    }
};

Ledger::Ledger(const std::filesystem::path& file, std::chrono::milliseconds patience) {
    if (file != in_memory)
        make_private(file);
    try {
        inside_ = std::make_unique<Inside>(file, patience);
    } catch (const SQLite::Exception& error) {
        throw LedgerError(sentence(file, "open the ledger", in_words(error)));
    }
    inside_->tried("open the ledger", [&] { inside_->prepare(); });
}

Ledger::~Ledger() = default;
Ledger::Ledger(Ledger&&) noexcept = default;
Ledger& Ledger::operator=(Ledger&&) noexcept = default;

void Ledger::begin(const Job& job) {
    inside_->tried("keep a new job", [&] {
        if (!is_job_id(job.id))
            inside_->refuse("keep a new job", "its identifier is none");
        SQLite::Transaction all(inside_->database, SQLite::TransactionBehavior::IMMEDIATE);
        insert_job(inside_->database, job);
        std::vector<Event> events = job.events;
        inside_->insert(job.id, events, 0);
        all.commit();
    });
}

Job Ledger::append(const std::string& job_id, std::vector<Event> events) {
    const std::string deed = "add to job " + job_id;
    return inside_->tried(deed, [&] {
        // The lock comes before the reading, so that two programs do not number from the same
        // event.
        SQLite::Transaction all(inside_->database, SQLite::TransactionBehavior::IMMEDIATE);
        std::optional<Job> job = read_job(inside_->database, job_id);
        if (!job)
            inside_->refuse(deed, "there is no such job");
        inside_->insert(job_id, events, job->events.size());
        all.commit();
        job->events.insert(job->events.end(), events.begin(), events.end());
        return *job;
    });
}

FoundJob Ledger::find(const std::string& id_or_beginning) const {
    return inside_->tried("look up a job", [&]() -> FoundJob {
        std::string wanted = id_or_beginning;
        for (char& c : wanted)
            if (c >= 'A' && c <= 'Z')
                c = static_cast<char>(c - 'A' + 'a');
        if (wanted.size() < shortest_beginning)
            return NoneFound::too_short;
        SQLite::Transaction one_moment(inside_->database);
        std::vector<std::string> fitting =
            ids_beginning(inside_->database, wanted, most_candidates + 1);
        if (fitting.empty())
            return NoneFound::no_match;
        if (fitting.size() > 1) {
            const bool more = fitting.size() > most_candidates;
            fitting.resize(std::min(fitting.size(), most_candidates));
            return Ambiguous{std::move(fitting), more};
        }
        std::optional<Job> job = read_job(inside_->database, fitting.front());
        if (!job)
            throw BadRow("job " + fitting.front() + " is listed but not found");
        return *std::move(job);
    });
}

std::optional<Job> Ledger::current() const {
    return inside_->tried("look up the open job", [&]() -> std::optional<Job> {
        SQLite::Transaction one_moment(inside_->database);
        const std::vector<std::string> open = open_ids(inside_->database);
        if (open.empty())
            return std::nullopt;
        std::optional<Job> job = read_job(inside_->database, open.front());
        if (!job || is_closed(*job))
            throw BadRow("job " + open.front() + " is open and is not");
        return job;
    });
}

std::vector<JobLine> Ledger::list(std::size_t most) const {
    return inside_->tried("list the jobs", [&] {
        SQLite::Transaction one_moment(inside_->database);
        std::vector<JobLine> lines;
        for (const std::string& id : newest_ids(inside_->database, most)) {
            const std::optional<Job> job = read_job(inside_->database, id);
            if (!job)
                throw BadRow("job " + id + " is listed but not found");
            lines.push_back(line_of(*job));
        }
        return lines;
    });
}

void Ledger::verify() const {
    inside_->tried("verify the ledger", [&] {
        SQLite::Database& database = inside_->database;
        SQLite::Transaction one_moment(database);
        const std::string checked = database.execAndGet("PRAGMA integrity_check(1)").getString();
        if (checked != "ok")
            throw BadRow(checked);
        SQLite::Statement orphans(database, "PRAGMA foreign_key_check");
        if (orphans.executeStep())
            throw BadRow("an event belongs to no job");
        const int jobs = database.execAndGet("SELECT count(*) FROM jobs").getInt();
        for (const std::string& id : newest_ids(database, static_cast<std::size_t>(jobs)))
            if (!read_job(database, id))
                throw BadRow("job " + id + " is listed but not found");
    });
}

}  // namespace knockwell
