// cli/dangers.hpp
//
// Dangers of a job that is not the one in hand, or is in hand no more: one closed, one corrected,
// another one at the same house.
#pragma once
#include "advice/advice.hpp"
#include "cli/knowledge_folder.hpp"
#include "job/job.hpp"
#include "ledger/ledger.hpp"

#include <string>
#include <vector>

namespace knockwell {

/// Those that stand at the end of a job, closed or not.
[[nodiscard]] std::vector<StopNow> dangers_of(const Shelf& shelf, const Job& job);

/// A sentence on each danger with which another job at the house of this one stands open, or was
/// left since the house was last left as cured; the newest first.
[[nodiscard]] std::vector<std::string> dangers_there(const Shelf& shelf, const Ledger& ledger,
                                                     const Job& job);

/// A sentence on each danger of `before` that is in `after` no more, though nothing ended it: the
/// entry that showed it is taken back.
[[nodiscard]] std::vector<std::string> dangers_gone(const Knowledge& knowledge,
                                                    const std::vector<StopNow>& before,
                                                    const std::vector<StopNow>& after);

/// A sentence on each danger that is told no more since two places' entries met in a job, where who
/// wrote what ends it did not know of it.
[[nodiscard]] std::vector<std::string> dangers_crossed(const Shelf& shelf, const Ledger& ledger,
                                                       const std::vector<Crossed>& crossed);

[[nodiscard]] bool is_closed_as_cured(const Job& job);
[[nodiscard]] bool is_closed_as_cured(const JobLine& line);

/// A sentence on each of the dangers that stand in a job though it is closed as cured.
[[nodiscard]] std::vector<std::string> dangers_though_cured(const Knowledge& knowledge,
                                                            const std::string& job,
                                                            const std::vector<StopNow>& stops);

}  // namespace knockwell
