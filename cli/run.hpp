// cli/run.hpp
//
// The command as a function: what was typed, and the world it was typed in -> what is printed, and
// the exit status.
//
// Status  0 done
//         1 the thing asked about has problems: the knowledge does not check, a practice case
//           fails, the findings cannot all be true, there is no such job
//         2 bad usage: an unknown option, sign or unit, a folder or a ledger that cannot be used
#pragma once
#include "cli/surroundings.hpp"

#include <string>
#include <vector>

namespace knockwell {

/// Never throws for what a person typed or what a file holds.
[[nodiscard]] int run(const std::vector<std::string>& arguments, const Surroundings& here);

}  // namespace knockwell
