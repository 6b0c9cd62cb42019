#include "base/same_road.hpp"
#include "base/words.hpp"
#include "job/call_back.hpp"
#include "job/course.hpp"
#include "job/identity.hpp"
#include "job/summary.hpp"
#include "ledger/inside.hpp"
#include "ledger/schema.hpp"
#include "ledger/unfinished.hpp"

#include <SQLiteCpp/Backup.h>
#include <sqlite3.h>

#include <algorithm>
#include <iterator>
#include <set>
#include <system_error>
#include <thread>
#include <utility>

namespace knockwell {
namespace {

constexpr std::size_t most_crossed = 1000;

bool comes_before(const KeptEvent& a, const KeptEvent& b) { return order_of(a, b) < 0; }

/// The entries of both, each once.
KeptJob united(const KeptJob& a, const KeptJob& b) {
    KeptJob both{a.head, {}};
    std::set_union(a.events.begin(), a.events.end(), b.events.begin(), b.events.end(),
                   std::back_inserter(both.events), comes_before);
    return both;
}

/// The entries that both have.
KeptJob shared(const KeptJob& a, const KeptJob& b) {
    KeptJob both{a.head, {}};
    std::set_intersection(a.events.begin(), a.events.end(), b.events.begin(), b.events.end(),
                          std::back_inserter(both.events), comes_before);
    return both;
}

bool is_about_a_code(const KeptEvent& kept) {
    return kept.event.kind == EventKind::about &&
           (kept.event.what == "area" || kept.event.what == "installation");
}

bool is_closed(const KeptJob& job) { return summary_of(as_told(job)).closed.has_value(); }

std::ptrdiff_t entries_but_closings(const KeptJob& job) {
    return std::count_if(job.events.begin(), job.events.end(), [](const KeptEvent& kept) {
        return kept.event.kind != EventKind::closed;
    });
}

/// Whether a job is closed, and nobody who closed it had all that it is closed on now.
bool is_closed_unweighed(const KeptJob& both, const KeptJob& old, const KeptJob& fresh) {
    const auto weighed = [&](const KeptJob& side) {
        return entries_but_closings(side) == entries_but_closings(both) && is_closed(side);
    };
    return is_closed(both) && !weighed(old) && !weighed(fresh);
}

/// As it stands after all corrections.
std::string area_of(const KeptJob& job) {
    return std::any_of(job.events.begin(), job.events.end(), is_about_a_code)
               ? summary_of(as_told(job)).area
               : job.head.area;
}

/// What is wrong with a code as it stands after all corrections. Many a sheet and older ledger
/// knows no areas, which is told of none.
std::string odd_code_of(const KeptJob& job) {
    const auto odd = [](const std::string& area, const std::string& installation) {
        std::string why = area.empty() ? "" : against_code("area", area);
        return why.empty() ? against_code("installation", installation) : why;
    };
    std::string why = odd(job.head.area, job.head.installation);
    if (std::none_of(job.events.begin(), job.events.end(), is_about_a_code))
        return why;
    const Summary now = summary_of(as_told(job));
    return odd(now.area, now.installation);
}

bool is_a_link(const KeptEvent& kept) {
    return kept.event.kind == EventKind::about && kept.event.what == "call-back-of";
}

/// The earlier job of which this one is called a call-back; empty where it is not.
std::string earlier_of(const KeptJob& job) {
    if (std::none_of(job.events.begin(), job.events.end(), is_a_link))
        return {};
    return summary_of(as_told(job)).call_back_of.value_or("");
}

/// Of most links the jobs' own rows say enough, and no entry is read.
bool plainly_fits(const Job& job, const Job& earlier) {
    return job.id != earlier.id && earlier.opened <= job.opened && job.area == earlier.area &&
           job.installation == earlier.installation;
}

/// Puts jobs from elsewhere into the tables.
class Taker {
public:
    /// Why a job that was handed cannot be kept.
    struct Against {
        std::size_t nth = 0;
        std::string job;  // its identifier
        std::string why;
    };

    Taker(SQLite::Database& database, bool grows, CameIn came_in)
        : database_(database), rows_(database), grows_(grows), came_in_(std::move(came_in)) {}

    /// How many were handed.
    [[nodiscard]] std::size_t count() const { return handed_; }

    /// Why it cannot be kept; empty where it is kept, or was there.
    std::string take(const KeptJob& job) {
        ++handed_;
        const std::optional<JobKey> key = rows_.key_of(job.head.id);
        if (!key) {
            rows_.insert(job);
            ++taken_.new_jobs;
            taken_.entries += job.events.size();
            areas_.insert(area_of(job));
            note(nullptr, job);
            return {};
        }
        const KeptJob old = rows_.read(*key);
        if (old == job) {
            ++taken_.same_jobs;
            return {};
        }
        if (old.head != job.head)
            return "job " + job.head.id +
                   " is there already with another area, installation, "
                   "knowledge or time of opening";
        if (!grows_)
            return "job " + job.head.id +
                   " is there already and says otherwise; see: knockwell jobs correct";
        const KeptJob both = united(old, job);
        if (both.events.size() == old.events.size()) {
            ++taken_.same_jobs;
            return {};
        }
        rows_.add_missing(*key, both, old);
        ++taken_.grown_jobs;
        taken_.entries += both.events.size() - old.events.size();
        note(&old, both);
        if (is_closed_unweighed(both, old, job))
            taken_.closed_unweighed.push_back(job.head.id);
        if (both.events.size() > job.events.size() && taken_.crossed.size() < most_crossed)
            taken_.crossed.push_back({as_told(shared(old, job)), as_told(old), as_told(job)});
        return {};
    }

    /// At the end: jobs that are called call-backs of what they cannot be. An earlier job that
    /// `may_be_refused` is not missed.
    [[nodiscard]] std::vector<Against>
    against_call_backs(const std::function<bool(const std::string&)>& may_be_refused = {}) {
        std::vector<Against> all;
        for (const Link& link : links_)
            if (std::string why = against(link, may_be_refused); !why.empty())
                all.push_back({link.nth, link.job, std::move(why)});
        return all;
    }

    /// At the end: what came in all together.
    [[nodiscard]] TakenIn taken() const {
        TakenIn all = taken_;
        if (areas_.empty())
            return all;
        const auto usual = usual_spellings(database_);  // at once: every job may have its own
        for (const std::string& area : areas_)
            if (const auto at = usual.find(same_road(area));
                at != usual.end() && at->second != area)
                all.other_spellings.push_back({area, at->second});
        return all;
    }

private:
    struct Link {
        std::size_t nth = 0;
        std::string job;
        std::string earlier;
    };

    /// One that is new or has grown, as it stands now.
    void note(const KeptJob* before, const KeptJob& job) {
        note_odd_code(job);
        note_link(job);
        if (came_in_)
            came_in_(before, job);
    }

    void note_link(const KeptJob& job) {
        if (std::string earlier = earlier_of(job); !earlier.empty())
            links_.push_back({handed_ - 1, job.head.id, std::move(earlier)});
    }

    std::string against(const Link& link,
                        const std::function<bool(const std::string&)>& may_be_refused) {
        const std::optional<JobKey> job = rows_.key_of(link.job);
        const std::optional<JobKey> earlier = rows_.key_of(link.earlier);
        if (!earlier && may_be_refused && may_be_refused(link.earlier))
            return {};
        if (!job || !earlier)
            return "the job that it is called a call-back of is neither in here nor in the ledger; "
                   "bring it in as well, or leave the call-back out";
        if (link.job != link.earlier && leads_back(link, rows_.head(*job).opened))
            return "it is called a call-back of a job that is one of it; leave one of the two out";
        if (plainly_fits(rows_.head(*job), rows_.head(*earlier)))
            return {};
        const std::string why =
            against_call_back(told(rows_.read(*job)), told(rows_.read(*earlier)));
        return why.empty() ? "" : "it is called a call-back of a job, but " + why;
    }

    /// Whether the earlier jobs of a job come back to it, as only jobs of one moment can.
    bool leads_back(const Link& link, std::int64_t opened) {
        constexpr std::size_t most_steps = 100;
        std::string at = link.earlier;
        for (std::size_t step = 0; step < most_steps; ++step) {
            const std::optional<JobKey> key = rows_.key_of(at);
            if (!key || rows_.head(*key).opened < opened)
                return false;
            at = earlier_of(rows_.read(*key));
            if (at == link.job)
                return true;
        }
        return false;
    }

    void note_odd_code(const KeptJob& job) {
        if (std::string why = odd_code_of(job); !why.empty())
            taken_.add({0, 0, 0, 0, 1, {{job.head.id, std::move(why)}}});
    }

    SQLite::Database& database_;
    Rows rows_;
    bool grows_;
    CameIn came_in_;
    TakenIn taken_;
    std::size_t handed_ = 0;
    std::vector<Link> links_;      // of the jobs that came in
    std::set<std::string> areas_;  // of the new jobs
};

std::string against_no_file(const std::filesystem::path& file) {
    std::error_code none;
    const std::filesystem::file_status status = std::filesystem::status(file, none);
    if (std::filesystem::is_regular_file(status))
        return {};
    if (std::filesystem::is_directory(status))
        return "it is a folder";
    return std::filesystem::exists(status) ? "it is no file that holds a ledger"
                                           : "there is no such file";
}

/// A ledger that is only read. An older one is brought up to date in a copy in memory.
class Other {
public:
    explicit Other(const std::filesystem::path& file) : file_(file) {
        tried_with(file_, "open the other ledger", [&] {
            for (const auto& against : {against_no_file, against_no_bytes, against_few_bytes})
                if (const std::string why = against(file); !why.empty())
                    throw LedgerError(sentence(file, "open the other ledger", why));
            database_ = std::make_unique<SQLite::Database>(file.string(), SQLite::OPEN_READONLY);
            distrust(*database_);
            moment_ = std::make_unique<SQLite::Transaction>(*database_);
            if (const std::string why = against_file(*database_); !why.empty())
                throw LedgerError(sentence(file, "open the other ledger", why));
            const int version = pragma(*database_, "user_version");
            if (version == 0)
                throw LedgerError(sentence(file, "open the other ledger", "there is no job in it"));
            if (version != schema_version())
                bring_up_to_date_in_memory(version);
        });
    }

    void each(const std::function<void(const KeptJob&)>& visit, const Progress& progress) const {
        Counter counter(progress, static_cast<std::size_t>(count_of_jobs(*database_)));
        each_as_kept(*database_, [&](const KeptJob& job) {
            (void)told(job);
            visit(job);
            counter.one_more();
        });
    }

private:
    void bring_up_to_date_in_memory(int version) {
        auto copy = std::make_unique<SQLite::Database>(in_memory, SQLite::OPEN_READWRITE);
        if (SQLite::Backup(*copy, *database_).executeStep() != SQLITE_DONE)
            throw LedgerError(sentence(file_, "open the other ledger",
                                       "another program is using it; try again when that is done"));
        moment_.reset();
        database_ = std::move(copy);
        distrust(*database_);
        moment_ = std::make_unique<SQLite::Transaction>(*database_);
        bring_up_to_date(*database_, version);
    }

    std::filesystem::path file_;
    std::unique_ptr<SQLite::Database> database_;
    std::unique_ptr<SQLite::Transaction> moment_;  // reading all of it at one moment
};

/// While jobs come in by the hundred thousand, the pages of two indexes are written to in no order;
/// with SQLite's usual 2 MiB each of them would go to the disk and back for every job. Given back
/// at the end.
class RoomForMany {
public:
    explicit RoomForMany(SQLite::Database& database)
        : database_(&database), usual_(pragma(database, "cache_size")) {
        set(-256 * 1024);  // KiB; taken only as far as it is used
    }
    ~RoomForMany() { set(usual_); }
    RoomForMany(const RoomForMany&) = delete;
    RoomForMany& operator=(const RoomForMany&) = delete;
    RoomForMany(RoomForMany&&) = delete;
    RoomForMany& operator=(RoomForMany&&) = delete;

private:
    void set(int size) const noexcept {
        (void)database_->tryExec("PRAGMA cache_size = " + std::to_string(size));
    }
    SQLite::Database* database_;
    int usual_;
};

constexpr int pages_at_once = 4096;

void copy_pages(SQLite::Database& from, const std::filesystem::path& to,
                std::chrono::milliseconds patience, const Progress& progress) {
    SQLite::Database copy(to.string(), SQLite::OPEN_READWRITE);
    SQLite::Backup backup(copy, from);
    auto give_up = std::chrono::steady_clock::now() + patience;
    while (true) {
        const int step = backup.executeStep(pages_at_once);
        if (step == SQLITE_DONE)
            return;
        const auto all = static_cast<std::size_t>(backup.getTotalPageCount());
        if (step == SQLITE_OK) {
            give_up = std::chrono::steady_clock::now() + patience;
            if (progress)
                progress(all - static_cast<std::size_t>(backup.getRemainingPageCount()), all);
            continue;
        }
        if (std::chrono::steady_clock::now() >= give_up)
            throw SQLite::Exception("the copy cannot go on", step);
        std::this_thread::sleep_for(std::chrono::milliseconds(5));
    }
}

/// What is wrong with the copy of a ledger of so many jobs; empty where it is whole.
std::string against_copy(const std::filesystem::path& file, std::size_t jobs) {
    try {
        const Ledger copy(file, std::chrono::seconds(5), NoLedger::refuse);
        copy.verify();
        if (const std::size_t there = copy.count(); there != jobs)
            return "the copy has " + std::to_string(there) + " of " + std::to_string(jobs) +
                   " jobs";
    } catch (const LedgerError& error) {
        return std::string("the copy is not whole: ") + error.what();
    }
    return {};
}

}  // namespace

void TakenIn::add(const TakenIn& more) {
    constexpr std::size_t most_named = 5;
    for (const Crossed& one : more.crossed)
        if (crossed.size() < most_crossed)
            crossed.push_back(one);
    new_jobs += more.new_jobs;
    grown_jobs += more.grown_jobs;
    same_jobs += more.same_jobs;
    entries += more.entries;
    odd_codes += more.odd_codes;
    for (const OddCode& one : more.first_odd)
        if (first_odd.size() < most_named)
            first_odd.push_back(one);
    other_spellings.insert(other_spellings.end(), more.other_spellings.begin(),
                           more.other_spellings.end());
    closed_unweighed.insert(closed_unweighed.end(), more.closed_unweighed.begin(),
                            more.closed_unweighed.end());
}

std::optional<TakenIn> Ledger::take_in(const Intake& intake) {
    auto in = inside_->tried("take jobs in", [&]() -> std::optional<TakenIn> {
        const RoomForMany room(inside_->database);
        SQLite::Transaction all(inside_->database, SQLite::TransactionBehavior::IMMEDIATE);
        Taker taker(inside_->database, intake.grows, intake.came_in);
        while (const std::optional<KeptJob> job = intake.next()) {
            if (const std::string why = taker.take(*job); !why.empty())
                intake.refuse(taker.count() - 1, escape_controls(why));
        }
        for (const Taker::Against& one : taker.against_call_backs(intake.may_be_refused))
            intake.refuse(one.nth, escape_controls(one.why));
        if (!intake.keep())
            return std::nullopt;
        TakenIn taken = taker.taken();  // it reads; after the commit an error would belie it
        all.commit();
        return taken;
    });
    if (in)
        inside_->give_its_name();
    return in;
}

TakenIn Ledger::merge(const std::filesystem::path& other, const Progress& progress,
                      const CameIn& came_in) {
    const Other from(other);
    TakenIn in = inside_->tried("merge " + other.string(), [&] {
        const RoomForMany room(inside_->database);
        SQLite::Transaction all(inside_->database, SQLite::TransactionBehavior::IMMEDIATE);
        Taker taker(inside_->database, true, came_in);
        tried_with(other, "read the other ledger", [&] {
            from.each(
                [&](const KeptJob& job) {
                    // What goes wrong here is this ledger's doing.
                    const std::string why =
                        inside_->tried("merge " + other.string(), [&] { return taker.take(job); });
                    inside_->refuse("merge " + other.string(), why);
                },
                progress);
        });
        for (const Taker::Against& one : taker.against_call_backs())
            inside_->refuse("merge " + other.string(),
                            "job " + one.job + ": " + one.why +
                                "; put it right in that ledger: knockwell jobs correct " +
                                short_id(one.job) + " --no-call-back --ledger " + other.string());
        TakenIn taken = taker.taken();  // it reads; after the commit an error would belie it
        all.commit();
        return taken;
    });
    inside_->give_its_name();
    return in;
}

void Ledger::backup(const std::filesystem::path& copy, const Progress& progress) const {
    const std::string deed = "back up the ledger";
    const auto fail = [&](const std::string& why) { throw LedgerError(sentence(copy, deed, why)); };
    std::error_code none;
    if (std::filesystem::exists(copy, none))
        fail("there is a file of that name already");
    Unfinished unfinished(copy);
    if (const std::error_code error = unfinished.make())
        fail(error.message());
    const auto jobs = inside_->tried(deed, [&] {
        const SQLite::Transaction one_moment(inside_->database);
        const auto count = static_cast<std::size_t>(count_of_jobs(inside_->database));
        copy_pages(inside_->database, unfinished.part(), inside_->patience, progress);
        return count;
    });
    if (const std::string why = against_copy(unfinished.part(), jobs); !why.empty())
        fail(why);
    if (const std::error_code error = unfinished.finish())
        fail(error == std::errc::file_exists
                 ? "a file of that name has come there meanwhile; say another name"
                 : error.message());
}

}  // namespace knockwell
