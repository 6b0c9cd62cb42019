// beliefs/plan.hpp
//
// In which order the variables of a sum are opened, linked, weighed and closed.
//
// Wanted   a small frontier: the table of all variables that are open at one time
// Idea     greedy: close next whichever variable makes the table grow least, minus a little for
// each variable that this lets close; several tries
//          with seeded noise, the cheapest kept. Components (by Boost.Graph) are planned one after
//          another, each by itself
// Cost     known before any table is allocated: `cost` = sum over operations of the table's size,
// `width` = log2 of the largest table Source   the greedy order is the min-fill family (U.
// Kjaerulff, Triangulation of graphs, Aalborg R 90-09, 1990) on the sum's own operations Held by
// tests/beliefs/plan_test.cpp
#pragma once
#include "beliefs/sum.hpp"

#include <cstdint>
#include <memory>
#include <vector>

namespace knockwell {

struct PlanStep {
    enum class Kind : std::uint8_t { open, link, weigh, close, next_component };
    Kind kind = Kind::open;
    std::uint32_t index = 0;  // variable, link or weight
};

struct Plan {
    std::vector<PlanStep> steps;
    double width = 0;
    double cost = 0;
};

[[nodiscard]] Plan plan_for(const Sum& sum);

/// Plans kept by structure. A memory only: with or without it the answers are the same bytes. Not
/// for two threads at once.
class PlanCache {
public:
    PlanCache();
    ~PlanCache();
    PlanCache(const PlanCache&) = delete;
    PlanCache& operator=(const PlanCache&) = delete;
    PlanCache(PlanCache&&) = delete;
    PlanCache& operator=(PlanCache&&) = delete;
    [[nodiscard]] std::shared_ptr<const Plan> plan(const Sum& sum);

private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

}  // namespace knockwell
