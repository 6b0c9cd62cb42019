// beliefs/loosening.hpp
//
// A sum that is too wide, enclosed between two that are not. Inside this floor only.
//
// Given    a sum, and how many operations one run may cost
// Wanted   two sums of one smaller shape, the one never below it and the other never above it,
//          with any values of its variables held fixed
// Idea     a link is cut from one of its sources v: its row no longer hangs on v. The row that
//          stands in is the largest (smallest) over the values a of v of row(a) / m(a), while v is
//          multiplied by m(a); any m > 0 will do. All numbers of a sum are factors of it and none
//          is negative, so it grows and shrinks with each of them. Cut are the links that loosen
//          least by a rough guess, no more of them than it takes. m begins at that guess and is
//          then balanced: the sum from above is least where a value is as probable in v as it is
//          among the rows that stand in
// Source   mini-buckets: R. Dechter, I. Rish, JACM 50(2), 2003, pp. 107-153; with factors shifted
//          between the copies and balanced after A. Ihler, N. Flerova, R. Dechter, L. Otten, Join-
//          graph based cost-shifting schemes, UAI 2012
// Held by  tests/beliefs/loosening_test.cpp, tests/laws/enclosure_law_test.cpp
#pragma once
#include "beliefs/choosing_cuts.hpp"
#include "beliefs/cut_link.hpp"
#include "beliefs/sum.hpp"

#include <span>
#include <vector>

namespace knockwell {

/// The sum with these links cut; its shape does not hang on the side, nor on m. Neither side is
/// crossed by the sum itself, nor by the sum where some of the `asked` have fixed values.
[[nodiscard]] Sum loosened(const Sum& sum, std::span<const Var> asked, std::span<const Cut> cuts,
                           From from);

/// Between which bounds the sum lies, and the shares of the values of the asked.
struct Enclosed {
    struct Bounds {
        double low = 0;
        double high = 1;
    };
    Bounds log_sum;                           // low: minus infinity where nothing is known
    std::vector<std::vector<Bounds>> shares;  // [asked][value]
    Guess guess;                              // a better one
};

/// By one run from below and `rounds` from above, m better each time: whatever each of them says
/// holds.
[[nodiscard]] Enclosed enclosed(const Sum& sum, std::span<const Var> asked, std::vector<Cut> cuts,
                                int rounds);

}  // namespace knockwell
