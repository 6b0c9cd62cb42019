// cli/arrival.hpp
//
// The first three things on arrival, before anything is touched. Common practice, no source.
#pragma once
#include "cli/page.hpp"

#include <string>
#include <vector>

namespace knockwell {

/// In the order in which they are done.
[[nodiscard]] std::vector<std::string> arrival_cautions();
[[nodiscard]] std::vector<std::string> arrival_things();

/// The cautions, then the things, numbered.
void show_arrival(Page& page);

}  // namespace knockwell
