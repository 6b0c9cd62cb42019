// cli/show_json.hpp
//
// The same answers for programs. Keys stand in docs/answers.md; cautions stand before the step that
// needs them here too.
#pragma once
#include "advice/practice.hpp"
#include "base/problem.hpp"
#include "cli/answer.hpp"
#include "cli/effects.hpp"
#include "cli/kb_card.hpp"
#include "cli/paper.hpp"
#include "cli/reasons.hpp"
#include "cli/show_lists.hpp"
#include "job/job.hpp"
#include "knowledge/provenance.hpp"
#include "ledger/ledger.hpp"
#include "trade/calc.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace knockwell {

/// `headline`: what was written down, and what is to be known of the job; or empty. `arriving`:
/// with what is done first on arrival. `warnings`: dangers of other jobs at this house,
/// and those that are taken back.
[[nodiscard]] std::string answer_json(const Model& model, const AnswerNow& answer,
                                      const std::vector<Recheck>& recheck,
                                      std::string_view headline = {}, bool arriving = false,
                                      const std::vector<std::string>& warnings = {});
[[nodiscard]] std::string reasons_json(const Model& model, const AnswerNow& answer,
                                       const std::vector<Reasons>& reasons);

/// What each outcome of a look would change.
[[nodiscard]] std::string effects_json(const Knowledge& knowledge, const std::string& job,
                                       const std::vector<StopNow>& stops, const Candidate& step,
                                       const std::vector<Effect>& effects);

/// `more`: there are older ones, which are left out.
/// `near`: names like one that no job has; `not_known`: where only jobs in danger are wanted, of
/// how many nobody can tell.
[[nodiscard]] std::string jobs_json(const std::vector<ListedJob>& jobs, const JobsWanted& wanted,
                                    const JobsFound& found, const std::vector<std::string>& near,
                                    std::optional<std::size_t> not_known);
/// `warnings`: what is to be minded beside it, in sentences.
[[nodiscard]] std::string job_json(const Job& job, const std::vector<std::string>& warnings = {});
[[nodiscard]] std::string closing_json(const Knowledge& knowledge, const Job& job,
                                       const std::vector<StopNow>& stops,
                                       const std::vector<Recheck>& recheck,
                                       const LeavingPaper& paper,
                                       const std::vector<std::string>& not_used);
/// A job that a stop, or lines of the list, keep open; `why` in sentences.
[[nodiscard]] std::string not_closed_json(const Knowledge& knowledge, const Job& job,
                                          const std::vector<StopNow>& stops,
                                          const std::vector<std::string>& why,
                                          const std::vector<OpenLine>& open);

[[nodiscard]] std::string problems_json(const std::vector<Problem>& problems,
                                        const std::vector<Source>& sources,
                                        const std::optional<Provenance>& provenance);
[[nodiscard]] std::string cards_json(const std::vector<Card>& cards);
[[nodiscard]] std::string overview_json(const Knowledge& knowledge, const std::string& version);
[[nodiscard]] std::string practice_json(const std::vector<PracticeResult>& results,
                                        const std::vector<PracticeRates>& rates);
[[nodiscard]] std::string computations_json(const std::vector<Computation>& all);
[[nodiscard]] std::string calculation_json(const Computation& computation,
                                           const CalcAnswer& answer);
[[nodiscard]] std::string graph_json(const std::string& dot);

}  // namespace knockwell
