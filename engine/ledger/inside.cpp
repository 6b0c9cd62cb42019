#include "ledger/inside.hpp"

#include "ledger/schema.hpp"

#include <sqlite3.h>

#include <algorithm>
#include <fstream>
#include <system_error>
#include <thread>

namespace knockwell {
namespace {

constexpr int most_pages_checked = 4096;           // at opening: 16 MiB, some 15,000 jobs
constexpr std::uintmax_t shortest_database = 512;  // bytes: one page of the smallest size

[[noreturn]] void cannot_make(const std::filesystem::path& file, const std::error_code& error) {
    throw LedgerError(sentence(file, "make the ledger", error.message()));
}

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

void look_at(const std::filesystem::path& file) {
    std::error_code none;
    if (std::filesystem::is_directory(file, none))
        throw LedgerError(sentence(file, "open the ledger", "it is a folder"));
    // SQLite takes a file of one byte for an empty one and would write over it.
    for (const auto& against : {against_no_bytes, against_few_bytes})
        if (const std::string why = against(file); !why.empty())
            throw LedgerError(sentence(file, "open the ledger", why));
}

// SQLite gives the files beside it the same rights.
std::unique_ptr<Unfinished> begun_database(const std::filesystem::path& file) {
    auto begun = std::make_unique<Unfinished>(file);
    if (const std::error_code error = begun->make())
        cannot_make(file, error);
    tried_with(file, "make the ledger", [&] {
        SQLite::Database(begun->part().string(), SQLite::OPEN_READWRITE)
            .exec("PRAGMA journal_mode = WAL");
    });
    return begun;
}

void make_database(const std::filesystem::path& file) {
    // Of two programs that make the same file the second finds the first one's. SQLite has brought
    // the page to the disk.
    const std::error_code error = begun_database(file)->take_name();
    if (error && error != std::errc::file_exists)
        cannot_make(file, error);
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

Ledger::Inside::Inside(const std::filesystem::path& path, std::chrono::milliseconds waits,
                       std::unique_ptr<Unfinished> begun)
    : file(path), patience(waits), unnamed(std::move(begun)),
      database((unnamed ? unnamed->part() : file).string(), SQLite::OPEN_READWRITE,
               static_cast<int>(waits.count())) {}

void Ledger::Inside::give_its_name() {
    if (!unnamed)
        return;
    const std::string deed = "make the ledger";
    tried(deed, [&] {
        // All of it into the one file, which nobody has open while it gets its name: what SQLite
        // keeps beside it goes by the name that it was opened by.
        if (pragma(database, "wal_checkpoint(TRUNCATE)") != 0)
            refuse(deed, "another program is using it");
        database = SQLite::Database(in_memory);
        if (const std::error_code error = unnamed->finish())
            refuse(deed, error == std::errc::file_exists
                             ? "another program has begun one there meanwhile, and nothing is kept "
                               "in it; do it once more"
                             : error.message());
        unnamed.reset();
        database = SQLite::Database(file.string(), SQLite::OPEN_READWRITE,
                                    static_cast<int>(patience.count()));
        prepare();
    });
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
