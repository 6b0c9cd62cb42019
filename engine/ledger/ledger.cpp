#include "base/same_road.hpp"
#include "base/words.hpp"
#include "job/identity.hpp"
#include "job/summary.hpp"
#include "ledger/inside.hpp"

#include <algorithm>
#include <set>
#include <tuple>
#include <utility>

namespace knockwell {
namespace {

JobLine line_of(const Job& job) {
    const Summary now = summary_of(job);  // the codes as they were corrected last
    return {job.id,
            now.area,
            now.installation,
            job.opened,
            now.closed.has_value(),
            job.events.size(),
            now.complaint,
            now.outcome,
            now.causes,
            now.call_back_of.value_or("")};
}

/// `road`: same_road() of the area that is wanted.
bool is_wanted(const JobsWanted& wanted, const std::string& road, const Summary& job) {
    const auto fits = [](const std::string& asked, const std::string& is) {
        return asked.empty() || asked == is;
    };
    const bool named = wanted.cause.empty() ||
                       std::any_of(job.causes.begin(), job.causes.end(),
                                   [&](const auto& one) { return one.cause == wanted.cause; });
    const bool made = wanted.repair.empty() || std::find(job.repairs.begin(), job.repairs.end(),
                                                         wanted.repair) != job.repairs.end();
    return (wanted.area.empty() || road == same_road(job.area)) &&
           fits(wanted.installation, job.installation) && named && made &&
           (!wanted.call_backs || job.call_back_of) &&
           (!wanted.since || job.opened >= *wanted.since) &&
           (!wanted.before || job.opened < *wanted.before);
}

/// Identifiers of the jobs that another one is a call-back of.
std::set<std::string> ids_called_back(SQLite::Database& database) {
    std::set<std::string> ids;
    each_in_short(database, [&](const Summary& job, const auto&) {
        if (job.call_back_of)
            ids.insert(*job.call_back_of);
    });
    return ids;
}

/// One of many jobs that are wanted: when it was opened, and which of the rows it is.
struct Wanted {
    std::int64_t opened = 0;
    std::size_t nth = 0;
    std::string id;
};

/// Newest first; of one moment the one that was kept last.
void keep_newest(std::vector<Wanted>& all, std::size_t most) {
    std::sort(all.begin(), all.end(), [](const Wanted& a, const Wanted& b) {
        return std::tie(b.opened, b.nth) < std::tie(a.opened, a.nth);
    });
    all.resize(std::min(all.size(), most));
}

/// Corrections name entries by number, a closing is weighed by what was found, and a job that was
/// closed meanwhile takes nothing more. (What came in by a merge may stand anywhere among what was
/// seen.)
bool wants_it_as_seen(const std::vector<Event>& events, const KeptJob& job) {
    const auto weighed = [](const Event& event) {
        return is_correction(event.kind) || event.kind == EventKind::closed;
    };
    return std::any_of(events.begin(), events.end(), weighed) || is_closed(as_told(job));
}

}  // namespace

Ledger::Ledger(const std::filesystem::path& file, std::chrono::milliseconds patience,
               NoLedger missing) {
    std::unique_ptr<Unfinished> begun;
    if (file != in_memory) {
        std::error_code unseen;
        if (std::filesystem::exists(file, unseen)) {
        } else if (missing == NoLedger::refuse) {
            throw LedgerError(sentence(file, "open the ledger",
                                       unseen ? unseen.message() : "there is no such file"));
        } else if (missing == NoLedger::make_with_jobs) {
            begun = begun_database(file);
        } else {
            make_database(file);
        }
        if (!begun)
            look_at(file);
    }
    try {
        inside_ = std::make_unique<Inside>(file, patience, std::move(begun));
    } catch (const SQLite::Exception& error) {
        throw LedgerError(sentence(file, "open the ledger", in_words(error)));
    }
    inside_->tried("open the ledger", [&] { inside_->prepare(); });
}

Ledger::~Ledger() = default;
Ledger::Ledger(Ledger&&) noexcept = default;
Ledger& Ledger::operator=(Ledger&&) noexcept = default;

bool Ledger::has_its_name() const { return !inside_->unnamed; }

void Ledger::begin(const Job& job) {
    inside_->tried("keep a new job", [&] {
        if (!is_job_id(job.id))
            inside_->refuse("keep a new job", "its identifier is none");
        SQLite::Transaction all(inside_->database, SQLite::TransactionBehavior::IMMEDIATE);
        Rows(inside_->database).insert(stamped(job));
        all.commit();
    });
    inside_->give_its_name();
}

Job Ledger::append(const std::string& job_id, const std::vector<Event>& events,
                   std::optional<std::size_t> seen) {
    const std::string deed = "add to job " + job_id;
    return inside_->tried(deed, [&] {
        // The lock comes before the reading, so that two programs do not go on from the same event.
        SQLite::Transaction all(inside_->database, SQLite::TransactionBehavior::IMMEDIATE);
        Rows rows(inside_->database);
        const std::optional<JobKey> key = rows.key_of(job_id);
        if (!key)
            inside_->refuse(deed, "there is no such job");
        KeptJob job = rows.read(*key);
        const std::size_t already = job.events.size();
        if (seen && *seen != already && wants_it_as_seen(events, job))
            inside_->refuse(deed, "somebody added to it meanwhile; look at it again");
        add_stamped(job, events);
        rows.add(*key, job, already);
        all.commit();
        return as_told(job);
    });
}

FoundJob Ledger::find(const std::string& id_or_beginning) const {
    return inside_->tried("look up a job", [&]() -> FoundJob {
        const std::string wanted = small_letters(id_or_beginning);
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
        Rows rows(inside_->database);
        const std::optional<JobKey> key = rows.key_of(fitting.front());
        if (!key)
            throw BadRow("job " + fitting.front() + " is listed but not found");
        return told(rows.read(*key));
    });
}

std::optional<Job> Ledger::current() const {
    return inside_->tried("look up the open job", [&]() -> std::optional<Job> {
        SQLite::Transaction one_moment(inside_->database);
        const std::optional<JobKey> key = newest_open(inside_->database);
        if (!key)
            return std::nullopt;
        return told(Rows(inside_->database).read(*key));
    });
}

std::vector<JobLine> Ledger::lines_of(const std::vector<JobKey>& keys) const {
    Rows rows(inside_->database);
    std::vector<JobLine> lines;
    lines.reserve(keys.size());
    for (const JobKey key : keys)
        lines.push_back(line_of(told(rows.read(key))));
    return lines;
}

std::vector<JobLine> Ledger::list(std::size_t most) const {
    return inside_->tried("list the jobs", [&] {
        SQLite::Transaction one_moment(inside_->database);
        return lines_of(newest(inside_->database, most));
    });
}

JobsFound Ledger::list(const JobsWanted& wanted, std::size_t most) const {
    return inside_->tried("list the jobs", [&] {
        SQLite::Transaction one_moment(inside_->database);
        Rows rows(inside_->database);
        JobsFound found;
        std::vector<Wanted> newest;
        std::set<std::pair<std::string, std::string>> houses;
        const std::set<std::string> called_back =
            wanted.called_back ? ids_called_back(inside_->database) : std::set<std::string>();
        const std::string road = same_road(wanted.area);
        const auto look_at = [&](const Summary& job) {
            if (!is_wanted(wanted, road, job) ||
                (wanted.called_back && !called_back.contains(job.id)))
                return;
            newest.push_back({job.opened, found.jobs++, job.id});
            found.closed += job.closed ? 1U : 0U;
            if (job.closed)
                houses.emplace(same_road(job.area), job.installation);
            constexpr std::size_t room = 10000;  // a million of them need no more than this
            if (newest.size() > most + room)
                keep_newest(newest, most);
        };
        if (wanted.installation.empty()) {
            knockwell::each_in_short(inside_->database,
                                     [&](const Summary& job, const auto&) { look_at(job); });
        } else {
            std::vector<JobKey> keys = knockwell::ever_at(inside_->database, wanted.installation);
            std::reverse(keys.begin(), keys.end());  // those kept last come last, as above
            for (const JobKey key : keys)
                look_at(summary_of(told(rows.read(key))));
        }
        keep_newest(newest, most);
        found.houses = houses.size();
        for (const Wanted& one : newest)
            if (const std::optional<JobKey> key = rows.key_of(one.id))
                found.newest.push_back(line_of(told(rows.read(*key))));
        return found;
    });
}

std::vector<JobLine> Ledger::at_installation(const std::string& installation, std::size_t most,
                                             const std::string& area) const {
    return inside_->tried("list the jobs of an installation", [&] {
        SQLite::Transaction one_moment(inside_->database);
        Rows rows(inside_->database);
        std::vector<JobLine> lines;
        const std::string road = small_letters(area);
        for (const JobKey key : knockwell::ever_at(inside_->database, installation, area)) {
            if (lines.size() == most)
                break;
            JobLine line = line_of(told(rows.read(key)));
            if (line.installation == installation &&
                (road.empty() || small_letters(line.area) == road))
                lines.push_back(std::move(line));
        }
        return lines;
    });
}

std::vector<JobLine> Ledger::ever_at(const std::string& installation, std::size_t most,
                                     const std::string& area) const {
    return inside_->tried("list the jobs of an installation", [&] {
        SQLite::Transaction one_moment(inside_->database);
        std::vector<JobKey> keys = knockwell::ever_at(inside_->database, installation, area);
        keys.resize(std::min(keys.size(), most));
        return lines_of(keys);
    });
}

std::vector<std::string> Ledger::codes_like(const std::string& installation) const {
    return inside_->tried("look up a house",
                          [&] { return knockwell::codes_like(inside_->database, installation); });
}

std::string Ledger::usual_spelling(const std::string& area) const {
    return inside_->tried("look up an area",
                          [&] { return knockwell::usual_spelling(inside_->database, area); });
}

std::size_t Ledger::count() const {
    return inside_->tried("count the jobs", [&] {
        return static_cast<std::size_t>(count_of_jobs(inside_->database));
    });
}

void Ledger::verify(const Progress& progress) const {
    inside_->tried("verify the ledger", [&] {
        SQLite::Database& database = inside_->database;
        SQLite::Transaction one_moment(database);
        const std::string checked = database.execAndGet("PRAGMA integrity_check(1)").getString();
        if (checked != "ok")
            throw BadRow(checked);
        SQLite::Statement orphans(database, "PRAGMA foreign_key_check");
        if (orphans.executeStep())
            throw BadRow("a row belongs to no job");
        Counter counter(progress, static_cast<std::size_t>(count_of_jobs(database)));
        KeptSummaries summaries(database);
        each_as_kept(database, [&](const KeptJob& job) {
            summaries.compare(job, told(job));
            counter.one_more();
        });
    });
}

void Ledger::each(const std::function<void(const KeptJob&)>& visit,
                  const std::function<void(std::size_t all)>& begin) const {
    inside_->tried("read the ledger", [&] {
        SQLite::Transaction one_moment(inside_->database);
        if (begin)
            begin(static_cast<std::size_t>(count_of_jobs(inside_->database)));
        each_by_time(inside_->database, visit);
    });
}

void Ledger::each_in_short(
    const std::function<void(const Summary&, const std::function<Job()>& whole)>& visit) const {
    inside_->tried("read the ledger", [&] {
        SQLite::Transaction one_moment(inside_->database);
        knockwell::each_in_short(
            inside_->database, [&](const Summary& summary, const std::function<KeptJob()>& whole) {
                visit(summary, [&] { return told(whole()); });
            });
    });
}

}  // namespace knockwell
