// advice/glance.hpp
//
// A rough guess of what a look would tell, to choose the few looks that are weighed exactly. It
// decides what is looked at closely and is never shown: every number that is printed is exact.
//
// Idea     causes as if they were independent with their present probabilities; for each cause able
//          to explain what was found the mutual information between it and the value that would be
//          reported, summed over causes and over the signs of the look. A setting tells of the
//          causes that are only under some of its states, or more often there
// Cost     a few products for each sign; the exact answer is a whole inference for each outcome
// Care     left out: masks, what comes and goes, the order of kinds, the edges of readings
// Held by  tests/advice/glance_test.cpp (one cause, one sign: equal to the exact bits; the best
//          look is among those chosen)
#pragma once
#include "advice/looks.hpp"

#include <cstddef>
#include <set>
#include <span>
#include <vector>

namespace knockwell {

/// One guess for each look, in bits; infinite, which is always weighed, for a look at a table or at
/// a setting on which the edges of something found hang.
[[nodiscard]] std::vector<double> glances(const Model& model, const Evidence& evidence,
                                          std::span<const LookLeft> looks, const Posterior& now,
                                          std::span<const CauseId> explainers);

/// The looks that are worth being weighed exactly: the best by bits and the best by bits a minute,
/// at a glance. Of those that look again at something found before a repair only the best: each is
/// dearer to weigh than all new ones together, and what the repair took away the complaint shows.
/// `minutes`: of each look with its preparations, more than 0.
[[nodiscard]] std::set<std::size_t> promising(const Model& model, const Evidence& evidence,
                                              std::span<const LookLeft> looks,
                                              std::span<const double> minutes, const Posterior& now,
                                              std::span<const CauseId> explainers);

}  // namespace knockwell
