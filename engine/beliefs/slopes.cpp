#include "beliefs/frontier.hpp"
#include "beliefs/run.hpp"
#include "beliefs/table_slopes.hpp"
#include "beliefs/tape.hpp"

#include <cmath>

namespace knockwell {
namespace {

Sum plain(const SumOf<Taped>& taped) {
    Sum sum;
    sum.shape = taped.shape;
    for (const Taped& number : taped.numbers)
        sum.numbers.push_back(number.v);
    sum.factor = taped.factor.v;
    return sum;
}

}  // namespace

std::optional<std::vector<double>> slopes(const Model& model, const Evidence& evidence,
                                          std::span<const double> strengths) {
    Tape tape;
    std::vector<Taped> taped;
    taped.reserve(strengths.size());
    for (const double strength : strengths)
        taped.emplace_back(strength, tape);
    const BuiltOf<Taped> built = build(model, evidence, taped);
    if (built.too_wide())
        return std::nullopt;
    const Sum sum = plain(built.sum);
    const Plan plan = plan_with_slopes(sum.shape, static_cast<Slot>(sum.numbers.size()));
    if (plan.width > widest)
        return std::nullopt;
    Frontier<double> frontier(plan);
    std::copy(sum.numbers.begin(), sum.numbers.end(), frontier.numbers());
    if (!frontier.run() || !(sum.factor > 0))
        return std::nullopt;
    const TableSlopes of_numbers(built.sum, frontier);
    std::vector<double> by(tape.size(), 0.0);
    for (Slot i = 0; i < built.sum.numbers.size(); ++i)
        if (const Tape::Entry entry = built.sum.numbers[i].entry; entry != Tape::constant)
            by[entry] += of_numbers.slope(i);
    if (const Tape::Entry entry = built.sum.factor.entry; entry != Tape::constant)
        by[entry] += 1 / sum.factor;
    tape.carry_back(by);
    by.resize(strengths.size());
    return by;
}

}  // namespace knockwell
