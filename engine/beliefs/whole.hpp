// beliefs/whole.hpp
//
// All parts of a sum run, and what stands alone: the total and every share. Inside this floor only.
//
// Held by  tests/beliefs/frontier_test.cpp, tests/laws/
#pragma once
#include "beliefs/frontier.hpp"
#include "beliefs/parts.hpp"

#include <optional>
#include <span>
#include <vector>

namespace knockwell {

/// Tables of eight lanes larger than this are not kept: one lane at a time then (512 MiB).
inline constexpr std::size_t most_pack_entries = std::size_t{1} << 23U;

template <class P>
class Whole;

/// One part again and again, by its plan or case by case. For one thread.
template <class P>
class PartSum {
public:
    /// Must outlive it; not wider than `widest`.
    explicit PartSum(const SumPart& part);
    ~PartSum();
    PartSum(const PartSum&) = delete;
    PartSum& operator=(const PartSum&) = delete;
    PartSum(PartSum&&) noexcept;
    PartSum& operator=(PartSum&&) = delete;

    /// As those of Frontier.
    [[nodiscard]] P* numbers() { return frontier_ ? frontier_->numbers() : numbers_.data(); }
    void changed(Slot number);
    void all_changed();
    void want(std::span<const Var> variables);
    bool run(bool back);
    [[nodiscard]] const Scaled<P>& total() const { return frontier_ ? frontier_->total() : total_; }
    [[nodiscard]] P share(Var var, std::size_t value) const;

private:
    void weigh_cases();

    std::optional<Frontier<P>> frontier_;  // by its plan
    std::vector<P> numbers_;               // else these
    std::vector<Slot> changed_;
    bool all_changed_ = true;
    std::vector<Whole<P>> cases_;
    std::vector<P> weights_;  // [case] share of the total
    Scaled<P> total_;
};

/// Runs sums of one shape again and again. For one thread.
template <class P>
class Whole {
public:
    /// All must outlive it; no part may be wider than `widest`.
    Whole(const Shape& shape, const SumParts& parts);

    /// Everything: the sum and the shares. False where the sum is 0 in every lane. The numbers must
    /// stay where they are while shares are asked for.
    bool run(const SumOf<P>& sum) { return take(sum.numbers.data()), run(sum.factor, true); }
    /// Only the sum.
    bool run_forward(const SumOf<P>& sum) {
        return take(sum.numbers.data()), run(sum.factor, false);
    }

    /// The same in steps: all numbers, or one that changed, and then the run.
    void take(const P* numbers);
    void renew(Slot number);
    bool run(const P& factor, bool back);
    void want(std::span<const Var> variables);

    [[nodiscard]] const Scaled<P>& total() const { return total_; }
    /// Share of a value, 0..1; lanes whose sum is 0 hold 0.
    [[nodiscard]] P share(Var var, std::size_t value) const;
    [[nodiscard]] const PartSum<P>& part(std::size_t which) const { return sums_[which]; }

private:
    [[nodiscard]] P mass_alone(Var var) const;

    const Shape& shape_;
    const SumParts& parts_;
    std::vector<PartSum<P>> sums_;  // [part]
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
