// beliefs/entropy.hpp
//
// Entropies of many chances at once. Inside this floor only.
#pragma once
#include <span>

namespace knockwell {

/// Entropy in bits of something that is so with probability p, to about 1e-15; 0 outside of 0..1.
[[nodiscard]] double entropy_of(double p);

/// The same of each, in place.
void entropies_of(std::span<double> p);

/// The sum of the entropies of x * a[i] + y * b[i]; `b` is as long as `a`.
[[nodiscard]] double mixed_entropy(double x, std::span<const double> a, double y,
                                   std::span<const double> b);

}  // namespace knockwell
