// beliefs/whole.hpp
//
// All parts of a sum run, and what stands alone: the total and every share. Inside this floor only.
//
// Held by  tests/beliefs/frontier_test.cpp, tests/laws/
#pragma once
#include "beliefs/frontier.hpp"
#include "beliefs/parts.hpp"

#include <limits>
#include <vector>

namespace knockwell {

/// Runs sums of one shape again and again. For one thread.
template <class P>
class Whole {
public:
    /// All must outlive it; no part may be wider than `widest`.
    Whole(const Shape& shape, const SumParts& parts);

    /// Everything: the sum and the shares. False where the sum is 0 in every lane. The numbers must
    /// stay where they are while shares are asked for.
    bool run(const SumOf<P>& sum) { return run(sum, true); }
    /// Only the sum.
    bool run_forward(const SumOf<P>& sum) { return run(sum, false); }

    [[nodiscard]] const Scaled<P>& total() const { return total_; }
    /// Share of a value, 0..1; lanes whose sum is 0 hold 0.
    [[nodiscard]] P share(Var var, std::size_t value) const;
    [[nodiscard]] const Frontier<P>& part(std::size_t which) const { return frontiers_[which]; }

private:
    bool run(const SumOf<P>& sum, bool back);
    [[nodiscard]] P mass_alone(const SumVariable& it) const;

    const Shape& shape_;
    const SumParts& parts_;
    std::vector<Frontier<P>> frontiers_;  // [part]
    const P* numbers_ = nullptr;
    Scaled<P> total_;
};

struct Shares {
    bool possible = false;             // the sum is above 0
    double log_sum = 0;                // natural logarithm
    std::vector<double> share;         // of every value of every variable; sum to 1 for a variable
    std::vector<std::uint32_t> first;  // [variable] its first share
    [[nodiscard]] double of(Var var, std::size_t value) const { return share[first[var] + value]; }
};

/// Shares of every variable. Where the sum is 0 only `possible` = false is meant.
[[nodiscard]] Shares shares_of(const Sum& sum, const SumParts& parts);

/// Only the sum: ln, or minus infinity.
[[nodiscard]] double log_sum_of(const Sum& sum, const SumParts& parts);

}  // namespace knockwell
