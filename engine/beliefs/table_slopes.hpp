// beliefs/table_slopes.hpp
//
// Slopes of a sum by its own numbers, from a plan that has them (plan_with_slopes). Inside this
// floor only.
//
// Held by  tests/laws/slopes_law_test.cpp, tests/laws/expected_law_test.cpp
#pragma once
#include "beliefs/frontier.hpp"
#include "beliefs/tape.hpp"

#include <vector>

namespace knockwell {

/// d ln(sum) / d number. Every term of the sum takes exactly one number of each
/// table, so that over a table number * derivative adds up to the sum: that settles the factor that
/// a table's slopes carry.
class TableSlopes {
public:
    TableSlopes(const SumOf<Taped>& sum, const Frontier<double>& frontier)
        : sum_(&sum), frontier_(&frontier), slope_(sum.numbers.size(), 0.0) {
        const Shape& shape = sum.shape;
        for (const SumVariable& it : shape.variables) {
            settle(it.start, it.values);
            settle(it.after, it.values);
        }
        for (const SumLink& it : shape.links)
            settle(it.rows,
                   shape.combinations(shape.sources(it)) * shape.variables[it.target].values);
        for (const SumWeight& it : shape.weights)
            settle(it.table, shape.combinations(shape.on(it)));
    }

    [[nodiscard]] double slope(Slot number) const { return slope_[number]; }
    /// P(that entry of its table is the one that holds | e).
    [[nodiscard]] double share(Slot number) const {
        return sum_->numbers[number].v * slope_[number];
    }

private:
    void settle(Slot first, std::size_t count) {
        double total = 0;
        for (Slot i = first; i < first + count; ++i)
            total += sum_->numbers[i].v * frontier_->slope(i);
        for (Slot i = first; i < first + count; ++i)
            slope_[i] = frontier_->slope(i) / total;
    }

    const SumOf<Taped>* sum_;
    const Frontier<double>* frontier_;
    std::vector<double> slope_;
};

}  // namespace knockwell
