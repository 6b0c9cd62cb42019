#include "beliefs/frontier.hpp"
#include "beliefs/run.hpp"
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

/// d ln(sum) / d number, for every number of the sum. Every term of the sum takes exactly one
/// number of each table, so that over a table number * derivative adds up to the sum: this settles
/// the factor that a table's slopes carry.
class NumberSlopes {
public:
    NumberSlopes(const Sum& sum, const Frontier<double>& frontier)
        : sum_(sum), frontier_(frontier), slope_(sum.numbers.size(), 0.0) {}

    std::vector<double> all() {
        const Shape& shape = sum_.shape;
        for (const SumVariable& it : shape.variables) {
            settle(it.start, it.values);
            settle(it.after, it.values);
        }
        for (const SumLink& it : shape.links)
            settle(it.rows,
                   shape.combinations(shape.sources(it)) * shape.variables[it.target].values);
        for (const SumWeight& it : shape.weights)
            settle(it.table, shape.combinations(shape.on(it)));
        return std::move(slope_);
    }

private:
    void settle(Slot first, std::size_t count) {
        double total = 0;
        for (Slot i = first; i < first + count; ++i)
            total += sum_.numbers[i] * frontier_.slope(i);
        for (Slot i = first; i < first + count; ++i)
            slope_[i] = frontier_.slope(i) / total;
    }

    const Sum& sum_;
    const Frontier<double>& frontier_;
    std::vector<double> slope_;
};

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
    const std::vector<double> of_numbers = NumberSlopes(sum, frontier).all();
    std::vector<double> by(tape.size(), 0.0);
    for (std::size_t i = 0; i < of_numbers.size(); ++i)
        if (const Tape::Entry entry = built.sum.numbers[i].entry; entry != Tape::constant)
            by[entry] += of_numbers[i];
    if (const Tape::Entry entry = built.sum.factor.entry; entry != Tape::constant)
        by[entry] += 1 / sum.factor;
    tape.carry_back(by);
    by.resize(strengths.size());
    return by;
}

}  // namespace knockwell
