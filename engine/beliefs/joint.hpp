// beliefs/joint.hpp
//
// How many bits looks tell about everything hidden at once: what two causes share is counted once.
// Between two bounds.
//
// Given    looks made one after the other without anything done in between, F what they find;
//          X all that is hidden: which causes are present in the last stage, which of them act
//          during the visit, and every setting and table
// Wanted   I(X; F | e) = H(F | e) - E[ H(F | X) | e ]
// Idea     H(F | e) is exact, by the chances of the outcomes. Given X the things looked at are
//          independent, so that E[ H(F | X) | e ] is a sum over them, each enclosed by the moments
//          of its chances (beliefs/sign_entropy.hpp). No table over the causes is made
// Beside   bits() of beliefs.hpp, a sum over causes: of two that exclude each other it counts twice
//          what tells them apart, of two that tell only together it sees nothing
// Source   C. E. Shannon, A mathematical theory of communication, Bell System Technical Journal
//          27, 1948, pp. 379-423, section 6; D. V. Lindley, On a measure of the information
//          provided by an experiment, Annals of Mathematical Statistics 27(4), 1956, pp. 986-1005
// Held by  tests/laws/joint_law_test.cpp (sum over all worlds), tests/beliefs/joint_test.cpp
#pragma once
#include "beliefs/beliefs.hpp"

#include <optional>
#include <span>
#include <vector>

namespace knockwell {

/// Looks made together; mostly one or two.
using Bundle = std::vector<Look>;

/// More would make the bounds little narrower.
inline constexpr std::size_t usual_questions = 300;

/// Bits of each bundle, all under one plan. No answer: where the evidence is impossible or too wide
/// to add up, for two looks at one sign, one at a sign that has a finding of an earlier stage, one
/// at a finding that surprised (less than 1 in 1000 beside the others), and too many outcomes. For
/// each thing looked at about so many `questions` are put to the plan: with fewer the bounds hold
/// too, further apart.
[[nodiscard]] std::vector<std::optional<Range>> joint_bits(const Model& model,
                                                           const Evidence& evidence,
                                                           std::span<const Bundle> bundles,
                                                           std::size_t questions = usual_questions);

}  // namespace knockwell
