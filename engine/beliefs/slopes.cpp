#include "beliefs/run.hpp"
#include "beliefs/table_slopes.hpp"

namespace knockwell {

std::optional<std::vector<double>> slopes(const Model& model, const Evidence& evidence,
                                          std::span<const double> strengths) {
    Traced traced(model);
    const BuiltOf<Taped>& built = traced.build(evidence, strengths);
    if (built.too_wide())
        return std::nullopt;
    const SumOf<Taped>& sum = built.sum;
    const Plan plan = plan_with_slopes(sum.shape, static_cast<Slot>(sum.numbers.size()));
    if (plan.width > widest)
        return std::nullopt;
    Frontier<double> frontier(plan);
    for (std::size_t i = 0; i < sum.numbers.size(); ++i)
        frontier.numbers()[i] = sum.numbers[i].v;
    if (!frontier.run() || !(sum.factor.v > 0))
        return std::nullopt;
    std::vector<double> by;
    traced.carry_back(table_slopes(sum, frontier), 1, by);
    return by;
}

}  // namespace knockwell
