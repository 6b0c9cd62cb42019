// beliefs/table_slopes.hpp
//
// Slopes of a sum by its own numbers, from a plan that has them (plan_with_slopes). Inside this
// floor only.
//
// Held by  tests/laws/slopes_law_test.cpp, tests/laws/expected_law_test.cpp
#pragma once
#include "beliefs/frontier.hpp"
#include "beliefs/traced.hpp"

#include <vector>

namespace knockwell {

/// [number] d ln(sum) / d number. Every term of the sum takes exactly one number of each table, so
/// that over a table number * derivative adds up to the sum: that settles the factor that a
/// table's slopes carry.
[[nodiscard]] inline std::vector<double> table_slopes(const SumOf<Taped>& sum,
                                                      const Frontier<double>& frontier) {
    std::vector<double> slope(sum.numbers.size(), 0.0);
    each_table(sum.shape, [&](Slot first, Slot count) {
        double total = 0;
        for (Slot i = first; i < first + count; ++i)
            total += sum.numbers[i].v * frontier.slope(i);
        for (Slot i = first; i < first + count; ++i)
            slope[i] = frontier.slope(i) / total;
    });
    return slope;
}

}  // namespace knockwell
