// beliefs/frontier.hpp
//
// The sum of a `Sum`, exactly, by carrying a table over the variables that are open.
//
// Given    a part of a sum and the plan for its shape
// Wanted   the sum, and the share of every value of every variable; for eight sets of numbers at
//          once where they are packs
// Idea     forward: OPEN multiplies the table by a start vector (a new slowest digit), LINK moves
//          mass inside it, WEIGH scales it, CLOSE sums a digit out.
//          backward: B = derivative of the sum by each table entry, walked through the same steps
//          in reverse; at CLOSE of v the share of value a is sum_s f[s, a] B[s]. Folded variables
//          get theirs from the derivative by the table that they went into
// Cost     operations * size of the table; nothing is ever subtracted, so the relative error stays
//          near the number of roundings
// Care     tables are rescaled by powers of two at CLOSE, so that evidence down to 1e-250 and
//          below keeps all its digits. Nothing is divided by: an `always` link has weights of 0
// Source   variable elimination (Zhang & Poole, JAIR 5, 1996, pp. 301-328) with the derivative
//          reading of A. Darwiche, A differential approach to inference in Bayesian networks, JACM
//          50(3), 2003; triggers one at a time after D. Heckerman, UAI 1993, pp. 122-127 (temporal
//          noisy-OR)
// Held by  tests/beliefs/frontier_test.cpp, tests/laws/
#pragma once
#include "beliefs/making.hpp"
#include "beliefs/plan.hpp"
#include "beliefs/scale.hpp"
#include "beliefs/steps.hpp"
#include "beliefs/sum.hpp"

#include <cstdint>
#include <memory>
#include <new>
#include <span>
#include <vector>

namespace knockwell {

/// For large tables that are written before they are read: their numbers are not set when they are
/// made.
template <class P>
struct UnsetAllocator : std::allocator<P> {
    template <class Q>
    // NOLINTNEXTLINE(readability-identifier-naming): the standard names it
    struct rebind {
        using other = UnsetAllocator<Q>;
    };
    void construct(P* at) { ::new (static_cast<void*>(at)) P; }
    void construct(P* at, const P& from) { ::new (static_cast<void*>(at)) P(from); }
};
template <class P>
using Unset = std::vector<P, UnsetAllocator<P>>;

/// Runs one plan again and again; keeps its tables in between. For one thread.
template <class P>
class Frontier {
public:
    explicit Frontier(const Plan& plan, const Steps<P>& with = steps<P>());

    /// The part's numbers, to be set before the first run; they stay as they are set. Whoever
    /// changes some later says so by changed().
    [[nodiscard]] P* numbers() { return making_.given(); }
    void changed(Slot number) { making_.changed(number); }
    void all_changed() { making_.all_changed(); }

    /// Only the shares of these variables will be asked for; without this, all.
    void want(std::span<const Var> variables);

    /// Everything: the sum and the shares. False where the sum is 0 in every lane.
    bool run() { return run(true); }
    /// Only the sum.
    bool run_forward() { return run(false); }

    [[nodiscard]] const Scaled<P>& total() const { return total_; }
    /// Share of a value, 0..1; lanes whose sum is 0 hold 0.
    [[nodiscard]] const P& share(Var var, std::size_t value) const {
        return share_[plan_.share_at[var] + value];
    }

    /// Derivative of the sum by a given number, up to one factor a table; plans with slopes only.
    [[nodiscard]] const P& slope(Slot number) const { return making_.slope(number); }

private:
    bool run(bool back);
    bool forward();
    void backward();

    [[nodiscard]] P* slopes(const Operation& op);
    bool close(const Operation& op);
    void unclose(const Operation& op);
    void meet(const Operation& op);
    void unmeet(const Operation& op);
    void settle(P* table, std::size_t size, Exponent<P>* exponent) const;
    [[nodiscard]] const P* opened_with(const Operation& op) const;
    void settle_shares();

    [[nodiscard]] P* at(std::size_t place) { return table_.data() + place; }

    const Plan& plan_;
    const Steps<P>& steps_;
    Making<P> making_;
    Unset<P> table_;                 // forward tables, those that the way back needs kept
    Unset<P> back_, other_;          // the backward table, and room for the next
    std::vector<Unset<P>> waiting_;  // backward tables of those that wait for others to meet them
    std::size_t waits_ = 0;          // how many
    std::vector<P> share_;
    std::vector<std::uint8_t> wanted_;  // [variable] whether its share is; empty: all are
    std::vector<P> scratch_;
    std::vector<P> ones_, nothing_;  // what a variable may be opened with
    Scaled<P> total_;
};

}  // namespace knockwell
