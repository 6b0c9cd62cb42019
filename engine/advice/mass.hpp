// advice/mass.hpp
//
// What one finding by itself says, before any other is heard: a share for each value of its sign or
// table.
//
// Idea     a stop must not wait for the odds: a gauge past the plate is past the plate, however
//          rare that is
// Care     a channel's misses and false alarms are left out, and an edge that hangs on an unknown
//          setting is averaged over its prior
#pragma once
#include "beliefs/evidence.hpp"

#include <vector>

namespace knockwell {

/// One share >= 0 for each value (Sign::value_name, or a table's state); they sum to 1. A value has
/// all of it, weights their parts of their sum (a table of zeros: none), a reading the mass of
/// Normal(reading, within / 2) between the edges of each level.
[[nodiscard]] std::vector<double> masses(const Knowledge& knowledge, const Evidence& evidence,
                                         const Finding& finding);

/// Whether the finding says that something is there: more than half of its mass is not normal.
/// Tables say nothing of the kind.
[[nodiscard]] bool found_present(const Knowledge& knowledge, const Evidence& evidence,
                                 const Finding& finding);

/// The same, of what is no circumstance: something is there that is to be explained.
[[nodiscard]] bool found_trouble(const Knowledge& knowledge, const Evidence& evidence,
                                 const Finding& finding);

/// The first finding of a sign in this stage, where it and all others of it there say one of these
/// values, with more than half of their mass; nothing where another says otherwise.
[[nodiscard]] const Finding* said_now(const Knowledge& knowledge, const Evidence& evidence,
                                      SignId sign, const std::vector<std::size_t>& values);

/// Whether there is any trouble yet: a finding says so, or a cause was found present.
[[nodiscard]] bool anything_found(const Knowledge& knowledge, const Evidence& evidence);

}  // namespace knockwell
