// cli/job_commands.hpp
//
// What the commands of a job share: the ledger, the job that is meant, and entries that are refused
// before they are kept.
#pragma once
#include "beliefs/beliefs.hpp"
#include "cli/desk.hpp"
#include "cli/told.hpp"
#include "job/course.hpp"
#include "ledger/ledger.hpp"

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace knockwell {

/// Why there is nothing to go on with, and the exit status that says so.
struct NoJob {
    std::string text;
    Status status = status_problems;
};

/// Says it, and is the exit status.
Status complain(const Desk& desk, const NoJob& why);

/// Says why what was typed cannot be used, and is the exit status.
Status complain(const Desk& desk, const Refused& why);
/// Tells beside the answer what was taken for a sign though it is not called so.
void tell_what_was_taken(const Desk& desk, const Knowledge& knowledge, const Told& told);

/// That the job is closed and how to go on with it, with its newline; empty where it is not.
[[nodiscard]] std::string closed_already(const Job& job);
/// Says so on the error stream, beside the answer.
void tell_that_it_is_closed(const Desk& desk, const Job& job);

/// The ledger, and what is done where there is none. A new one is told on the error stream, at once
/// or, where it has its name only with the first jobs, by `tell_that_it_is_new` when they are
/// there.
[[nodiscard]] std::variant<Ledger, NoJob> open_ledger(const Desk& desk, NoLedger missing);
/// It is made only where `make` says so.
[[nodiscard]] std::variant<Ledger, NoJob> open_ledger(const Desk& desk, bool make);
void tell_that_it_is_new(const Desk& desk);

/// A question that is put now, as a job without a name: nothing of it is kept.
[[nodiscard]] Job question_at(std::int64_t moment);

/// The job of that identifier, or the one opened last that is not closed.
[[nodiscard]] std::variant<Job, NoJob> job_meant(const Ledger& ledger, const std::string& id);

/// `job` with the events numbered on from its last, or why one of them cannot be added.
[[nodiscard]] std::variant<Job, Refused> with_events(const Knowledge& knowledge, Job job,
                                                     std::vector<Event> events);

/// The knowledge, the ledger and the job that a command is about.
struct Scene {
    Shelf shelf;
    Ledger ledger;
    Job job;
};

[[nodiscard]] std::variant<Scene, Status> scene_for(const Desk& desk, const std::string& job_id);

/// A job of the ledger; or, where anything was told, a question that nobody keeps.
struct Asked {
    Shelf shelf;
    Job job;                                 // without an identifier where nobody keeps it
    std::vector<std::string> warnings = {};  // dangers of other jobs at its house
};

/// What was asked, with what is believed of it.
struct Believed {
    Asked asked;
    Course course;
    Posterior now;
    std::shared_ptr<PlanCache> plans;
    [[nodiscard]] const Knowledge& knowledge() const { return asked.shelf.knowledge; }
    [[nodiscard]] Model model() const { return {&knowledge(), &asked.shelf.network, plans}; }
};
/// Where the findings cannot all be true, or hang together too much, that is said.
[[nodiscard]] std::variant<Believed, Status>
believed_now(const Desk& desk, const std::string& job_id, const Told& told);

/// A new job of the ledger, which is made where it is missing; `call_back_of` is the beginning of
/// an earlier job's identifier, or empty.
struct NewJob {
    std::string area;
    std::string installation;
    std::string call_back_of;
};
[[nodiscard]] std::variant<Scene, Status> begin_job(const Desk& desk, const NewJob& wanted,
                                                    const Told& told);

/// Keeps the events in the ledger, all or none; why not, where one is refused.
[[nodiscard]] std::optional<Refused> keep(Scene& scene, const std::vector<Event>& events,
                                          std::int64_t at);

/// "Job 6c59883c (heron-bottom HB-17)".
[[nodiscard]] std::string job_line(const Job& job);

}  // namespace knockwell
