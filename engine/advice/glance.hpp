// advice/glance.hpp
//
// A rough guess of what a look would tell, to choose the few looks that are weighed exactly. It
// decides what is looked at closely and is never shown: every number that is printed is exact.
//
// Idea     causes as if they were independent with their present probabilities; for each cause able
//          to explain what was found the mutual information between it and the value that would be
//          reported, summed over causes and over the signs of the look
// Cost     a few products for each sign; the exact answer is a whole inference for each outcome
// Care     left out: masks, what comes and goes, the order of kinds, the edges of readings
// Held by  tests/advice/glance_test.cpp (one cause, one sign: equal to the exact bits; the best
//          look is among those chosen)
#pragma once
#include "advice/looks.hpp"

#include <span>
#include <vector>

namespace knockwell {

/// One guess for each look, in bits; infinite for a look at a table or a setting, which are few and
/// always weighed.
[[nodiscard]] std::vector<double> glances(const Model& model, std::span<const LookLeft> looks,
                                          std::span<const double> cause,
                                          std::span<const CauseId> explainers);

}  // namespace knockwell
