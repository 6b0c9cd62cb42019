// knowledge/dominated.hpp
//
// Tests that nobody would choose, since another one does the same as well and no dearer.
#pragma once
#include "knowledge/model.hpp"

#include <vector>

namespace knockwell {

/// For each test: the first other test that reveals at least as much, is done at the same access or
/// on the way to it, takes no more minutes, needs no more (state, skill, licence, tools, hazards,
/// conditions) and errs no more; invalid where there is none. Of two that are equal the later one
/// is dominated. A test that is alone at its access is not held against one on the way: who has
/// come so far wants something to look at.
[[nodiscard]] std::vector<TestId> dominated_tests(const Knowledge& knowledge);

}  // namespace knockwell
