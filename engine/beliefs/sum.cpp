#include "beliefs/sum.hpp"

#include <algorithm>
#include <cassert>
#include <utility>

namespace knockwell {

std::uint32_t Join::by_digits(std::uint32_t a, std::uint32_t b) const {
    std::uint32_t out = 0;
    std::uint32_t place = 1;
    for (std::uint32_t d = 0; d < digits; ++d) {
        out += place * std::max(a % base, b % base);
        a /= base;
        b /= base;
        place *= base;
    }
    return out;
}

template <class P>
Var SumOf<P>::add(std::vector<P> start, Join join) {
    const auto values = static_cast<std::uint32_t>(start.size());
    variables.push_back({values, std::move(start), join, {}});
    return static_cast<Var>(variables.size() - 1);
}

template <class P>
void SumOf<P>::weigh(std::vector<Var> on, std::vector<P> table) {
    if (on.empty()) {
        factor *= table.front();
        return;
    }
    if (on.size() == 1) {
        std::vector<P>& after = variables[on.front()].after;
        if (after.empty())
            after.assign(variables[on.front()].values, P(1.0));
        assert(after.size() == table.size() && "a weight has one number for each value");
        for (std::size_t i = 0; i < after.size(); ++i)
            after[i] *= table[i];
        return;
    }
    weights.push_back({std::move(on), std::move(table)});
}

template <class P>
Structure structure_of(const SumOf<P>& sum) {
    Structure key;
    key.reserve(1 + sum.variables.size() + 4 * sum.links.size() + 3 * sum.weights.size());
    key.push_back(static_cast<std::uint32_t>(sum.variables.size()));
    for (const SumVariableOf<P>& variable : sum.variables) {
        key.push_back(variable.values);
        key.push_back(variable.join.base);
        key.push_back(variable.join.digits);
    }
    key.push_back(static_cast<std::uint32_t>(sum.links.size()));
    for (const SumLinkOf<P>& link : sum.links) {
        key.push_back(link.target);
        key.push_back(static_cast<std::uint32_t>(link.sources.size()));
        key.insert(key.end(), link.sources.begin(), link.sources.end());
    }
    for (const SumWeightOf<P>& weight : sum.weights) {
        key.push_back(static_cast<std::uint32_t>(weight.on.size()));
        key.insert(key.end(), weight.on.begin(), weight.on.end());
    }
    return key;
}

template struct SumOf<double>;
template struct SumOf<Pack>;
template Structure structure_of(const SumOf<double>& sum);
template Structure structure_of(const SumOf<Pack>& sum);

}  // namespace knockwell
