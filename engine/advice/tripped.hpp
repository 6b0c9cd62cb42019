// advice/tripped.hpp
//
// What tripped: a breaker, a guard, a fuse. Mostly it is there together with what tripped it, and
// goes with the mending of that; how far it came by itself is what a reset alone could cure.
//
// Held by  tests/advice/tripped_test.cpp
#pragma once
#include "beliefs/beliefs.hpp"

#include <span>
#include <vector>

namespace knockwell {

/// [CauseId] of what a reset puts back (`resets` of a repair): P(nothing that brings it on is there
/// | it is, e), 0..1, exact; as if what brings it on came and went by itself where that cannot be
/// worked out, or where it is too unlikely itself to be worth it. 1 of all other causes.
[[nodiscard]] std::vector<double> by_themselves(const Model& model, const Evidence& evidence,
                                                const Posterior& now);

/// That none of the causes is there which bring this one on, as if each were there or not by
/// itself. `cause`: chance of each.
[[nodiscard]] double by_itself(const Cause& tripped, std::span<const double> cause);

/// Of the causes that bring this one on the likeliest, of equal ones the first; there must be one.
[[nodiscard]] CauseId likeliest_to_trip(const Cause& tripped, std::span<const double> cause);

/// The likeliest cause under `then` of those that are `spoken` of then, where what tripped counts
/// as far as it came by itself; the first of equal ones. That share is worked out for `now` alone
/// (`own`, as of by_themselves), and goes with the chance that what brings it on is not there, as
/// if each came and went by itself.
[[nodiscard]] CauseId first_of(const Knowledge& knowledge, const std::vector<double>& then,
                               const std::vector<double>& now, const std::vector<double>& own,
                               const std::vector<bool>& spoken);

}  // namespace knockwell
