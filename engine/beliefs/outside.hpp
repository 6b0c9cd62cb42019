// beliefs/outside.hpp
//
// Causes that nothing found can speak of: they stand in no sum, and are carried down from what
// brings them on.
//
// Given    the shares of a sum that leaves them out
// Idea     P(c | e) by one pass down the causes, taking what each hangs on as independent
// Exact    where it is independent given the findings; `exact` tells (no two of the things that a
// cause hangs on share a component of the sum, or a setting)
#pragma once
#include "beliefs/build.hpp"

#include <functional>
#include <vector>

namespace knockwell {

/// Share of a value of a variable of the sum.
template <class P>
using ShareOf = std::function<P(Var, std::size_t)>;

template <class P>
struct Carried {
    std::vector<P> cause;  // [CauseId] P(present in the last stage), those of the sum too
    bool exact = true;
};

template <class P>
[[nodiscard]] Carried<P> carry_down(const Model& model, const Evidence& evidence,
                                    std::span<const P> strengths, const BuiltOf<P>& built,
                                    const ShareOf<P>& share);

}  // namespace knockwell
