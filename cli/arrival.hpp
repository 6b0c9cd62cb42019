// cli/arrival.hpp
//
// The first three things on arrival, before anything is touched. Common practice, no source.
#pragma once
#include "cli/json_values.hpp"
#include "cli/page.hpp"

namespace knockwell {

/// The cautions, then the things, numbered.
void show_arrival(Page& page);

/// {"cautions": [...], "things": [...]}, each in the order in which it is minded or done.
[[nodiscard]] Json arrival_json();

}  // namespace knockwell
