#include "cli/job_commands.hpp"

#include "base/words.hpp"
#include "cli/ledger_file.hpp"
#include "job/course.hpp"

#include <system_error>
#include <utility>

namespace knockwell {

namespace {

/// What was typed, cut where it is longer than any identifier.
std::string echo(const std::string& id) {
    constexpr std::size_t longest = 60;  // bytes
    return "'" + escape_controls(id.substr(0, longest)) + (id.size() > longest ? "...'" : "'");
}

/// Every candidate in full, so that it can be copied.
std::string ambiguous_words(const Ledger& ledger, const std::string& id, const Ambiguous& several) {
    std::string text = "knockwell: more than one job begins with " + echo(id) +
                       "; type more of the one that is meant:\n";
    for (const std::string& candidate : several.ids) {
        const FoundJob found = ledger.find(candidate);
        const auto* job = std::get_if<Job>(&found);
        text += "  " + escape_controls(candidate);
        if (job != nullptr)
            text += "  " + escape_controls(job->area + " " + job->installation) +
                    (is_closed(*job) ? ", closed" : ", open");
        text += "\n";
    }
    return text + (several.more ? "  and more; see: knockwell jobs\n" : "");
}

}  // namespace

Status complain(const Desk& desk, const NoJob& why) {
    desk.complain(why.text);
    return why.status;
}

std::variant<Ledger, NoJob> open_ledger(const Desk& desk, bool make) {
    const auto file = ledger_file(*desk.here, desk.common.ledger);
    if (!file)
        return NoJob{"knockwell: where is the ledger? Say --ledger FILE\n", status_usage};
    std::error_code none;
    if (make) {
        if (file->has_parent_path())
            std::filesystem::create_directories(file->parent_path());
    } else if (!std::filesystem::exists(*file, none)) {
        return NoJob{"knockwell: no job is kept in " + escape_controls(file->string()) +
                         " yet; begin with: knockwell open\n",
                     status_problems};
    }
    return Ledger(*file);
}

std::variant<Job, NoJob> job_meant(const Ledger& ledger, const std::string& id) {
    const std::string see = "; see: knockwell jobs\n";
    if (id.empty()) {
        auto job = ledger.current();
        if (job)
            return *std::move(job);
        return NoJob{"knockwell: no job is open" + see, status_problems};
    }
    FoundJob found = ledger.find(id);
    if (auto* job = std::get_if<Job>(&found))
        return std::move(*job);
    if (const auto* several = std::get_if<Ambiguous>(&found))
        return NoJob{ambiguous_words(ledger, id, *several), status_problems};
    if (std::get<NoneFound>(found) == NoneFound::too_short)
        return NoJob{"knockwell: " + echo(id) + " is too short to name a job; type " +
                         std::to_string(shortest_beginning) + " characters or more" + see,
                     status_problems};
    return NoJob{"knockwell: no job begins with " + echo(id) + see, status_problems};
}

std::variant<Job, Refused> with_events(const Knowledge& knowledge, Job job,
                                       std::vector<Event> events) {
    for (Event& event : events) {
        event.number = job.events.empty() ? 1 : job.events.back().number + 1;
        const std::string why = refusal(knowledge, job, event);
        if (!why.empty()) {
            const std::string what = event.what.empty() ? event.value : event.what;
            // `why` quotes what was typed, escaped already.
            return Refused{"knockwell: " + std::string(to_text(event.kind)) + " " +
                           escape_controls(what) + ": " + why + "\n"};
        }
        job.events.push_back(spelled_out(knowledge, std::move(event)));
    }
    return job;
}

}  // namespace knockwell
