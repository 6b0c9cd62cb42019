// beliefs/outside.hpp
//
// Causes that nothing found can speak of: they stand in no sum, and are carried down from what
// brings them on. Inside this floor only.
//
// Given    the shares of a sum that leaves them out
// Idea     P(c | e) by one pass down the causes, taking what each hangs on as independent
// Exact    where it is independent given the findings: is_carried_exactly()
// Held by  tests/laws/
#pragma once
#include "beliefs/build.hpp"

#include <functional>
#include <vector>

namespace knockwell {

/// Share of a value of a variable of the sum.
template <class P>
using ShareOf = std::function<P(Var, std::size_t)>;

/// [CauseId] P(present in the last stage), those of the sum too.
template <class P>
[[nodiscard]] std::vector<P> carry_down(const Model& model, const Evidence& evidence,
                                        std::span<const P> strengths, const BuiltOf<P>& built,
                                        const ShareOf<P>& share);

/// Whether carry_down() gives what the sum of all would: no two of the things that a cause hangs on
/// share a component of the sum, or a setting.
[[nodiscard]] bool is_carried_exactly(const Model& model, const Evidence& evidence,
                                      const Built& built);

}  // namespace knockwell
