// fuzz/mutate.hpp
//
// A text damaged as disks, editors and people damage texts.
#pragma once
#include <random>
#include <string>

namespace knockwell {

/// `text` after one to three of: a flipped bit, a cut end, a hole, a line doubled, two lines
/// swapped, a byte put in, a stretch copied elsewhere. The same on every machine for the same state
/// of `dice`.
[[nodiscard]] std::string damaged(std::string text, std::mt19937_64& dice);

}  // namespace knockwell
