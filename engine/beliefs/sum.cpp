#include "beliefs/sum.hpp"

#include <algorithm>
#include <cassert>
#include <utility>

namespace knockwell {

std::uint32_t Join::operator()(std::uint32_t a, std::uint32_t b) const {
    if (digits == 1)
        return std::max(a, b);
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

Var Sum::add(std::vector<double> start, Join join) {
    const auto values = static_cast<std::uint32_t>(start.size());
    variables.push_back({values, std::move(start), join, {}});
    return static_cast<Var>(variables.size() - 1);
}

void Sum::weigh(std::vector<Var> on, std::vector<double> table) {
    if (on.empty()) {
        factor *= table.front();
        return;
    }
    if (on.size() == 1) {
        std::vector<double>& after = variables[on.front()].after;
        if (after.empty())
            after.assign(variables[on.front()].values, 1.0);
        assert(after.size() == table.size() && "a weight has one number for each value");
        for (std::size_t i = 0; i < after.size(); ++i)
            after[i] *= table[i];
        return;
    }
    weights.push_back({std::move(on), std::move(table)});
}

std::vector<std::uint32_t> structure_of(const Sum& sum) {
    std::vector<std::uint32_t> key;
    key.push_back(static_cast<std::uint32_t>(sum.variables.size()));
    for (const SumVariable& variable : sum.variables)
        key.push_back(variable.values);
    for (const SumLink& link : sum.links) {
        key.push_back(link.target);
        key.push_back(static_cast<std::uint32_t>(link.sources.size()));
        key.insert(key.end(), link.sources.begin(), link.sources.end());
    }
    key.push_back(static_cast<std::uint32_t>(-1));
    for (const SumWeight& weight : sum.weights) {
        key.push_back(static_cast<std::uint32_t>(weight.on.size()));
        key.insert(key.end(), weight.on.begin(), weight.on.end());
    }
    return key;
}

}  // namespace knockwell
