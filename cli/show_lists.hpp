// cli/show_lists.hpp
//
// Everything that is no answer about a job's trouble, as plain text.
#pragma once
#include "advice/practice.hpp"
#include "base/problem.hpp"
#include "cli/kb_card.hpp"
#include "cli/page.hpp"
#include "job/job.hpp"
#include "job/leaving.hpp"
#include "knowledge/provenance.hpp"
#include "ledger/ledger.hpp"
#include "trade/calc.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace knockwell {

/// A job of a list, with the titles of the dangers that it has; nothing where they are not known.
struct ListedJob {
    JobLine line;
    std::optional<std::vector<std::string>> dangers;
};

/// `found` says how many there are besides these; `in_danger`: only such were wanted.
void show_jobs(Page& page, const std::vector<ListedJob>& jobs, const JobsWanted& wanted,
               const JobsFound& found, bool in_danger = false);
void show_job(Page& page, const Job& job);

/// What must be true before one leaves and was not said to be; warnings first.
void show_open_lines(Page& page, const std::vector<OpenLine>& open);

/// The same where a danger stands.
void show_leaving_a_danger(Page& page);

struct ProblemCount {
    std::size_t errors = 0;
    std::size_t warnings = 0;
    bool more = false;  // errors that are not told
};
[[nodiscard]] ProblemCount count_of(const std::vector<Problem>& problems);

/// "1 error and 3 warnings".
[[nodiscard]] std::string count_words(const ProblemCount& count);

struct KindCount {
    std::string kind;  // "causes"
    std::size_t count = 0;
};
[[nodiscard]] std::vector<KindCount> kinds_of(const Knowledge& knowledge);

void show_overview(Page& page, const Knowledge& knowledge, const std::string& version);
void show_card(Page& page, const Card& card);
void show_practice(Page& page, const std::vector<PracticeResult>& results,
                   const std::vector<PracticeRates>& rates);
/// Where the strengths come from, for `kb check --sources`.
void show_provenance(Page& page, const Provenance& found);

/// Every computation by name, for `calc` alone.
void show_computations(Page& page, const std::vector<Computation>& all);

void show_calculation(Page& page, const Computation& computation, const CalcAnswer& answer);

}  // namespace knockwell
