// beliefs/parts.hpp
//
// A sum falls into parts that share no link and no weight: each has its own plan, its own tables
// and its own total, and the whole is their product. What changes in one part leaves the others as
// they are.
//
// Idea     a variable that nothing touches needs no plan: its shares are start times after
// Held by  tests/beliefs/parts_test.cpp, tests/laws/
#pragma once
#include "beliefs/plan.hpp"
#include "beliefs/sum.hpp"

#include <cstdint>
#include <limits>
#include <memory>
#include <vector>

namespace knockwell {

/// Where a variable of the whole sum is.
struct PartPlace {
    static constexpr std::uint32_t alone = std::numeric_limits<std::uint32_t>::max();
    std::uint32_t part = alone;
    Var var = 0;  // in the part; alone: the same as in the whole
    [[nodiscard]] bool is_alone() const { return part == alone; }
};

struct SumPart {
    std::vector<Var> vars;      // [variable of the part] in the whole
    std::vector<Slot> numbers;  // [number of the part] in the whole
    std::shared_ptr<const Plan> plan;
};

struct SumParts {
    std::vector<SumPart> parts;
    std::vector<PartPlace> where;  // [variable of the whole]
    std::vector<Slot> number_at;   // [number of the whole] in its part
    [[nodiscard]] double width() const;
    [[nodiscard]] double cost() const;
};

/// Equal shapes of parts share a plan, which `plans` keeps.
[[nodiscard]] SumParts parts_of(const Shape& shape, std::size_t numbers, PlanCache& plans,
                                Runs runs = Runs::few);
template <class P>
[[nodiscard]] SumParts parts_of(const SumOf<P>& sum, PlanCache& plans, Runs runs = Runs::few) {
    return parts_of(sum.shape, sum.numbers.size(), plans, runs);
}

}  // namespace knockwell
