// advice/blame.hpp
//
// Which cause has brought about what was found, and which is only there as it might be in any
// house.
//
// Idea     a cause that has not brought it about is as likely as it would be without it: P0, given
//          the settings and what was found as it should be. With s the chance that it has,
//          P = s + (1 - s) P0
// Source   the attributable fraction of epidemiology (M. L. Levin, Acta Unio Internationalis Contra
//          Cancrum 9, 1953, pp. 531-541), for one cause at a time
// Held by  tests/advice/blame_test.cpp
#pragma once
#include "beliefs/beliefs.hpp"

#include <vector>

namespace knockwell {

/// [CauseId] s = (P - P0) / (1 - P0), 0..1; 0 where it is less likely than without what was found.
/// P where P0 cannot be worked out.
[[nodiscard]] std::vector<double> blamed(const Model& model, const Evidence& evidence,
                                         const Posterior& now);

}  // namespace knockwell
