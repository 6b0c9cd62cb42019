// job/call_back.hpp
//
// Which earlier job a job can be the call-back of: one at the same house, opened no later.
//
// Held by  tests/cli/ledger_test.cpp, tests/ledger/merge_law_test.cpp
#pragma once
#include "job/job.hpp"

#include <cstdint>
#include <string>

namespace knockwell {

/// Where a job is, by its codes. One that is not said is not compared; an area in other capitals
/// is the same.
struct House {
    std::string area;
    std::string installation;
};

/// Why a job opened then at that house cannot be a call-back of the other (lower case, no full
/// stop); empty where it can. The other one's codes are those to which it was corrected.
[[nodiscard]] std::string against_call_back(const House& house, std::int64_t opened,
                                            const Job& earlier);

/// The same of a job that comes from elsewhere with its link. Either may have been corrected to
/// another house since it was linked, on one truck and not on the other, so that every code that a
/// job ever had counts: what was once kept can always be taken in again.
[[nodiscard]] std::string against_call_back(const Job& job, const Job& earlier);

}  // namespace knockwell
