// cli/at_once.hpp
//
// How many bits the first step tells about everything at once, by itself and with each look that
// goes with it (cli/together.hpp): what two causes share, and what two looks both tell, is counted
// once.
#pragma once
#include "advice/advice.hpp"

#include <optional>
#include <vector>

namespace knockwell {

struct AtOnce {
    std::optional<Range> first;              // nothing where it is no look, or cannot be told
    std::vector<std::optional<Range>> with;  // in the order of looks_together()
};

/// Of what is advised for this evidence.
[[nodiscard]] AtOnce told_at_once(const Model& model, const Evidence& evidence,
                                  const Situation& situation, const Advice& advice);

}  // namespace knockwell
