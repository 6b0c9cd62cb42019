// beliefs/calls.hpp
//
// How many of the calls a cause is behind, as the numbers imply it: `present` is a share of
// installations, and a call already selects those with something wrong.
//
// Exact    P(cause | a symptom is there) = (P(cause) - P(cause | none) P(none)) / (1 - P(none)),
//          none = every symptom of the knowledge truly absent but for circumstances, nothing else
//          known; "a symptom is there" likewise
// Held by  tests/beliefs/calls_test.cpp
#pragma once
#include "beliefs/beliefs.hpp"

#include <optional>
#include <vector>

namespace knockwell {

/// Every symptom truly absent, nothing else known: a house that would not call. What was before a
/// trouble (`circumstance`) makes nobody call, and may be there.
[[nodiscard]] Evidence nobody_calls(const Knowledge& knowledge);

/// [CauseId]; nothing where it is too wide to add up, or where no symptom can be there.
[[nodiscard]] std::optional<std::vector<double>> shares_of_calls(const Model& model);

}  // namespace knockwell
