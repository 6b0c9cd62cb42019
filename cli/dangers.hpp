// cli/dangers.hpp
//
// Dangers of a job that is not the one in hand, or is in hand no more: one closed, one corrected,
// another one at the same house.
#pragma once
#include "advice/advice.hpp"
#include "cli/knowledge_folder.hpp"
#include "job/job.hpp"
#include "ledger/ledger.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace knockwell {

/// Those that stand at the end of a job, closed or not.
[[nodiscard]] std::vector<StopNow> dangers_of(const Shelf& shelf, const Job& job);

/// Those of them that were found; what was found makes likely is left out, so it is quick.
[[nodiscard]] std::vector<StopNow> dangers_found(const Shelf& shelf, const Job& job);

/// A sentence on each danger with which another job at the house of this one stands open, or was
/// left; the newest first. What was only likely, and what goes with power off or pressure zero, is
/// over where the house was left as cured since; any other danger where somebody found what lifts
/// it, or made a repair that ends it, in another job there. What is dated more than a day after
/// `now` ends nothing.
[[nodiscard]] std::vector<std::string> dangers_there(const Shelf& shelf, const Ledger& ledger,
                                                     const Job& job, std::int64_t now);

/// A job of a house, among the others there.
struct JobThere {
    JobLine line;
    Job job;
};

/// Dangers with which one of all kept jobs of a house stands open, or was left, cured or not, and
/// which none of the others has ended since, as above.
[[nodiscard]] std::vector<StopId> dangers_left(const Shelf& shelf,
                                               const std::vector<JobThere>& house,
                                               std::size_t which, std::int64_t now);

/// A sentence on each danger of `before` that is in `after` no more, though nothing ended it: the
/// entry that showed it is taken back.
[[nodiscard]] std::vector<std::string> dangers_gone(const Knowledge& knowledge,
                                                    const std::vector<StopNow>& before,
                                                    const std::vector<StopNow>& after);

/// A sentence on each danger that is told no more since two places' entries met in a job, where who
/// wrote what ends it did not know of it.
[[nodiscard]] std::vector<std::string> dangers_crossed(const Shelf& shelf, const Ledger& ledger,
                                                       const std::vector<Crossed>& crossed);

/// What is to be told of the jobs that come in from elsewhere: those that are closed as cured over
/// a danger, dangers that a correction takes away, entries of a day that has not come yet. A
/// knowledge with a mistake in it keeps no job out: no shelf, and that nothing is known is told.
class Incoming {
public:
    Incoming(const std::optional<Shelf>& shelf, std::int64_t now)
        : shelf_(shelf ? &*shelf : nullptr), now_(now) {}
    /// One that is new (`before` is null) or has grown.
    void look_at(const Job* before, const Job& job);
    /// A sentence on each danger of the first jobs, and on how many there are more.
    [[nodiscard]] std::vector<std::string> told() const;

private:
    void tell(std::vector<std::string> sentences);
    const Shelf* shelf_;
    std::int64_t now_;
    std::vector<std::string> told_;
    std::size_t untold_ = 0;
    std::size_t cured_ = 0;          // jobs
    std::size_t of_the_future_ = 0;  // jobs
    std::string first_of_the_future_;
};

[[nodiscard]] bool is_closed_as_cured(const Job& job);
[[nodiscard]] bool is_closed_as_cured(const JobLine& line);

/// A sentence on each of the dangers that stand in a job though it is closed as cured.
[[nodiscard]] std::vector<std::string> dangers_though_cured(const Knowledge& knowledge,
                                                            const std::string& job,
                                                            const std::vector<StopNow>& stops);

}  // namespace knockwell
