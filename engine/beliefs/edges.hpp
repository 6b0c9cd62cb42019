// beliefs/edges.hpp
//
// Whether what was typed leaves every level of a reading a stretch of its own.
//
// Idea     the knowledge's own choices are checked when it is read; a quantity that is typed
//          (cut-in = 0 psi) can still put the edge of one level on, or past, the edge of the next,
//          and that level could then never be found
#pragma once
#include "beliefs/evidence.hpp"

#include <string>

namespace knockwell {

/// Which two edges meet or cross under the settings and quantities that are known, whatever the
/// unknown settings are; empty where there is a choice under which none do. Safe on a terminal.
[[nodiscard]] std::string edges_that_cross(const Knowledge& knowledge, const Evidence& evidence);

}  // namespace knockwell
