// beliefs/expected.hpp
//
// What one set of findings says of the numbers behind it: with what chance each trigger fired.
//
// Idea     P(e) is linear in the shares w of one trigger. With slope s_l = d ln P(e) / d w_l
//          and t = P(its cause is there | e), the trigger was there and fired with level l with
//          chance w_l (t + s_l - sum_k w_k s_k), and was there and did not fire with chance
//          (1 - sum_k w_k) (t - sum_k w_k s_k)
// Source   derivatives of a network are its posteriors (A. Darwiche, JACM 50(3), 2003); expected
//          counts: S. L. Lauritzen, The EM algorithm for graphical association models with missing
//          data, Computational Statistics & Data Analysis 19, 1995, pp. 191-201
// Held by  tests/laws/expected_law_test.cpp (sum over all worlds), tests/learning/
#pragma once
#include "beliefs/beliefs.hpp"

#include <memory>
#include <span>
#include <vector>

namespace knockwell {

/// Not in the sum: nothing found hangs on it.
inline constexpr double not_spoken_of = -1;

/// Of one set of findings; of several, each so many times: the sum of what they say.
struct Expected {
    double times = 1;
    double log_evidence = 0;  // ln P(e), natural logarithm
    std::size_t shape = 0;  // equal for findings that take the same plan: who asks these one after
                            // the other has it made once
    std::vector<double> slope;  // [StrengthIndex] d ln P(e) / d strength
    std::vector<double>
        there;  // [CauseId] P(present before the first repair | e), or not_spoken_of
    std::vector<double> chance;  // [CauseId] mean of r(s), the chance that its settings alone bring
                                 // it, over the settings given e; or not_spoken_of
    std::vector<double> open;    // [CauseId] P(its settings let it be at all | e); or not_spoken_of
};

/// A cause that is said to be there, or not: where it is otherwise, that counts `wrongly` as much.
struct SaidCause {
    KnownCause cause;
    double wrongly = 1;
};

/// What is said of causes besides the evidence. Those of `causes` are in the sum in any case; each
/// other one that the findings speak of and that is not known counts `unnamed` where it is there
/// before the first repair.
struct SaidOfCauses {
    std::vector<SaidCause> causes;
    double unnamed = 1;
};

/// Asks again and again; keeps its plans in between. For one thread.
class Expecting {
public:
    /// `model` must outlive it.
    explicit Expecting(const Model& model);
    ~Expecting();
    Expecting(Expecting&&) noexcept;
    Expecting& operator=(Expecting&&) noexcept;
    Expecting(const Expecting&) = delete;
    Expecting& operator=(const Expecting&) = delete;

    /// Null where the evidence is impossible, or too wide to add up; stands until it is asked
    /// again.
    [[nodiscard]] const Expected* of(const Evidence& evidence, std::span<const double> strengths,
                                     const SaidOfCauses& said = {});

private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

}  // namespace knockwell
