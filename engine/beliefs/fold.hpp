// beliefs/fold.hpp
//
// Variables that touch little are summed out before the frontier is laid: they never become a digit
// of its table.
//
// Given    the shape of a sum
// Wanted   the same sum with fewer variables: a variable v whose links all go to one target t (or
//          that has none) is summed out into one link from its neighbours to t (or one weight on
//          them):
//              made[u, o][e] = sum_a P(v = a | u) after_v[a] prod weights[a, o]
//                              (joined rows of v's links at a, o)[e]
//          then links of one target whose sources are among another's are joined into it, and so
//          for weights
// Idea     a cause that explains one finding only is a fatter link from its settings to that
//          finding; a cause that explains none is a weight of one
// Source   "private" causes and absorption carried over to links with sources; ordinary variable
//          elimination (Zhang & Poole, JAIR 5, 1996), kept to small tables
#pragma once
#include "beliefs/sum.hpp"

#include <cstdint>
#include <limits>
#include <vector>

namespace knockwell {

inline constexpr std::uint32_t nowhere = std::numeric_limits<std::uint32_t>::max();

/// One table that goes into a made one, with the row of it that each entry takes.
struct Ingredient {
    Slot from = 0;
    std::uint32_t row = nowhere;  // first of Folding::rows; nowhere: row number = entry number
};

/// Sums one variable out.
struct Fold {
    Var var = 0;
    std::uint32_t combinations = 1;  // of its neighbours
    Slice in;                        // links into it: row by combination
    Slice weights;                   // numbers by combination * values + value
    Slice out;                       // links from it: row by combination * values + value
    std::uint32_t values = 1;        // of the target; 1: there is none, a weight is made
    Join join;                       // of the target
    Slot made = 0;                   // [combination][value of the target]
};

/// Joins tables of one target (values = 1: multiplies weights).
struct Merge {
    std::uint32_t combinations = 1;
    std::uint32_t values = 1;
    Join join;
    Slice from;
    Slot made = 0;
};

/// What is done next: a fold, or a merge.
struct FoldStep {
    bool merge = false;
    std::uint32_t index = 0;  // of Folding::folds or Folding::merges
};

/// Made numbers stand behind those that were given.
struct Folding {
    std::vector<FoldStep> steps;     // in the order in which they are carried out
    std::vector<SumVariable> given;  // [variable] as it was
    std::vector<Fold> folds;
    std::vector<Merge> merges;
    std::vector<Slot> factors;  // single numbers that multiply everything
    std::vector<Ingredient> ingredients;
    std::vector<std::uint32_t> rows;
    Shape left;                      // variables keep their numbers
    std::vector<std::uint8_t> kept;  // [variable] not folded away
    Slot first_made = 0;
    Slot end = 0;
    double cost = 0;  // multiplications, about
};

/// Folds whatever leaves no table of more than `largest` numbers; 0: nothing at all. `numbers`:
/// how many are given.
[[nodiscard]] Folding fold(const Shape& shape, Slot numbers, std::size_t largest);

}  // namespace knockwell
