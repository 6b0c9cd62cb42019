// beliefs/outside.hpp
//
// Causes that nothing found can speak of: they stand in no sum, and are carried down from what
// brings them on. Inside this floor only.
//
// Given    the shares of a sum that leaves them out
// Idea     P(c | e) by one pass down the causes, taking what each hangs on as independent
// Exact    where it is independent given the findings; inexact_causes() are those where it is not
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

/// Variables whose shares carry_down() may ask for.
[[nodiscard]] std::vector<Var> asked_by_carry_down(const Built& built);

/// Causes for which carry_down() would not give what the sum of all does, because two of the things
/// that they hang on share a component of the sum, or a setting; and what brings those on, each
/// after what brings it on.
template <class P>
[[nodiscard]] std::vector<std::uint32_t>
inexact_causes(const Model& model, const Evidence& evidence, const BuiltOf<P>& built);

}  // namespace knockwell
