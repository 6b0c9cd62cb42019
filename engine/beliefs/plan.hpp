// beliefs/plan.hpp
//
// How a sum is carried out, from its shape alone: what is folded away, and every operation of the
// frontier with its places in the tables. Made once for a shape; then run under any numbers.
//
// Cost     known before any table is allocated: `cost` = sum over operations of the entries that
//          they touch, `width` = log2 of the largest table, `entries` = numbers that the way back
//          needs at one time
// Held by  tests/beliefs/plan_test.cpp
#pragma once
#include "beliefs/fold.hpp"
#include "beliefs/order.hpp"
#include "beliefs/sum.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

namespace knockwell {

/// One operation of the frontier. Tables: the first variable opened is the fastest digit.
struct Operation {
    OrderStep::Kind kind = OrderStep::Kind::open;
    OrderStep::With with = OrderStep::With::start;  // open
    bool gradient = false;     // whoever made the numbers asks how the sum depends on them
    std::uint32_t values = 1;  // of var
    Var var = 0;               // opened, closed, or the target of a link
    Join join;
    Slot numbers = 0;        // start, rows, table, or (close) after
    Slice offsets;           // of every combination of the sources
    Slice gaps;              // how to reach every run, fastest first
    std::size_t size = 1;    // entries of the table that it works in (open: after, close: before)
    std::size_t stride = 1;  // of var
    std::size_t run = 1;     // entries side by side with var and the sources at 0
    std::size_t from = 0;    // where the table stands before and after
    std::size_t to = 0;
};

/// What grows in two tables that meet: `from` in the one becomes `to` in both, with the chance that
/// the other adds what is missing. Digit by digit: what a digit of base b can become is numbered
/// 0..b(b+1)/2-1 (0 to 0, 0 to 1, ... 1 to 1, ...), the first digit slowest. The last digit is in
/// no pair: it is gone through within each, by what the other table has of it.
struct MeetPair {
    std::uint32_t from = 0, to = 0;  // offsets in the table after the meeting
    std::uint32_t chance = 0;  // where its chances begin, one for each value of the last digit
};

/// Two tables become one: entries that agree in what is complete in both are multiplied, what grows
/// in both is joined, digits of the other table alone become the slowest. In the operation: `size`
/// of the table before, `numbers` the meeting, offsets of every combination of the digits that are
/// complete in both.
struct Meeting {
    std::size_t other = 0;  // where the other table stands
    std::size_t other_size = 1;
    Slice shared;             // offsets in the other table of the same combinations
    Slice fresh;              // ... of the combinations of its own digits
    Slice grows;              // ... of the combinations of what grows in both
    Slice pairs;              // by `from`
    Slice by_to;              // the same by `to`
    Slice bases;              // of the digits of what grows in both, the slowest first
    std::uint32_t base = 1;   // of the last of those; 1: nothing grows in both
    std::size_t stride = 0;   // ... in the table after the meeting
    std::size_t chances = 1;  // of all pairs
};

struct Gap {
    std::size_t stride = 0, count = 0;
};

struct Plan {
    Folding folding;
    std::vector<Operation> operations;
    std::vector<Meeting> meetings;
    std::vector<MeetPair> pairs;
    std::vector<std::size_t> offsets;
    std::vector<Gap> gaps;
    std::vector<std::uint32_t> share_at;  // [variable] first of its values
    std::uint32_t shares = 0;
    std::size_t room_of_a_link = 0;  // numbers that the dearest of them needs beside its tables
    std::size_t most_chances = 1;    // of a meeting
    std::uint32_t most_opened = 0;   // values of a variable opened with other than its start
    bool slopes = false;             // of every given number
    double width = 0;
    double cost = 0;
    std::size_t entries = 1;
    std::size_t largest = 1;  // entries of the largest table
};

/// Wider plans have no operations: they are not to be run. 2^24 numbers are 128 MiB a table.
inline constexpr double widest = 24;

/// Of all tables of a plan together, 1 GiB; what keeps more counts as wider than the widest.
inline constexpr std::size_t most_entries = std::size_t{1} << 27U;

/// Operations that one question may take, by the costs of plans (about three seconds; eight at once
/// take four times as long as one). What takes more is not worked out, as where it is too wide.
inline constexpr double patience = 1.5e9;
inline constexpr double patience_of_eight = patience / 4;

/// The search for a cheap plan costs as much as a few runs.
enum class Runs { few, many };

/// What a plan begins with, by few tries.
struct Draft {
    Folding folding;
    Order order;
    bool branched = false;
    [[nodiscard]] double cost() const;
};

/// `numbers`: how many the sum has, laid out as parts_of() does (beliefs/parts.hpp).
[[nodiscard]] Draft rough_draft(const Shape& shape, Slot numbers, Runs runs);

/// By as many more tries as the runs are worth.
[[nodiscard]] Plan plan_from(Draft best, const Shape& shape, Slot numbers, Runs runs);

[[nodiscard]] inline Plan plan_for(const Shape& shape, Slot numbers, Runs runs = Runs::few) {
    return plan_from(rough_draft(shape, numbers, runs), shape, numbers, runs);
}

/// With a fixed limit to what is folded; 0: nothing is.
[[nodiscard]] Plan plan_folding(const Shape& shape, Slot numbers, std::size_t largest_fold);

/// With a fixed limit, and branches whatever they cost; nothing where they get stuck.
[[nodiscard]] std::optional<Plan> plan_branching(const Shape& shape, Slot numbers,
                                                 std::size_t largest_fold);

/// One that tells how the sum depends on every number that was given (Frontier::slope).
[[nodiscard]] Plan plan_with_slopes(const Shape& shape, Slot numbers);

}  // namespace knockwell
