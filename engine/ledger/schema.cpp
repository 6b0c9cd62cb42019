#include "ledger/schema.hpp"

#include "job/job.hpp"
#include "ledger/checksum.hpp"
#include "ledger/rows.hpp"

#include <SQLiteCpp/SQLiteCpp.h>

#include <array>
#include <map>
#include <string_view>
#include <utility>
#include <vector>

namespace knockwell {
namespace {

// Rows are only added, in the order of their numbers. INSERT OR REPLACE would delete without asking
// the triggers against deleting, so what exists is refused before it is put in.
constexpr std::string_view guards_of_version_1 = R"sql(
CREATE TRIGGER jobs_are_kept BEFORE DELETE ON jobs
BEGIN SELECT RAISE(ABORT, 'jobs are never deleted'); END;
CREATE TRIGGER jobs_stay_as_they_are BEFORE UPDATE ON jobs
BEGIN SELECT RAISE(ABORT, 'jobs are never changed'); END;
CREATE TRIGGER jobs_are_new BEFORE INSERT ON jobs
WHEN EXISTS (SELECT 1 FROM jobs WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'the job is there already'); END;
CREATE TRIGGER events_are_kept BEFORE DELETE ON events
BEGIN SELECT RAISE(ABORT, 'events are never deleted'); END;
CREATE TRIGGER events_stay_as_they_are BEFORE UPDATE ON events
BEGIN SELECT RAISE(ABORT, 'events are never changed'); END;
CREATE TRIGGER events_are_numbered_on BEFORE INSERT ON events
WHEN NEW.number <> 1 + (SELECT coalesce(max(number), 0) FROM events WHERE job = NEW.job)
BEGIN SELECT RAISE(ABORT, 'events are numbered on from the last one'); END;
)sql";

void to_1(SQLite::Database& database) {
    database.exec(R"sql(
CREATE TABLE jobs (
    id           TEXT NOT NULL PRIMARY KEY CHECK (id GLOB '????????-????-4???-[89ab]???-????????????'),
    area         TEXT NOT NULL CHECK (length(CAST(area AS BLOB)) <= 200 AND instr(area, char(0)) = 0),
    installation TEXT NOT NULL CHECK (length(CAST(installation AS BLOB)) <= 200 AND instr(installation, char(0)) = 0),
    knowledge    TEXT NOT NULL CHECK (length(CAST(knowledge AS BLOB)) <= 200 AND instr(knowledge, char(0)) = 0),
    opened       INTEGER NOT NULL CHECK (opened BETWEEN -62167219200 AND 253402300799)
) STRICT;
CREATE TABLE events (
    job    TEXT NOT NULL REFERENCES jobs (id),
    number INTEGER NOT NULL CHECK (number BETWEEN 1 AND 4294967294),
    at     INTEGER NOT NULL CHECK (at BETWEEN -62167219200 AND 253402300799),
    kind   TEXT NOT NULL CHECK (kind IN ('set', 'said', 'found', 'pass', 'did_test', 'did', 'person',
                                         'state', 'cause', 'note', 'left', 'resumed', 'closed', 'undo')),
    what   TEXT NOT NULL CHECK (length(CAST(what AS BLOB)) <= 200 AND instr(what, char(0)) = 0),
    value  TEXT NOT NULL CHECK (length(CAST(value AS BLOB)) <= 4000 AND instr(value, char(0)) = 0),
    PRIMARY KEY (job, number)
) STRICT, WITHOUT ROWID;
)sql");
    database.exec(std::string(guards_of_version_1));
}

/// A job of version 1 or 2 without its events: id, area, installation, knowledge, opened.
Job old_head(SQLite::Statement& row) {
    return {row.getColumn(0).getString(), row.getColumn(1).getString(),
            row.getColumn(2).getString(), row.getColumn(3).getString(),
            row.getColumn(4).getInt64(),  {}};
}

/// Rows of version 1 with the number that later ones are born with.
void seal_rows(SQLite::Database& database) {
    SQLite::Statement jobs(database, "SELECT id, area, installation, knowledge, opened FROM jobs");
    SQLite::Statement seal_job(database, "UPDATE jobs SET checksum = ? WHERE id = ?");
    while (jobs.executeStep()) {
        const Job job = old_head(jobs);
        seal_job.bind(1, checksum(job));
        seal_job.bind(2, job.id);
        seal_job.exec();
        seal_job.reset();
    }
    SQLite::Statement events(database, "SELECT job, number, at, kind, what, value FROM events");
    SQLite::Statement seal(database, "UPDATE events SET checksum = ? WHERE job = ? AND number = ?");
    while (events.executeStep()) {
        const std::string job = events.getColumn(0).getString();
        Event event;
        event.number = static_cast<std::uint32_t>(events.getColumn(1).getInt64());
        event.at = events.getColumn(2).getInt64();
        event.kind = event_kind(events.getColumn(3).getString()).value_or(EventKind::note);
        event.what = events.getColumn(4).getString();
        event.value = events.getColumn(5).getString();
        seal.bind(1, checksum_of_version_2(job, event));
        seal.bind(2, job);
        seal.bind(3, static_cast<std::int64_t>(event.number));
        seal.exec();
        seal.reset();
    }
}

/// Minutes of a step, and a checksum with each row.
void to_2(SQLite::Database& database) {
    database.exec(R"sql(
DROP TRIGGER jobs_stay_as_they_are;
DROP TRIGGER events_stay_as_they_are;
ALTER TABLE events ADD COLUMN minutes REAL NOT NULL DEFAULT 0 CHECK (minutes BETWEEN 0 AND 100000);
ALTER TABLE events ADD COLUMN checksum INTEGER NOT NULL DEFAULT 0 CHECK (checksum BETWEEN 0 AND 4294967295);
ALTER TABLE jobs ADD COLUMN checksum INTEGER NOT NULL DEFAULT 0 CHECK (checksum BETWEEN 0 AND 4294967295);
)sql");
    seal_rows(database);
    database.exec(R"sql(
CREATE TRIGGER jobs_stay_as_they_are BEFORE UPDATE ON jobs
BEGIN SELECT RAISE(ABORT, 'jobs are never changed'); END;
CREATE TRIGGER events_stay_as_they_are BEFORE UPDATE ON events
BEGIN SELECT RAISE(ABORT, 'events are never changed'); END;
)sql");
}

// Entries have a stamp in place of a number, so that the ledgers of several trucks can be made one
// (ledger/kept.hpp). Their key is all that they say: the same entry cannot stand there twice, and
// no two of them are taken for one. A tally tells entries that are gone, and open jobs from closed
// ones.
constexpr std::string_view tables_of_version_3 = R"sql(
CREATE TABLE jobs (
    key          INTEGER PRIMARY KEY,
    id           TEXT NOT NULL UNIQUE CHECK (id GLOB '????????-????-[45]???-[89ab]???-????????????'),
    area         TEXT NOT NULL CHECK (length(CAST(area AS BLOB)) <= 200 AND instr(area, char(0)) = 0),
    installation TEXT NOT NULL CHECK (length(CAST(installation AS BLOB)) <= 200 AND instr(installation, char(0)) = 0),
    knowledge    TEXT NOT NULL CHECK (length(CAST(knowledge AS BLOB)) <= 200 AND instr(knowledge, char(0)) = 0),
    opened       INTEGER NOT NULL CHECK (opened BETWEEN -62167219200 AND 253402300799),
    checksum     INTEGER NOT NULL CHECK (checksum BETWEEN 0 AND 4294967295)
) STRICT;
CREATE TABLE events (
    job      INTEGER NOT NULL REFERENCES jobs (key),
    moment   INTEGER NOT NULL CHECK (moment BETWEEN at AND 253402300799),
    tick     INTEGER NOT NULL CHECK (tick BETWEEN 0 AND 4294967295),
    at       INTEGER NOT NULL CHECK (at BETWEEN -62167219200 AND 253402300799),
    kind     TEXT NOT NULL CHECK (kind IN ('set', 'said', 'found', 'pass', 'did_test', 'did', 'person',
                                           'state', 'cause', 'note', 'left', 'resumed', 'closed', 'undo',
                                           'instead', 'about')),
    what     TEXT NOT NULL CHECK (length(CAST(what AS BLOB)) <= 200 AND instr(what, char(0)) = 0),
    value    TEXT NOT NULL CHECK (length(CAST(value AS BLOB)) <= 4000 AND instr(value, char(0)) = 0),
    minutes  REAL NOT NULL CHECK (minutes BETWEEN 0 AND 100000),
    checksum INTEGER NOT NULL CHECK (checksum BETWEEN 0 AND 4294967295),
    PRIMARY KEY (job, moment, tick, kind, what, value, at, minutes)
) STRICT, WITHOUT ROWID;
CREATE TABLE tallies (
    job    INTEGER PRIMARY KEY REFERENCES jobs (key),
    events INTEGER NOT NULL CHECK (events >= 0),
    seal   INTEGER NOT NULL CHECK (seal BETWEEN 0 AND 4294967295),
    open   INTEGER NOT NULL CHECK (open IN (0, 1))
) STRICT;
CREATE INDEX jobs_by_time ON jobs (opened);
CREATE INDEX jobs_by_installation ON jobs (installation);
CREATE INDEX open_jobs ON tallies (job) WHERE open = 1;
CREATE TRIGGER jobs_are_kept BEFORE DELETE ON jobs
BEGIN SELECT RAISE(ABORT, 'jobs are never deleted'); END;
CREATE TRIGGER jobs_stay_as_they_are BEFORE UPDATE ON jobs
BEGIN SELECT RAISE(ABORT, 'jobs are never changed'); END;
CREATE TRIGGER jobs_are_new BEFORE INSERT ON jobs
WHEN EXISTS (SELECT 1 FROM jobs WHERE id = NEW.id OR key = NEW.key)
BEGIN SELECT RAISE(ABORT, 'the job is there already'); END;
CREATE TRIGGER events_are_kept BEFORE DELETE ON events
BEGIN SELECT RAISE(ABORT, 'events are never deleted'); END;
CREATE TRIGGER events_stay_as_they_are BEFORE UPDATE ON events
BEGIN SELECT RAISE(ABORT, 'events are never changed'); END;
CREATE TRIGGER events_are_new BEFORE INSERT ON events
WHEN EXISTS (SELECT 1 FROM events WHERE job = NEW.job AND moment = NEW.moment AND tick = NEW.tick
             AND kind = NEW.kind AND what = NEW.what AND value = NEW.value AND at = NEW.at
             AND minutes = NEW.minutes)
BEGIN SELECT RAISE(ABORT, 'the event is there already'); END;
CREATE TRIGGER tallies_are_kept BEFORE DELETE ON tallies
BEGIN SELECT RAISE(ABORT, 'tallies are never deleted'); END;
)sql";

/// The events of a job of version 2; a damaged row must not be sealed anew.
std::vector<Event> events_of_version_2(SQLite::Statement& row, const std::string& id) {
    row.reset();
    row.bind(1, id);
    std::vector<Event> events;
    while (row.executeStep()) {
        Event event;
        event.number = static_cast<std::uint32_t>(row.getColumn(0).getInt64());
        event.at = row.getColumn(1).getInt64();
        const auto kind = event_kind(row.getColumn(2).getString());
        event.kind = kind.value_or(EventKind::note);
        event.what = row.getColumn(3).getString();
        event.value = row.getColumn(4).getString();
        event.minutes = row.getColumn(5).getDouble();
        const std::string name = "event " + std::to_string(events.size() + 1) + " of job " + id;
        if (!kind || event.number != events.size() + 1)
            throw BadRow(name + " is missing or of no known kind");
        if (row.getColumn(6).getInt64() != checksum_of_version_2(id, event))
            throw BadRow(name + ": its checksum is wrong");
        events.push_back(std::move(event));
    }
    return events;
}

/// Stamps in place of numbers; a tally of each job.
void to_3(SQLite::Database& database) {
    database.exec(R"sql(
DROP TRIGGER jobs_are_kept;
DROP TRIGGER jobs_stay_as_they_are;
DROP TRIGGER jobs_are_new;
DROP TRIGGER events_are_kept;
DROP TRIGGER events_stay_as_they_are;
DROP TRIGGER events_are_numbered_on;
ALTER TABLE jobs RENAME TO jobs_of_version_2;
ALTER TABLE events RENAME TO events_of_version_2;
)sql");
    database.exec(std::string(tables_of_version_3));
    {
        Rows rows(database, Summaries::none);
        SQLite::Statement jobs(database, "SELECT id, area, installation, knowledge, opened, "
                                         "checksum FROM jobs_of_version_2 ORDER BY rowid");
        SQLite::Statement events(database,
                                 "SELECT number, at, kind, what, value, minutes, checksum "
                                 "FROM events_of_version_2 WHERE job = ? ORDER BY number");
        while (jobs.executeStep()) {
            Job job = old_head(jobs);
            if (jobs.getColumn(5).getInt64() != checksum(job))
                throw BadRow("job " + job.id + ": its checksum is wrong");
            job.events = events_of_version_2(events, job.id);
            rows.insert(stamped(job));
        }
    }
    database.exec("DROP TABLE events_of_version_2; DROP TABLE jobs_of_version_2");
}

/// The summary of each job beside it: what many jobs come to is read from there. Like a tally it
/// follows its entries, so it may be written anew, but a job is never without one.
void to_4(SQLite::Database& database) {
    database.exec(R"sql(
CREATE TABLE summaries (
    job      INTEGER PRIMARY KEY REFERENCES jobs (key),
    form     INTEGER NOT NULL CHECK (form >= 1),
    summary  BLOB NOT NULL,
    checksum INTEGER NOT NULL CHECK (checksum BETWEEN 0 AND 4294967295)
) STRICT;
CREATE TRIGGER summaries_are_kept BEFORE DELETE ON summaries
BEGIN SELECT RAISE(ABORT, 'summaries are never deleted'); END;
)sql");
    sum_up_all(database);
}

/// The codes that installations were corrected to, so that the jobs of one are found among a
/// million. What a correction is itself corrected to has no other mark than that it is an
/// `instead`.
void to_5(SQLite::Database& database) {
    database.exec(R"sql(
CREATE INDEX corrected_installations ON events (value)
WHERE (kind = 'about' AND what = 'installation') OR kind = 'instead';
)sql");
}

// steps[v - 1] leads from version v - 1 to v
constexpr std::array steps = {to_1, to_2, to_3, to_4, to_5};

struct Definition {
    std::string table;
    std::string text;
    bool operator==(const Definition&) const = default;
};

/// Tables, triggers and indexes as SQLite keeps them, by kind and name.
std::map<std::string, Definition> definitions(SQLite::Database& database) {
    std::map<std::string, Definition> all;
    SQLite::Statement row(database,
                          "SELECT type || ' ' || name, tbl_name, sql FROM sqlite_schema "
                          "WHERE type IN ('table', 'trigger', 'index') AND sql IS NOT NULL");
    while (row.executeStep())
        all[row.getColumn(0).getString()] = {row.getColumn(1).getString(),
                                             row.getColumn(2).getString()};
    return all;
}

}  // namespace

int schema_version() { return static_cast<int>(steps.size()); }

std::string against_schema(SQLite::Database& database, int version) {
    SQLite::Database model(":memory:", SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
    for (int step = 1; step <= version; ++step)
        steps.at(static_cast<std::size_t>(step - 1))(model);
    const auto wanted = definitions(model);
    const auto found = definitions(database);
    for (const auto& [name, definition] : wanted) {
        const auto same = found.find(name);
        if (same == found.end())
            return name + " is missing";
        if (same->second != definition)
            return name + " is not as it was made";
    }
    for (const auto& [name, definition] : found) {
        const bool ours = definition.table == "jobs" || definition.table == "events" ||
                          definition.table == "tallies" || definition.table == "summaries";
        const bool index = name.rfind("index ", 0) == 0;  // of the shop's own: harmless
        if (ours && !index && !wanted.contains(name))
            return name + " is not of a ledger";
    }
    return {};
}

void bring_up_to_date(SQLite::Database& database, int version) {
    for (int step = version + 1; step <= schema_version(); ++step)
        steps.at(static_cast<std::size_t>(step - 1))(database);
    database.exec("PRAGMA application_id = " + std::to_string(ledger_application_id));
    database.exec("PRAGMA user_version = " + std::to_string(schema_version()));
}

}  // namespace knockwell
