#include "ledger/rows.hpp"

#include "base/same_road.hpp"
#include "base/words.hpp"
#include "job/identity.hpp"
#include "job/time_text.hpp"
#include "ledger/checksum.hpp"
#include "ledger/short_form.hpp"

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
constexpr std::int64_t most_tick = 0xFFFFFFFF;

constexpr std::string_view event_columns = "moment, tick, at, kind, what, value, minutes, checksum";
// As the key of the table is, so that nothing is sorted.
constexpr std::string_view event_order = "moment, tick, kind, what, value, at, minutes";
constexpr std::string_view job_columns =
    "jobs.key, id, area, installation, knowledge, opened, jobs.checksum, events, seal, open";
constexpr int columns_of_a_head = 10;

/// From column `first` on; the checksum is added to `seal`.
KeptEvent event_at(SQLite::Statement& row, int first, const std::string& job_id,
                   std::int64_t& seal) {
    KeptEvent kept;
    kept.stamp.moment = integer_at(row, first, first_moment, last_moment);
    kept.stamp.tick = static_cast<std::uint32_t>(integer_at(row, first + 1, 0, most_tick));
    Event& event = kept.event;
    event.at = integer_at(row, first + 2, first_moment, last_moment);
    const auto kind = event_kind(text_at(row, first + 3, longest_what));
    if (!kind)
        throw BadRow("its kind is unknown");
    event.kind = *kind;
    event.what = text_at(row, first + 4, longest_what);
    event.value = text_at(row, first + 5, longest_value);
    event.minutes = minutes_at(row, first + 6);
    const std::int64_t sum = checksum(job_id, kept);
    if (integer_at(row, first + 7, 0, most_checksum) != sum)
        throw BadRow("its checksum is wrong");
    seal = joined(seal, sum);
    return kept;
}

/// A job's own row, and what its entries must come to.
struct RowHead {
    JobKey key = 0;
    KeptJob job;
    std::int64_t events = 0;
    std::int64_t seal = 0;
    bool open = false;
};

constexpr std::int64_t last_key = 0x7FFFFFFFFFFFFFFF;

RowHead head_at(SQLite::Statement& row) {
    RowHead head;
    head.key = integer_at(row, 0, 1, last_key);
    Job& job = head.job.head;
    job.id = text_at(row, 1, longest_what);
    if (!is_job_id(job.id))
        throw BadRow("the identifier of a job is none");
    try {
        job.area = text_at(row, 2, longest_what);
        job.installation = text_at(row, 3, longest_what);
        job.knowledge = text_at(row, 4, longest_what);
        job.opened = integer_at(row, 5, first_moment, last_moment);
        if (integer_at(row, 6, 0, most_checksum) != checksum(job))
            throw BadRow("its checksum is wrong");
        head.events = integer_at(row, 7, 0, last_key);
        head.seal = integer_at(row, 8, 0, most_checksum);
        head.open = integer_at(row, 9, 0, 1) == 1;
    } catch (const BadRow& bad) {
        throw BadRow("job " + job.id + ": " + bad.what());
    }
    return head;
}

/// A summary as it is kept, from column `first` on: form, summary, checksum. Nothing where there is
/// none, or one of another form.
std::optional<Summary> summary_at(SQLite::Statement& row, int first, const Job& head,
                                  std::int64_t seal) {
    if (!row.getColumn(first).isInteger() || row.getColumn(first).getInt64() != summary_form)
        return std::nullopt;
    const SQLite::Column cell = row.getColumn(first + 1);
    if (!cell.isBlob())
        throw BadRow("its summary is missing");
    const std::string_view bytes(static_cast<const char*>(cell.getBlob()),
                                 static_cast<std::size_t>(cell.getBytes()));
    if (integer_at(row, first + 2, 0, most_checksum) != checksum(head.id, seal, bytes))
        throw BadRow("the checksum of its summary is wrong");
    Summary summary = summary_from(bytes);
    summary.id = head.id;
    summary.opened = head.opened;
    return summary;
}

bool is_open(const KeptJob& job) {
    bool closed = false;
    bool corrected = false;
    for (const KeptEvent& kept : job.events) {
        closed = closed || kept.event.kind == EventKind::closed;
        corrected = corrected || is_correction(kept.event.kind);
    }
    return !closed || (corrected && !is_closed(as_told(job)));
}

/// Takes the rows that are this job's from a statement that stands on one or is done.
class Gatherer {
public:
    explicit Gatherer(SQLite::Statement& rows, int first) : rows_(&rows), first_(first) {}

    KeptJob gather(RowHead head, const std::function<bool()>& is_mine) {
        KeptJob& job = head.job;
        const std::string& id = job.head.id;
        std::int64_t seal = 0;
        while (is_mine()) {
            try {
                job.events.push_back(event_at(*rows_, first_, id, seal));
            } catch (const BadRow& bad) {
                throw BadRow("job " + id + ": event " + std::to_string(job.events.size() + 1) +
                             " of job " + id + ": " + bad.what());
            }
            rows_->executeStep();
        }
        if (static_cast<std::int64_t>(job.events.size()) != head.events || seal != head.seal ||
            head.open != is_open(job))
            throw BadRow("job " + id + ": its entries are not those that were kept");
        return std::move(head.job);
    }

private:
    SQLite::Statement* rows_;
    int first_;
};

std::vector<JobKey> keys(SQLite::Statement& row) {
    std::vector<JobKey> found;
    while (row.executeStep())
        found.push_back(integer_at(row, 0, 1, last_key));
    return found;
}

std::string select_heads(std::string_view rest) {
    return "SELECT " + std::string(job_columns) +
           " FROM jobs LEFT JOIN tallies ON tallies.job = jobs.key " + std::string(rest);
}

constexpr std::string_view upsert_summary =
    "INSERT INTO summaries (job, form, summary, checksum) VALUES (?1, ?2, ?3, ?4) ON CONFLICT "
    "(job) DO UPDATE SET form = ?2, summary = ?3, checksum = ?4";

std::int64_t seal_of(const KeptJob& job) {
    std::int64_t seal = 0;
    for (const KeptEvent& kept : job.events)
        seal = joined(seal, checksum(job.head.id, kept));
    return seal;
}

}  // namespace

struct Rows::Statements {
    Statements(SQLite::Database& database, Summaries summaries)
        : key(database, "SELECT key FROM jobs WHERE id = ?"),
          head(database, select_heads("WHERE jobs.key = ?")),
          events(database, "SELECT " + std::string(event_columns) +
                               " FROM events WHERE job = ? ORDER BY " + std::string(event_order)),
          job(database, "INSERT INTO jobs (id, area, installation, knowledge, opened, checksum) "
                        "VALUES (?, ?, ?, ?, ?, ?)"),
          event(database, "INSERT INTO events (job, moment, tick, at, kind, what, value, minutes, "
                          "checksum) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)"),
          tally(database,
                "INSERT INTO tallies (job, events, seal, open) VALUES (?1, ?2, ?3, ?4) ON CONFLICT "
                "(job) DO UPDATE SET events = ?2, seal = ?3, open = ?4"),
          file(&database) {
        if (summaries == Summaries::kept)
            summary.emplace(database, std::string(upsert_summary));
    }
    RowHead head_of(JobKey wanted);
    SQLite::Statement key;
    SQLite::Statement head;
    SQLite::Statement events;
    SQLite::Statement job;
    SQLite::Statement event;
    SQLite::Statement tally;
    std::optional<SQLite::Statement> summary;
    SQLite::Database* file;
};

Rows::Rows(SQLite::Database& database, Summaries summaries)
    : with_(std::make_unique<Statements>(database, summaries)) {}
Rows::~Rows() = default;

std::optional<JobKey> Rows::key_of(const std::string& id) {
    SQLite::Statement& row = with_->key;
    row.reset();
    row.bindNoCopy(1, id);
    std::optional<JobKey> found;
    if (row.executeStep())
        found = integer_at(row, 0, 1, last_key);
    row.reset();
    return found;
}

RowHead Rows::Statements::head_of(JobKey wanted) {
    head.reset();
    head.bind(1, wanted);
    if (!head.executeStep())
        throw BadRow("a job is listed but not found");
    RowHead found = head_at(head);
    head.reset();
    return found;
}

Job Rows::head(JobKey key) { return std::move(with_->head_of(key).job.head); }

KeptJob Rows::read(JobKey key) {
    RowHead head = with_->head_of(key);
    SQLite::Statement& rows = with_->events;
    rows.reset();
    rows.bind(1, key);
    rows.executeStep();
    KeptJob job = Gatherer(rows, 0).gather(std::move(head), [&] { return rows.hasRow(); });
    rows.reset();
    return job;
}

JobKey Rows::insert(const KeptJob& job) {
    SQLite::Statement& row = with_->job;
    row.reset();
    row.bindNoCopy(1, job.head.id);
    row.bindNoCopy(2, job.head.area);
    row.bindNoCopy(3, job.head.installation);
    row.bindNoCopy(4, job.head.knowledge);
    row.bind(5, job.head.opened);
    row.bind(6, checksum(job.head));
    row.exec();
    row.reset();
    const JobKey key = with_->file->getLastInsertRowid();
    add(key, job, 0);
    return key;
}

std::int64_t Rows::insert_event(JobKey key, const std::string& job_id, const KeptEvent& kept) {
    SQLite::Statement& row = with_->event;
    const std::string kind(to_text(kept.event.kind));
    const std::int64_t sum = checksum(job_id, kept);
    row.reset();
    row.bind(1, key);
    row.bind(2, kept.stamp.moment);
    row.bind(3, std::int64_t{kept.stamp.tick});
    row.bind(4, kept.event.at);
    row.bindNoCopy(5, kind);
    row.bindNoCopy(6, kept.event.what);
    row.bindNoCopy(7, kept.event.value);
    row.bind(8, kept.event.minutes);
    row.bind(9, sum);
    row.exec();
    row.reset();
    return sum;
}

void Rows::add(JobKey key, const KeptJob& whole, std::size_t first) {
    std::int64_t seal = 0;
    for (std::size_t i = 0; i < whole.events.size(); ++i) {
        const KeptEvent& kept = whole.events[i];
        seal = joined(seal, i < first ? checksum(whole.head.id, kept)
                                      : insert_event(key, whole.head.id, kept));
    }
    tally(key, whole, seal);
}

void Rows::add_missing(JobKey key, const KeptJob& whole, const KeptJob& old) {
    auto there = old.events.begin();
    for (const KeptEvent& kept : whole.events) {
        if (there != old.events.end() && order_of(kept, *there) == 0)
            ++there;
        else
            insert_event(key, whole.head.id, kept);
    }
    tally(key, whole, seal_of(whole));
}

void Rows::tally(JobKey key, const KeptJob& whole, std::int64_t seal) {
    SQLite::Statement& row = with_->tally;
    row.reset();
    row.bind(1, key);
    row.bind(2, static_cast<std::int64_t>(whole.events.size()));
    row.bind(3, seal);
    row.bind(4, is_open(whole) ? 1 : 0);
    row.exec();
    row.reset();
    if (with_->summary)
        keep_summary(key, summary_of(as_told(whole)), seal);
}

void Rows::keep_summary(JobKey key, const Summary& summary, std::int64_t seal) {
    SQLite::Statement& row = *with_->summary;
    const std::string bytes = short_form(summary);
    row.reset();
    row.bind(1, key);
    row.bind(2, summary_form);
    row.bindNoCopy(3, bytes.data(), static_cast<int>(bytes.size()));
    row.bind(4, checksum(summary.id, seal, bytes));
    row.exec();
    row.reset();
}

void sum_up_all(SQLite::Database& database) {
    SQLite::Statement key(database, "SELECT key FROM jobs ORDER BY key");
    Rows rows(database);
    while (key.executeStep())
        rows.sum_up(integer_at(key, 0, 1, last_key));
}

void Rows::sum_up(JobKey key) {
    const KeptJob job = read(key);
    keep_summary(key, summary_of(as_told(job)), seal_of(job));
}

std::vector<JobKey> newest(SQLite::Database& database, std::size_t most) {
    SQLite::Statement row(database, "SELECT key FROM jobs ORDER BY opened DESC, key DESC LIMIT ?");
    row.bind(1, static_cast<std::int64_t>(most));
    return keys(row);
}

std::vector<JobKey> ever_at(SQLite::Database& database, const std::string& installation,
                            const std::string& area) {
    // Word for word what the index is of: else a million jobs' entries would be read.
    SQLite::Statement row(
        database,
        "SELECT key FROM jobs WHERE (installation = ?1 OR key IN (SELECT job FROM events INDEXED "
        "BY corrected_installations WHERE ((kind = 'about' AND what = 'installation') OR kind = "
        "'instead') AND value = ?1)) AND (?2 = '' OR area = ?2 COLLATE NOCASE OR EXISTS (SELECT 1 "
        "FROM events WHERE job = key AND ((kind = 'about' AND what = 'area') OR kind = 'instead') "
        "AND value = ?2 COLLATE NOCASE)) ORDER BY opened DESC, key DESC");
    row.bind(1, installation);
    row.bind(2, area);
    return keys(row);
}

std::vector<std::string> codes_like(SQLite::Database& database, const std::string& installation) {
    SQLite::Statement row(
        database,
        "SELECT DISTINCT installation FROM jobs UNION SELECT value FROM events INDEXED BY "
        "corrected_installations WHERE (kind = 'about' AND what = 'installation') OR kind = "
        "'instead'");
    const std::string wanted = plain_code(installation);
    std::vector<std::string> alike;
    while (row.executeStep())
        if (std::string code = text_at(row, 0, longest_value); plain_code(code) == wanted)
            alike.push_back(std::move(code));
    return alike;
}

std::string usual_spelling(SQLite::Database& database, const std::string& area) {
    const std::map<std::string, std::string> usual = usual_spellings(database);
    const auto found = usual.find(same_road(area));
    return found == usual.end() ? "" : found->second;
}

std::map<std::string, std::string> usual_spellings(SQLite::Database& database) {
    SQLite::Statement row(database,
                          "SELECT area FROM jobs GROUP BY area ORDER BY count(*) DESC, min(key)");
    std::map<std::string, std::string> usual;
    while (row.executeStep()) {
        std::string area = text_at(row, 0, longest_what);
        std::string road = same_road(area);
        usual.try_emplace(std::move(road), std::move(area));  // the first one holds
    }
    return usual;
}

std::optional<JobKey> newest_open(SQLite::Database& database) {
    SQLite::Statement row(database, "SELECT key FROM tallies JOIN jobs ON key = job WHERE open = 1 "
                                    "ORDER BY opened DESC, key DESC LIMIT 1");
    const std::vector<JobKey> open = keys(row);
    return open.empty() ? std::nullopt : std::optional(open.front());
}

std::vector<std::string> ids_beginning(SQLite::Database& database, const std::string& beginning,
                                       std::size_t most) {
    // A range, so that the index of the identifiers is used; '~' is behind every letter of one.
    SQLite::Statement row(
        database, "SELECT id FROM jobs WHERE id >= ?1 AND id < ?1 || '~' "
                  "AND substr(id, 1, length(?1)) = ?1 ORDER BY opened DESC, key DESC LIMIT ?2");
    row.bind(1, beginning);
    row.bind(2, static_cast<std::int64_t>(most));
    std::vector<std::string> found;
    while (row.executeStep())
        found.push_back(text_at(row, 0, longest_what));
    return found;
}

void each_by_time(SQLite::Database& database, const std::function<void(const KeptJob&)>& visit) {
    SQLite::Statement row(database, "SELECT key FROM jobs ORDER BY opened, id");
    Rows rows(database);
    while (row.executeStep())
        visit(rows.read(integer_at(row, 0, 1, last_key)));
}

void each_as_kept(SQLite::Database& database, const std::function<void(const KeptJob&)>& visit) {
    SQLite::Statement heads(database, select_heads("ORDER BY jobs.key"));
    SQLite::Statement events(database, "SELECT job, " + std::string(event_columns) +
                                           " FROM events ORDER BY job, " +
                                           std::string(event_order));
    events.executeStep();
    Gatherer gatherer(events, 1);
    while (heads.executeStep()) {
        RowHead head = head_at(heads);
        const JobKey key = head.key;
        visit(gatherer.gather(std::move(head), [&] {
            return events.hasRow() && events.getColumn(0).getInt64() == key;
        }));
    }
    if (events.hasRow())
        throw BadRow("an event belongs to no job");
}

void each_in_short(
    SQLite::Database& database,
    const std::function<void(const Summary&, const std::function<KeptJob()>& whole)>& visit) {
    SQLite::Statement row(
        database,
        "SELECT " + std::string(job_columns) +
            ", form, summary, summaries.checksum FROM jobs LEFT JOIN tallies ON tallies.job = "
            "jobs.key LEFT JOIN summaries ON summaries.job = jobs.key ORDER BY jobs.key");
    Rows rows(database);
    while (row.executeStep()) {
        const RowHead head = head_at(row);
        const Job& job = head.job.head;
        const std::function<KeptJob()> whole = [&] { return rows.read(head.key); };
        std::optional<Summary> summary;
        try {
            summary = summary_at(row, columns_of_a_head, job, head.seal);
            if (summary && head.open == summary->closed.has_value())
                throw BadRow("its summary is not of its entries");
        } catch (const BadRow& bad) {
            throw BadRow("job " + job.id + ": " + bad.what());
        }
        if (!summary)
            summary = summary_of(as_told(whole()));
        visit(*summary, whole);
    }
}

KeptSummaries::KeptSummaries(SQLite::Database& database)
    : row_(std::make_unique<SQLite::Statement>(
          database, "SELECT form, summary, checksum FROM summaries ORDER BY job")) {}
KeptSummaries::~KeptSummaries() = default;

void KeptSummaries::compare(const KeptJob& job, const Job& told) {
    const std::string of = "job " + told.id + ": ";
    if (!row_->executeStep())
        throw BadRow(of + "its summary is missing");
    if (row_->getColumn(0).getInt64() != summary_form)
        return;  // of another program, and so not read
    std::optional<Summary> kept;
    try {
        kept = summary_at(*row_, 0, job.head, seal_of(job));
    } catch (const BadRow& bad) {
        throw BadRow(of + bad.what());
    }
    if (kept != summary_of(told))
        throw BadRow(of + "its summary is not of its entries");
}

std::int64_t count_of_jobs(SQLite::Database& database) {
    return database.execAndGet("SELECT count(*) FROM jobs").getInt64();
}

}  // namespace knockwell
