// beliefs/moments.hpp
//
// How many bits a chance leaves open on average, where only some of its moments are known: between
// two bounds. Inside this floor only.
//
// Given    a chance p that lies somewhere from `least` to `most`, p = least + (most - least) t, and
//          E[t^n], n = 0..N
// Wanted   the mean of f(p) = -p lb p, or of one of two curves made of it (below)
// Idea     every even derivative of these is negative between 0 and 1. So the polynomial that meets
// f
//          and its slope at k points inside is nowhere below f, for
//              f - P = f^(2k)(somewhere) / (2k)! * prod (t - t_i)^2,
//          and one that meets it at both ends besides is nowhere above it, since the product then
//          has the factor t (t - 1). The mean of a polynomial is a sum of moments
// Points   any will do. Best are those of the Gauss rule and of the Gauss-Lobatto rule of the
//          moments, where the bound is the mean by the rule, and no other with so many moments is
//          tighter; as the bound is stationary there, they need not be found to the last digit
// Orders   all for which there are moments, and of the bounds the best: what loses its digits, as
//          where t has fewer values than a rule has points, is only no help
// Source   S. Karlin, W. J. Studden, Tchebycheff Systems, 1966, chapters 3 and 4 (which measures
//          are extreme, A. A. Markov and M. G. Krein); G. H. Golub, G. Meurant, Matrices, Moments
//          and Quadrature with Applications, 2010, chapter 6 (bounds by Gauss and Lobatto rules);
//          P. J. Davis, Interpolation and Approximation, 1963, chapter 3 (what P leaves); all three
//          from memory
// Held by  tests/beliefs/moments_test.cpp, tests/laws/joint_law_test.cpp
#pragma once
#include "beliefs/beliefs.hpp"

#include <array>
#include <cstddef>

namespace knockwell {

/// Moments of a chance beyond the 0th that are used at most.
inline constexpr std::size_t most_moments = 7;

struct Moments {
    double least = 0, most = 1;  // of the chance
    std::size_t count = 0;       // known beyond the 0th; odd
    // [n] E[t^n]. The 0th may be below 1: the share of the cases that are looked at.
    std::array<double, most_moments + 1> mean{};
    std::array<double, most_moments + 1> off{};  // what rounding may have done to each
};

/// f(p) = -p lb p; the same and that of what is left to 1; or, s being what is left to 1,
/// f(s) + f(alarm) - f(s + alarm): what it leaves open whether something of chance s was noticed,
/// or something of chance `alarm` was reported by mistake.
struct Curve {
    enum class Of { one, both, alarm };
    Of of = Of::one;
    double alarm = 0;
};

/// Mean of the curve, in bits.
[[nodiscard]] Range mean_entropy(const Moments& moments, const Curve& curve);

}  // namespace knockwell
