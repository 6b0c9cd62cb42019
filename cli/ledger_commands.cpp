#include "base/next_line.hpp"
#include "base/words.hpp"
#include "cli/commands.hpp"
#include "cli/dangers.hpp"
#include "cli/job_commands.hpp"
#include "cli/new_file.hpp"
#include "cli/progress.hpp"
#include "cli/show_ledger.hpp"
#include "job/identity.hpp"
#include "ledger/exchange.hpp"
#include "ledger/spreadsheet.hpp"
#include "review/demo_shop.hpp"

#include <algorithm>
#include <cerrno>
#include <fstream>
#include <optional>
#include <ostream>
#include <stdexcept>
#include <system_error>
#include <utility>
#include <variant>
#include <vector>

namespace knockwell {
namespace {

[[noreturn]] void fail(const std::string& file, const std::string& deed, const std::string& why) {
    throw std::runtime_error(file + ": cannot " + deed + ": " + why);
}

std::ifstream opened(const std::string& file, const std::string& deed) {
    std::error_code none;
    if (std::filesystem::is_directory(file, none))
        fail(file, deed, "it is a folder");
    std::ifstream in(file, std::ios::binary);
    if (!in)
        fail(file, deed, std::generic_category().message(errno));
    return in;
}

/// What stands in a file at most 4 MiB long; of a longer one a byte more, so that it is refused.
std::string text_of(const std::string& file) {
    const std::string deed = "read the mapping";
    constexpr std::size_t most = std::size_t{4} << 20U;
    std::ifstream in = opened(file, deed);
    std::string text(most + 1, '\0');
    in.read(text.data(), static_cast<std::streamsize>(text.size()));
    if (in.bad())
        fail(file, deed, "it cannot be read to the end");
    text.resize(static_cast<std::size_t>(in.gcount()));
    return text;
}

// ---- export

void write_all(const Ledger& ledger, bool csv, std::ostream& out, const Progress& progress) {
    std::size_t all = 0;
    std::size_t done = 0;
    ledger.each(
        [&](const KeptJob& job) {
            out << (csv ? sheet_row(as_told(job)) : to_line(job)) << '\n';
            if (progress && ++done % 1000 == 0)
                progress(done, all);
        },
        [&](std::size_t count) {
            all = count;
            out << (csv ? sheet_heading() : exchange_head(all)) << '\n';
        });
}

// ---- import

/// Lines of a file, with the way through it. It is opened once: what comes through a pipe can be
/// read once only.
class Lines {
public:
    explicit Lines(const std::string& file) : in_(opened(file, "import")) {
        std::error_code none;
        const auto size = std::filesystem::file_size(file, none);
        size_ = none ? 0 : static_cast<std::size_t>(size);
    }

    /// From now on to `progress`; of a pipe nobody knows how much is to come.
    void tell(Progress progress) {
        if (size_ > 0)
            progress_ = std::move(progress);
    }
    [[nodiscard]] bool next(std::string& line) {
        if (!next_line(in_, line, longest_line))
            return false;
        ++number_;
        way();
        return true;
    }
    void way() {
        if (progress_ && ++ticks_ % 1000 == 0)
            progress_(static_cast<std::size_t>(in_.tellg()), size_);
    }
    [[nodiscard]] std::size_t number() const { return number_; }
    [[nodiscard]] std::istream& in() { return in_; }

private:
    std::ifstream in_;
    Progress progress_;
    std::size_t size_ = 0;
    std::size_t number_ = 0;
    std::size_t ticks_ = 0;
};

/// What came of an import, line by line where it was refused.
struct Imported {
    std::optional<TakenIn> taken;  // nothing: nothing is kept
    std::vector<RefusedRow> refused;
};

/// All of it, unless a line is refused or the file ends early.
void take_in(Ledger& ledger, Intake& intake, Lines& lines, const std::string& file,
             const CameIn& came_in, Imported& result) {
    intake.came_in = came_in;
    intake.keep = [&] {
        if (lines.in().bad())
            fail(file, "import", "it cannot be read to the end");
        return result.refused.empty();
    };
    result.taken = ledger.take_in(intake);
    // Some are only known to be wrong when all are there.
    std::stable_sort(result.refused.begin(), result.refused.end(),
                     [](const RefusedRow& a, const RefusedRow& b) { return a.line < b.line; });
}

/// The jobs that the first line promises.
std::variant<std::size_t, NoJobLine> promised_by(Lines& lines) {
    std::string line;
    if (!lines.next(line))
        return NoJobLine{"it is empty"};
    auto head = from_exchange_head(line);
    if (auto* none = std::get_if<NoJobLine>(&head))
        none->says += "; a spreadsheet wants --map";
    return head;
}

/// A file of jobs, read as far as its head.
class JobsFile {
public:
    explicit JobsFile(std::string file) : name_(std::move(file)), lines_(name_) {
        const auto head = promised_by(lines_);
        if (const auto* none = std::get_if<NoJobLine>(&head))
            wrong_ = none->says;
        else
            promised_ = std::get<std::size_t>(head);
    }
    /// A spreadsheet; both must outlive it.
    JobsFile(std::string file, const SheetMap& map, const Knowledge& knowledge, std::int64_t now)
        : name_(std::move(file)), lines_(name_) {
        sheet_.emplace(lines_.in(), map, knowledge, now);
        wrong_ = sheet_->wrong();
    }
    ~JobsFile() = default;
    JobsFile(const JobsFile&) = delete;
    JobsFile& operator=(const JobsFile&) = delete;
    JobsFile(JobsFile&&) = delete;
    JobsFile& operator=(JobsFile&&) = delete;

    /// Why nothing of it can be imported, as its head says; empty where it can.
    [[nodiscard]] const std::string& wrong() const { return wrong_; }

    [[nodiscard]] Imported import_to(Ledger& ledger, const CameIn& came_in, Progress progress) {
        lines_.tell(std::move(progress));
        return sheet_ ? import_sheet(ledger, came_in) : import_lines(ledger, came_in);
    }

private:
    Imported import_lines(Ledger& ledger, const CameIn& came_in);
    Imported import_sheet(Ledger& ledger, const CameIn& came_in);

    std::string name_;
    Lines lines_;
    std::size_t promised_ = 0;          // of JSON Lines
    std::optional<SheetReader> sheet_;  // of a spreadsheet
    std::string wrong_;
};

Imported JobsFile::import_lines(Ledger& ledger, const CameIn& came_in) {
    Imported result;
    std::vector<std::size_t> at;  // the line of each job
    std::string line;
    bool unread = false;  // a line whose job is not known
    Intake intake;
    intake.may_be_refused = [&](const std::string& /*job*/) { return unread; };
    intake.next = [&]() -> std::optional<KeptJob> {
        while (lines_.next(line)) {
            auto job = from_line(line);
            if (auto* kept = std::get_if<KeptJob>(&job)) {
                at.push_back(lines_.number());
                return std::move(*kept);
            }
            unread = true;
            result.refused.push_back({lines_.number(), std::get<NoJobLine>(job).says});
        }
        if (const std::size_t jobs = lines_.number() - 1; jobs != promised_) {
            unread = unread || jobs < promised_;
            result.refused.push_back(
                {lines_.number(), "it ends after " + std::to_string(jobs) + " jobs, and " +
                                      std::to_string(promised_) + " are promised"});
        }
        return std::nullopt;
    };
    intake.refuse = [&](std::size_t nth, const std::string& why) {
        result.refused.push_back({at.at(nth), why});
    };
    take_in(ledger, intake, lines_, name_, came_in, result);
    return result;
}

Imported JobsFile::import_sheet(Ledger& ledger, const CameIn& came_in) {
    Imported result;
    std::vector<std::size_t> at;  // the line of each job
    Intake intake;
    intake.grows = false;
    intake.may_be_refused = [&](const std::string& job) { return sheet_->may_be_refused(job); };
    intake.next = [&]() -> std::optional<KeptJob> {
        while (auto row = sheet_->next()) {
            lines_.way();
            if (auto* kept = std::get_if<KeptJob>(&*row)) {
                at.push_back(sheet_->line());
                return std::move(*kept);
            }
            for (RefusedRow& one : std::get<1>(*row))
                result.refused.push_back(std::move(one));
        }
        return std::nullopt;
    };
    intake.refuse = [&](std::size_t nth, const std::string& why) {
        result.refused.push_back({at.at(nth), why});
    };
    take_in(ledger, intake, lines_, name_, came_in, result);
    return result;
}

CameIn looked_at_by(Incoming& incoming) {
    return [&incoming](const KeptJob* before, const KeptJob& now) {
        const std::optional<Job> was =
            before == nullptr ? std::nullopt : std::optional(as_told(*before));
        incoming.look_at(was ? &*was : nullptr, as_told(now));
    };
}

/// What came in from all files.
struct Met {
    TakenIn taken;
    std::vector<std::string> warnings;  // each once

    void add(const std::optional<Shelf>& shelf, const Ledger& ledger, const TakenIn& more,
             const Incoming& incoming) {
        taken.add(more);
        tell(incoming.told());
        if (shelf)
            tell(dangers_crossed(*shelf, ledger, more.crossed));
    }
    void tell(const std::vector<std::string>& sentences) {
        for (const std::string& sentence : sentences)
            if (std::find(warnings.begin(), warnings.end(), sentence) == warnings.end())
                warnings.push_back(sentence);
    }
};

std::string current_id(const Ledger& ledger) {
    const std::optional<Job> job = ledger.current();
    return job ? job->id : "";
}

/// That a command without --job means another job than before: one that came in. Nothing where it
/// does not, or meant none.
std::vector<std::string> meant_now(const Ledger& ledger, const std::string& before) {
    const std::optional<Job> now = ledger.current();
    if (!now || before.empty() || now->id == before)
        return {};
    return {"Without --job a command means the job opened last: that is " + job_line(*now) +
            " now, which came in, and no more " + short_id(before) + "."};
}

void merge_one(const Desk& desk, Ledger& into, const std::optional<Shelf>& shelf,
               const std::string& file, Met& met) {
    Incoming incoming(shelf, desk.now);
    TakenIn taken;
    {
        ProgressBar bar(desk, "merging");
        taken = into.merge(file, bar.progress(), looked_at_by(incoming));
    }
    met.add(shelf, into, taken, incoming);
}

}  // namespace

Status carry_out(const LedgerVerifyCommand& /*verify*/, const Desk& desk) {
    const auto ledger = open_ledger(desk, false);
    if (const auto* none = std::get_if<NoJob>(&ledger))
        return complain(desk, *none);
    const auto& file = std::get<Ledger>(ledger);
    try {
        ProgressBar bar(desk, "verifying");
        file.verify(bar.progress());
    } catch (const LedgerError& damaged) {
        desk.complain("knockwell: " + std::string(damaged.what()) + "\n");
        return status_problems;
    }
    show_verified(desk, file.count());
    return status_done;
}

Status carry_out(const LedgerBackupCommand& backup, const Desk& desk) {
    const auto ledger = open_ledger(desk, false);
    if (const auto* none = std::get_if<NoJob>(&ledger))
        return complain(desk, *none);
    {
        ProgressBar bar(desk, "backing up");
        std::get<Ledger>(ledger).backup(backup.file, bar.progress());
    }
    show_backed_up(desk, backup.file, std::get<Ledger>(ledger).count());
    return status_done;
}

Status carry_out(const LedgerExportCommand& wanted, const Desk& desk) {
    const bool prints = wanted.file.empty() || wanted.file == "-";
    if (wanted.csv && prints && desk.common.json)
        return complain(desk, refused("ledger export --csv --json", "one of them, not both", {}));
    const auto ledger = open_ledger(desk, false);
    if (const auto* none = std::get_if<NoJob>(&ledger))
        return complain(desk, *none);
    const auto& from = std::get<Ledger>(ledger);
    if (prints) {
        write_all(from, wanted.csv, *desk.here->out, {});
        return status_done;
    }
    {
        NewFile file(wanted.file, "export");
        ProgressBar bar(desk, "exporting");
        write_all(from, wanted.csv, file.out(), bar.progress());
        file.finish();
    }
    show_exported(desk, wanted.file, from.count());
    return status_done;
}

Status carry_out(const LedgerImportCommand& import, const Desk& desk) {
    const bool is_sheet = !import.map.empty();
    const std::optional<Shelf> shelf = desk.shelf();
    SheetMap map;
    if (is_sheet) {
        if (!shelf)
            return status_usage;
        const Source source{import.map, text_of(import.map)};
        auto read = read_sheet_map(source);
        if (const auto* problems = std::get_if<std::vector<Problem>>(&read)) {
            for (const Problem& problem : *problems)
                *desk.here->err << to_text(problem, {source});
            return status_usage;
        }
        map = std::get<SheetMap>(std::move(read));
    }
    JobsFile file =
        is_sheet ? JobsFile(import.file, map, shelf->knowledge, desk.now) : JobsFile(import.file);
    if (!file.wrong().empty()) {  // before a ledger is asked for
        show_refused(desk, import.file, {{1, file.wrong()}});
        return status_problems;
    }
    auto ledger = open_ledger(desk, NoLedger::make_with_jobs);
    if (const auto* none = std::get_if<NoJob>(&ledger))
        return complain(desk, *none);
    auto& into = std::get<Ledger>(ledger);
    const bool is_new = !into.has_its_name();
    const std::string current = current_id(into);
    Incoming incoming(shelf, desk.now);
    Imported result;
    {
        ProgressBar bar(desk, "importing");
        result = file.import_to(into, looked_at_by(incoming), bar.progress());
    }
    if (!result.taken) {
        show_refused(desk, import.file, result.refused);
        return status_problems;
    }
    if (is_new)
        tell_that_it_is_new(desk);
    Met met;
    met.add(shelf, into, *result.taken, incoming);
    met.tell(meant_now(into, current));
    show_taken_in(desk, met.taken, met.warnings);
    return status_done;
}

Status carry_out(const LedgerMergeCommand& merge, const Desk& desk) {
    for (const std::string& file : merge.files)
        (void)opened(file, "merge");  // says why, where it cannot be
    auto ledger = open_ledger(desk, NoLedger::make_with_jobs);
    if (const auto* none = std::get_if<NoJob>(&ledger))
        return complain(desk, *none);
    auto& into = std::get<Ledger>(ledger);
    bool is_new = !into.has_its_name();
    const std::optional<Shelf> shelf = desk.shelf();
    const std::string current = current_id(into);
    Met met;
    for (const std::string& file : merge.files) {
        try {
            merge_one(desk, into, shelf, file, met);
            if (std::exchange(is_new, false))
                tell_that_it_is_new(desk);
        } catch (const LedgerError&) {
            if (&file != &merge.files.front())
                show_taken_in(desk, met.taken, met.warnings);  // of the files before it, which stay
            throw;
        }
    }
    met.tell(meant_now(into, current));
    show_taken_in(desk, met.taken, met.warnings);
    return status_done;
}

Status carry_out(const LedgerDemoCommand& demo, const Desk& desk) {
    const auto shelf = desk.shelf();
    if (!shelf)
        return status_usage;
    DemoPlan plan;
    plan.seed = demo.seed;
    plan.jobs = demo.jobs;
    std::ostream& out = *desk.here->out;
    out << exchange_head(plan.jobs) << '\n';
    (void)demo_shop(shelf->knowledge, plan,
                    [&](const Job& job) { out << to_line(stamped(job)) << '\n'; });
    return status_done;
}

}  // namespace knockwell
