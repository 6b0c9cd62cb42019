#include "cli/job_commands.hpp"

#include "base/words.hpp"
#include "cli/ledger_file.hpp"
#include "job/course.hpp"

#include <system_error>
#include <utility>

namespace knockwell {

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
    auto job = id.empty() ? ledger.current() : ledger.find(id);
    if (job)
        return *std::move(job);
    const std::string see = "; see: knockwell jobs\n";
    if (id.empty())
        return NoJob{"knockwell: no job is open" + see, status_problems};
    return NoJob{"knockwell: no job, or more than one, begins with '" + escape_controls(id) + "'" +
                     see,
                 status_problems};
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
