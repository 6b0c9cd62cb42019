#include "ledger/inside.hpp"

#include "ledger/schema.hpp"

#include <fcntl.h>
#include <sqlite3.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <system_error>
#include <thread>

namespace knockwell {
namespace {

constexpr int most_pages_checked = 4096;           // at opening: 16 MiB, some 15,000 jobs
constexpr std::uintmax_t shortest_database = 512;  // bytes: one page of the smallest size

[[noreturn]] void cannot_make(const std::filesystem::path& file) {
    throw LedgerError(sentence(file, "make the ledger", std::generic_category().message(errno)));
}

/// A file of a name that nobody has, private to its owner; taken away where it keeps that name.
class NewName {
public:
    explicit NewName(const std::filesystem::path& beside) : path_(beside.string() + ".new-XXXXXX") {
        const int made = ::mkostemp(path_.data(), O_CLOEXEC);
        if (made < 0)
            cannot_make(beside);
        ::close(made);
    }
    ~NewName() {
        std::error_code none;
        std::filesystem::remove(path_, none);
    }
    NewName(const NewName&) = delete;
    NewName& operator=(const NewName&) = delete;
    NewName(NewName&&) = delete;
    NewName& operator=(NewName&&) = delete;

    [[nodiscard]] const std::string& path() const { return path_; }

    /// Gets the name. Of two programs that make the same file the second finds the first one's.
    void become(const std::filesystem::path& name) const {
        if (::renameat2(AT_FDCWD, path_.c_str(), AT_FDCWD, name.c_str(), RENAME_NOREPLACE) == 0 ||
            errno == EEXIST)
            return;
        // Not every file system renames so; a network's may know links instead.
        if (::link(path_.c_str(), name.c_str()) != 0 && errno != EEXIST)
            cannot_make(name);
    }

private:
    std::string path_;
};

}  // namespace

std::string sentence(const std::filesystem::path& file, std::string_view deed,
                     std::string_view why) {
    return escape_controls(file.string() + ": cannot " + std::string(deed) + ": " +
                           std::string(why));
}

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
    case SQLITE_IOERR:  // a full disk too, where room for the files beside it is wanted
        return "the disk may be full, or failing" + own;
    default:
        return error.what();
    }
}

std::string damaged(std::string_view what) {
    constexpr std::string_view heading = "*** in database main ***\n";
    std::string report(what.substr(what.starts_with(heading) ? heading.size() : 0));
    for (std::size_t at = report.find('\n'); at != std::string::npos; at = report.find('\n', at))
        report.replace(at, 1, "; ");
    return "it is damaged: " + report + "; put back a backup";
}

int pragma(SQLite::Database& database, const std::string& name) {
    return database.execAndGet("PRAGMA " + name).getInt();
}

// SQLite gives the files beside it the same rights.
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
        cannot_make(file);
    // SQLite takes a file of one byte for an empty one and would write over it.
    if (const std::string why = against_few_bytes(file); !why.empty())
        throw LedgerError(sentence(file, "open the ledger", why));
}

void make_database(const std::filesystem::path& file) {
    std::error_code none;
    if (std::filesystem::exists(file, none))
        return make_private(file);  // looks at what it is
    const NewName fresh(file);
    tried_with(file, "make the ledger", [&] {
        SQLite::Database(fresh.path(), SQLite::OPEN_READWRITE).exec("PRAGMA journal_mode = WAL");
    });
    fresh.become(file);
}

std::string against_no_bytes(const std::filesystem::path& file) {
    std::error_code none;
    if (std::filesystem::file_size(file, none) != 0 || none)
        return {};
    return "it is empty (0 bytes), as a power cut can leave it; put back a backup, or remove it if "
           "a new ledger is to begin here";
}

std::string against_few_bytes(const std::filesystem::path& file) {
    constexpr std::string_view opening("SQLite format 3\0", 16);
    std::error_code none;
    const std::uintmax_t size = std::filesystem::file_size(file, none);
    if (none || size == 0 || size >= shortest_database)
        return {};
    std::string bytes(std::min<std::size_t>(size, opening.size()), ' ');
    std::ifstream(file, std::ios::binary)
        .read(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    return bytes == opening
               ? damaged("of its first page only " + std::to_string(size) + " bytes are left")
               : "it is not a ledger";
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
        return damaged("its schema has no version");
    if (const std::string why = against_schema(database, version); !why.empty())
        return damaged(why);
    // Of the rows only those that are read are looked at, and then closely: here the pages are
    // meant. A large file would make every command slow; there `verify` is the one that looks.
    if (pragma(database, "page_count") > most_pages_checked)
        return {};
    database.exec("PRAGMA ignore_check_constraints = ON");
    const std::string checked = database.execAndGet("PRAGMA quick_check(1)").getString();
    database.exec("PRAGMA ignore_check_constraints = OFF");
    if (checked != "ok")
        return damaged(checked);
    return {};
}

void distrust(SQLite::Database& database) {
    // A hostile file gets no say in what its tables do beyond SQLite's own harmless functions.
    database.exec("PRAGMA trusted_schema = OFF");
    database.exec("PRAGMA cell_size_check = ON");
    database.exec("PRAGMA recursive_triggers = ON");
    database.exec("PRAGMA foreign_keys = ON");
}

Job told(const KeptJob& job) {
    try {
        return as_told(job);
    } catch (const BadRow& bad) {
        throw BadRow("job " + job.head.id + ": " + bad.what());
    }
}

void Ledger::Inside::prepare() const {
    distrust(database);
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

// For this one deed SQLite itself does not wait for others.
void Ledger::Inside::use_write_ahead_log() const {
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

void Ledger::Inside::migrate() const {
    SQLite::Transaction all(database, SQLite::TransactionBehavior::IMMEDIATE);
    // Two programs may both have seen the old version; the second finds the work done.
    refuse("bring the ledger up to date", against_file(database));
    const int version = pragma(database, "user_version");
    if (version == schema_version())
        return;
    bring_up_to_date(database, version);
    all.commit();
}

}  // namespace knockwell
