// knowledge/lint.hpp
//
// Warnings: what is no mistake, but worth a thought. Each has its section in docs/problems.md.
//
//   cause-unseen    no sign that a test reveals or a customer reports shows the cause
//   sign-unshown    no cause shows the sign (one that only a stop asks for is accepted so)
//   sign-unasked    no test reveals the observation
//   test-dominated  another test tells as much and costs no more (knowledge/dominated.hpp)
//   causes-alike    nothing tells the two causes apart (knowledge/alike.hpp)
//   no-cure         no repair fixes the cause and no refer takes it
//   count-too-sure  a practice or judgement count that claims more than about ten cases
//   hidden-character  a title with a character that steers a terminal, or a line's direction
//   present-often   a cause that is written to be in more than a fifth of all installations
//   misses-most     a look or a report that is written to be wrong more often than right
//   recheck-missing  a repair of which no test shows whether it holds
//   left-over       a setting, access, caution or part that nothing names (knowledge/left_over.hpp)
//   accept-unused   an `accept` that silences no warning
#pragma once
#include "base/problem.hpp"
#include "knowledge/model.hpp"

#include <vector>

namespace knockwell {

/// Every warning of `knowledge`, which must have passed its checks, in order of place. A
/// definition's `accept` silences its own warnings, and `causes-alike` for either of the two
/// causes. An accept of a practice case is judged only if its code is one of the above: the beliefs
/// judge the others.
[[nodiscard]] std::vector<Problem> lint(const Knowledge& knowledge);

}  // namespace knockwell
