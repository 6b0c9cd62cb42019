#include "ledger/rows.hpp"

#include "job/identity.hpp"
#include "job/time_text.hpp"
#include "ledger/checksum.hpp"

#include <SQLiteCpp/SQLiteCpp.h>

namespace knockwell {
namespace {

std::string text_at(SQLite::Statement& row, int column, std::size_t longest) {
    const SQLite::Column cell = row.getColumn(column);
    if (!cell.isText())
        throw BadRow("a text is missing");
    std::string text = cell.getString();
    if (text.size() > longest)
        throw BadRow("a text is too long");
    return text;
}

std::int64_t integer_at(SQLite::Statement& row, int column, std::int64_t least, std::int64_t most) {
    const SQLite::Column cell = row.getColumn(column);
    if (!cell.isInteger())
        throw BadRow("a number is missing");
    const std::int64_t value = cell.getInt64();
    if (value < least || value > most)
        throw BadRow("a number is out of its range");
    return value;
}

double minutes_at(SQLite::Statement& row, int column) {
    const SQLite::Column cell = row.getColumn(column);
    if (!cell.isFloat())
        throw BadRow("the minutes are missing");
    const double minutes = cell.getDouble();
    if (!(minutes >= 0 && minutes <= most_minutes))
        throw BadRow("the minutes are out of range");
    return minutes;
}

constexpr std::int64_t most_checksum = 0xFFFFFFFF;

Event event_at(SQLite::Statement& row, const std::string& job_id, std::uint32_t expected) {
    Event event;
    event.number = static_cast<std::uint32_t>(integer_at(row, 0, expected, expected));
    event.at = integer_at(row, 1, first_moment, last_moment);
    const auto kind = event_kind(text_at(row, 2, longest_what));
    if (!kind)
        throw BadRow("its kind is unknown");
    event.kind = *kind;
    event.what = text_at(row, 3, longest_what);
    event.value = text_at(row, 4, longest_value);
    event.minutes = minutes_at(row, 5);
    if (integer_at(row, 6, 0, most_checksum) != checksum(job_id, event))
        throw BadRow("its checksum is wrong");
    return event;
}

std::vector<Event> read_events(SQLite::Database& database, const std::string& job_id) {
    SQLite::Statement row(database, "SELECT number, at, kind, what, value, minutes, checksum "
                                    "FROM events WHERE job = ? ORDER BY number");
    row.bind(1, job_id);
    std::vector<Event> events;
    while (row.executeStep()) {
        const auto expected = static_cast<std::uint32_t>(events.size() + 1);
        try {
            events.push_back(event_at(row, job_id, expected));
        } catch (const BadRow& bad) {
            throw BadRow("event " + std::to_string(expected) + " of job " + job_id + ": " +
                         bad.what());
        }
    }
    return events;
}

Job job_at(SQLite::Statement& row, const std::string& id) {
    Job job;
    job.id = text_at(row, 0, longest_what);
    job.area = text_at(row, 1, longest_what);
    job.installation = text_at(row, 2, longest_what);
    job.knowledge = text_at(row, 3, longest_what);
    job.opened = integer_at(row, 4, first_moment, last_moment);
    if (job.id != id || !is_job_id(job.id))
        throw BadRow("its identifier is none");
    if (integer_at(row, 5, 0, most_checksum) != checksum(job))
        throw BadRow("its checksum is wrong");
    return job;
}

std::vector<std::string> ids(SQLite::Statement& row) {
    std::vector<std::string> found;
    while (row.executeStep())
        found.push_back(text_at(row, 0, longest_what));
    return found;
}

}  // namespace

void insert_job(SQLite::Database& database, const Job& job) {
    SQLite::Statement row(database, "INSERT INTO jobs (id, area, installation, knowledge, opened, "
                                    "checksum) VALUES (?, ?, ?, ?, ?, ?)");
    row.bind(1, job.id);
    row.bind(2, job.area);
    row.bind(3, job.installation);
    row.bind(4, job.knowledge);
    row.bind(5, job.opened);
    row.bind(6, checksum(job));
    row.exec();
}

void insert_event(SQLite::Database& database, const std::string& job_id, const Event& event) {
    SQLite::Statement row(database, "INSERT INTO events (job, number, at, kind, what, value, "
                                    "minutes, checksum) VALUES (?, ?, ?, ?, ?, ?, ?, ?)");
    row.bind(1, job_id);
    row.bind(2, static_cast<std::int64_t>(event.number));
    row.bind(3, event.at);
    row.bind(4, std::string(to_text(event.kind)));
    row.bind(5, event.what);
    row.bind(6, event.value);
    row.bind(7, event.minutes);
    row.bind(8, checksum(job_id, event));
    row.exec();
}

std::optional<Job> read_job(SQLite::Database& database, const std::string& id) {
    SQLite::Statement row(database, "SELECT id, area, installation, knowledge, opened, checksum "
                                    "FROM jobs WHERE id = ?");
    row.bind(1, id);
    if (!row.executeStep())
        return std::nullopt;
    try {
        Job job = job_at(row, id);
        job.events = read_events(database, id);
        return job;
    } catch (const BadRow& bad) {
        throw BadRow("job " + id + ": " + bad.what());
    }
}

std::vector<std::string> newest_ids(SQLite::Database& database, std::size_t most) {
    SQLite::Statement row(database, "SELECT id FROM jobs ORDER BY opened DESC, rowid DESC LIMIT ?");
    row.bind(1, static_cast<std::int64_t>(most));
    return ids(row);
}

std::vector<std::string> open_ids(SQLite::Database& database) {
    SQLite::Statement row(database,
                          "SELECT id FROM jobs WHERE NOT EXISTS (SELECT 1 FROM events AS shut "
                          "WHERE shut.job = jobs.id AND shut.kind = 'closed' AND NOT EXISTS ("
                          "SELECT 1 FROM events AS undone WHERE undone.job = jobs.id AND "
                          "undone.kind = 'undo' AND undone.number > shut.number AND "
                          "undone.what = CAST(shut.number AS TEXT))) "
                          "ORDER BY opened DESC, rowid DESC");
    return ids(row);
}

std::vector<std::string> ids_beginning(SQLite::Database& database, const std::string& beginning,
                                       std::size_t most) {
    SQLite::Statement row(database, "SELECT id FROM jobs WHERE substr(id, 1, length(?1)) = ?1 "
                                    "ORDER BY opened DESC, rowid DESC LIMIT ?2");
    row.bind(1, beginning);
    row.bind(2, static_cast<std::int64_t>(most));
    return ids(row);
}

}  // namespace knockwell
