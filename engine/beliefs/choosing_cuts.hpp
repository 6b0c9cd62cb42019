// beliefs/choosing_cuts.hpp
//
// Which links of a sum are cut. Inside this floor only; see beliefs/loosening.hpp.
//
// Given    a sum, and how many operations one run may cost
// Idea     every link is priced, cut from each of its sources by itself, by a rough guess at all
//          that does not hang on it; the tightest are taken, and those left out again that it does
//          not take
// Held by  tests/beliefs/loosening_test.cpp
#pragma once
#include "beliefs/cut_link.hpp"
#include "beliefs/sum.hpp"

#include <optional>
#include <span>
#include <vector>

namespace knockwell {

/// [variable][value] chances by which cuts are chosen. They change how tight the bounds are, and
/// not whether they hold.
using Guess = std::vector<std::vector<double>>;

/// Cuts after which one run costs no more than `operations`; nothing where even all of them are not
/// enough. Without a guess: as if everything that a variable hangs on were independent.
[[nodiscard]] std::optional<std::vector<Cut>> cuts_for(const Sum& sum, std::span<const Var> asked,
                                                       double operations, const Guess& guess = {});

}  // namespace knockwell
