// knowledge/alike.hpp
//
// Causes that look the same to everybody who asks and tests.
//
// Given    two causes, each taken as the only one present
// Wanted   whether some value of some sign, as a test or a customer would report it, is at least
//          twice as probable under the one as under the other (3 dB; so is "nothing there")
// Idea     strengths, leaks, masks and `comes_and_goes` of one cause give the chance of each value;
//          misses and false alarms of the way it is found out blur it
// Ours     differs from the beliefs: a reading counts by its levels, instrument error left out, and
//          a plain table that a test reveals is taken as telling its causes from all others
// Held by  tests/knowledge/alike_test.cpp
#pragma once
#include "knowledge/model.hpp"

#include <vector>

namespace knockwell {

/// Whether some setting has no state that both conditions allow.
[[nodiscard]] bool exclude_each_other(const Conditions& a, const Conditions& b);

/// For each cause: whether some sign or table that it shows in is revealed by a test that can be
/// made where the cause can be, or is a symptom.
[[nodiscard]] std::vector<bool> causes_seen(const Knowledge& knowledge);

/// For each cause: the earlier ones that nothing tells it from, ascending, the first twenty. Causes
/// that are not seen at all are left out, and so are pairs whose `only_if` cannot hold together.
[[nodiscard]] std::vector<std::vector<CauseId>> causes_alike(const Knowledge& knowledge);

}  // namespace knockwell
