// cli/reasons.hpp
//
// What each finding does for and against a cause, strongest first.
#pragma once
#include "cli/answer.hpp"
#include "cli/overturn.hpp"

#include <cstddef>
#include <vector>

namespace knockwell {

struct Reason {
    std::size_t finding = 0;  // index into Evidence::findings
    double decibans = 0;      // above 0 for, below 0 against; infinite where it decides alone
};

struct Reasons {
    CauseId cause;
    std::vector<Reason> findings;     // by size of the weight, then in the order of the findings
    std::vector<Overturn> overturns;  // what would take the first place from it, or bring it there
};

/// For each of `causes`, in their order.
[[nodiscard]] std::vector<Reasons> reasons_of(const Model& model, const AnswerNow& answer,
                                              const std::vector<CauseId>& causes);

}  // namespace knockwell
