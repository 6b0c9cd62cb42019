// cli/paper.hpp
//
// What stays behind when a job is left: readings as left, what may have killed the part, a plain
// explanation for the customer, a note for the invoice, and how long a return is a call-back.
#pragma once
#include "advice/advice.hpp"
#include "advice/money.hpp"
#include "job/job.hpp"
#include "job/leaving.hpp"
#include "knowledge/model.hpp"

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace knockwell {

/// Trouble that is back within so many days is a call-back (judgement).
constexpr std::int64_t call_back_days = 90;

struct LeavingPaper {
    std::vector<std::string> as_left;   // "Gauge at the tank tee: 58 psi, found 12 psi"
    std::vector<std::string> not_kept;  // signs read before a repair and not after it
    LeavingNow left;                    // what was said of the list, and its readings
    std::vector<std::string> killers;   // what brings on the cause that was mended
    std::vector<std::string> customer;  // sentences without a word of the trade but titles
    std::vector<std::string> invoice;
    std::string call_back;
};

/// `job` as it is closed, its closing among its entries or not. `at` is the moment of leaving,
/// seconds since 1970-01-01T00:00:00Z; `stops` the dangers that it is left with. Titles come from
/// the knowledge; what it does not know stands by its identifier.
[[nodiscard]] LeavingPaper paper_of(const Knowledge& knowledge, const Job& job, std::int64_t at,
                                    const std::vector<StopNow>& stops, const Rates& rates = {});

}  // namespace knockwell
