#include "beliefs/traced.hpp"

#include "beliefs/cases.hpp"

#include <algorithm>

namespace knockwell {
namespace {

/// [variable] its first link in, or no_var.
std::vector<std::uint32_t> first_links(const Shape& shape) {
    std::vector<std::uint32_t> first(shape.variables.size(), no_var);
    for (std::size_t i = shape.links.size(); i-- > 0;)
        first[shape.links[i].target] = static_cast<std::uint32_t>(i);
    return first;
}

}  // namespace

BuiltOf<Taped>& Traced::build(const Evidence& evidence, std::span<const double> strengths,
                              const BuildChoice& choice) {
    take(strengths);
    built_ = knockwell::build(*model_, evidence, taped_, choice);
    return built_;
}

/// The strengths as they stand first on the tape.
void Traced::take(std::span<const double> strengths) {
    const bool same = std::equal(strengths.begin(), strengths.end(), taped_.begin(), taped_.end(),
                                 [](double strength, const Taped& of) { return strength == of.v; });
    tape_.cut_back(same ? taped_.size() : 0);
    if (same)
        return;
    taped_.clear();
    for (const double strength : strengths)
        taped_.emplace_back(strength, tape_);
}

void Traced::carry_back(std::span<const double> slope, double times, std::vector<double>& into) {
    const SumOf<Taped>& sum = built_.sum;
    into.assign(tape_.size(), 0.0);
    for (std::size_t i = 0; i < sum.numbers.size(); ++i)
        if (const Tape::Entry entry = sum.numbers[i].entry; entry != Tape::constant)
            into[entry] += slope[i];
    if (const Tape::Entry entry = sum.factor.entry; entry != Tape::constant)
        into[entry] += times / sum.factor.v;
    tape_.carry_back(into);
    into.resize(taped_.size());
}

/// Of each case of the unknown settings by the rows that stand first among the links to the cause.
void Traced::tell_chances(const Evidence& evidence, std::span<const double> strengths,
                          std::span<const double> slope, double times, Expected& into) const {
    const SumOf<Taped>& sum = built_.sum;
    const std::vector<std::uint32_t> first_link = first_links(sum.shape);
    const std::vector<CauseNode>& nodes = model_->network->causes;
    into.chance.assign(nodes.size(), not_spoken_of);
    into.open.assign(nodes.size(), not_spoken_of);
    const auto share = [&](Slot number) { return sum.numbers[number].v * slope[number]; };
    for (std::uint32_t c = 0; c < nodes.size(); ++c) {
        if (!built_.holds(c))
            continue;
        Cases cases(*model_->knowledge, evidence, nodes[c].settings);
        double mean = 0;
        double open = 0;
        const auto add = [&](double of_it) {
            const double r = base_chance(nodes[c], cases, strengths);
            mean += of_it * r;
            open += r > 0 ? of_it : 0;
        };
        const std::uint32_t link = first_link[built_.first(c)];
        if (cases.unknown().empty())
            add(times);
        // Without a link it cannot be under what is known, whatever the rest is.
        for (std::size_t which = 0;
             !cases.unknown().empty() && link != no_var && which < cases.count(); ++which) {
            const auto row = static_cast<Slot>(sum.shape.links[link].rows + 2 * which);
            cases.choose(which);
            add(share(row) + share(row + 1));
        }
        into.chance[c] = mean;
        into.open[c] = open;
    }
}

}  // namespace knockwell
