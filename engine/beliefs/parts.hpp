// beliefs/parts.hpp
//
// A sum falls into parts that share no link and no weight: each has its own plan, its own tables
// and its own total, and the whole is their product. What changes in one part leaves the others as
// they are.
//
// Idea     a variable that nothing touches needs no plan: its shares are start times after. A part
//          may be added up case by case, one for each value of one of its variables (the kind of
//          pump): what cannot be there in a case is left out of it, so that all cases together are
//          often far cheaper than the part as a whole; each case falls into parts of its own
// Source   conditioning on a few variables (J. Pearl, Probabilistic Reasoning in Intelligent
//          Systems, 1988, 4.4), with the zeros of each case left out (C. Boutilier et al., Context-
//          specific independence in Bayesian networks, UAI 1996, pp. 115-123)
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

struct PartCases;

/// Numbers of a part that are left out of a case have no place in it.
struct SumPart {
    std::vector<Var> vars;      // [variable of the part] in the whole
    std::vector<Slot> numbers;  // [number of the part] in the whole
    std::shared_ptr<const Plan> plan;
    std::shared_ptr<const PartCases> cases;  // where that is cheaper; then the plan is not run

    [[nodiscard]] double width() const;
    [[nodiscard]] double cost() const;
    [[nodiscard]] std::size_t entries() const;
};

struct SumParts {
    std::vector<SumPart> parts;
    std::vector<PartPlace> where;        // [variable of the whole]
    std::vector<Slot> number_at;         // [number of the whole] in its part
    std::vector<std::uint32_t> part_at;  // [number of the whole] its part, or alone
    std::vector<Slot> factors;           // numbers of the whole that multiply everything
    SumCase known;                       // of a case: its variables stand alone

    [[nodiscard]] double width() const;
    [[nodiscard]] double cost() const;
    [[nodiscard]] std::size_t entries() const;
};

/// A part as a sum over the values of one variable.
struct PartCases {
    Shape shape;                  // of the part
    std::vector<SumParts> cases;  // their whole is the part
    double width = 0;
    double cost = 0;
    std::size_t entries = 1;
};

/// How parts are added up, by structure. Not for several threads at once.
class PlanCache {
public:
    /// wherever_possible: branches and cases even where they are dearer, for tests.
    enum class Ways { cheapest, wherever_possible };
    explicit PlanCache(Ways ways = Ways::cheapest);
    ~PlanCache();
    PlanCache(const PlanCache&) = delete;
    PlanCache& operator=(const PlanCache&) = delete;
    PlanCache(PlanCache&&) = delete;
    PlanCache& operator=(PlanCache&&) = delete;
    /// Sets plan and cases of a part with this shape.
    void plan(const Shape& shape, Runs runs, SumPart& part);

private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

/// Equal shapes of parts share a plan, which `plans` keeps.
[[nodiscard]] SumParts parts_of(const Shape& shape, std::size_t numbers, PlanCache& plans,
                                Runs runs = Runs::few);
/// What all parts cost, without cases and without many tries: parts_of() finds nothing dearer.
[[nodiscard]] double rough_cost(const Sum& sum);
template <class P>
[[nodiscard]] SumParts parts_of(const SumOf<P>& sum, PlanCache& plans, Runs runs = Runs::few) {
    return parts_of(sum.shape, sum.numbers.size(), plans, runs);
}

}  // namespace knockwell
