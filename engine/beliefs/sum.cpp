#include "beliefs/sum.hpp"

#include "beliefs/join_rows.hpp"
#include "beliefs/tape.hpp"

#include <boost/pending/disjoint_sets.hpp>

#include <algorithm>
#include <cassert>

namespace knockwell {

// ---------------------------------------------------------------- the shape

std::size_t Shape::combinations(std::span<const Var> vars) const {
    std::size_t product = 1;
    for (const Var v : vars)
        product *= variables[v].values;
    return product;
}

Slice Shape::listed(std::span<const Var> vars) {
    const Slice slice{static_cast<std::uint32_t>(lists.size()),
                      static_cast<std::uint32_t>(vars.size())};
    lists.insert(lists.end(), vars.begin(), vars.end());
    return slice;
}

void Shape::add(std::uint32_t values, Join join, Slot start, Slot after) {
    variables.push_back({values, join, start, after});
}

void Shape::link(Var target, std::span<const Var> sources, Slot rows) {
    links.push_back({target, listed(sources), rows});
}

void Shape::weigh(std::span<const Var> on, Slot table) { weights.push_back({listed(on), table}); }

void Shape::clear() {
    variables.clear();
    links.clear();
    weights.clear();
    requirements.clear();
    lists.clear();
}

SumCase::SumCase(const Shape& shape, Var hub, std::uint32_t value)
    : known_(shape.variables.size(), 0), hub_(hub), value_(value) {
    known_[hub] = 1;
    for (const Requirement& it : shape.requirements)
        if (it.on == hub && ((it.allowed >> value) & 1U) == 0)
            known_[it.var] = 1;
}

bool adds_nothing(const Shape& shape, const SumLink& link, const SumCase& one) {
    if (one.knows_nothing())
        return false;
    const std::span<const Var> sources = shape.sources(link);
    return one.absent(link.target) ||
           std::any_of(sources.begin(), sources.end(), [&](Var v) { return one.absent(v); });
}

std::vector<Var> components_of(const Shape& shape, const SumCase& one) {
    const std::size_t n = shape.variables.size();
    const auto none = static_cast<Var>(n);
    std::vector<Var> rank(n, 0);
    std::vector<Var> parent(n);
    boost::disjoint_sets<Var*, Var*> sets(rank.data(), parent.data());
    for (Var v = 0; v < n; ++v)
        sets.make_set(v);
    for (const SumLink& link : shape.links) {
        if (adds_nothing(shape, link, one))
            continue;
        for (const Var source : shape.sources(link))
            if (!one.knows(source))
                sets.union_set(source, link.target);
    }
    for (const SumWeight& weight : shape.weights) {
        Var first = none;
        for (const Var v : shape.on(weight)) {
            if (one.knows(v))
                continue;
            first = first == none ? v : first;
            sets.union_set(first, v);
        }
    }
    std::vector<Var> least(n, static_cast<Var>(n));
    std::vector<Var> component(n);
    for (Var v = 0; v < n; ++v) {
        Var& first = least[sets.find_set(v)];
        first = std::min(first, v);
        component[v] = first;
    }
    return component;
}

// ---------------------------------------------------------------- the sum

template <class P>
Var SumOf<P>::add(std::span<const P> start, Join join) {
    const auto values = static_cast<std::uint32_t>(start.size());
    const auto at = static_cast<Slot>(numbers.size());
    numbers.insert(numbers.end(), start.begin(), start.end());
    numbers.resize(numbers.size() + values, P(1.0));
    shape.add(values, join, at, at + values);
    return static_cast<Var>(shape.variables.size() - 1);
}

template <class P>
void SumOf<P>::link(Var target, std::span<const Var> sources, std::span<const P> rows) {
    assert(rows.size() == shape.combinations(sources) * shape.variables[target].values);
    if (sources.empty()) {
        const SumVariable& it = shape.variables[target];
        P* start = numbers.data() + it.start;
        const std::vector<P> was(start, start + it.values);
        std::vector<P> room(room_of(it.join));
        join_into(start, was.data(), rows.data(), it.values, it.join, room.data());
        return;
    }
    shape.link(target, sources, static_cast<Slot>(numbers.size()));
    numbers.insert(numbers.end(), rows.begin(), rows.end());
}

template <class P>
void SumOf<P>::weigh(std::span<const Var> on, std::span<const P> table) {
    assert(table.size() == shape.combinations(on) && "a weight has one number a combination");
    if (on.empty()) {
        factor *= table.front();
        return;
    }
    if (on.size() == 1) {
        P* after = numbers.data() + shape.variables[on.front()].after;
        for (std::size_t i = 0; i < table.size(); ++i)
            after[i] *= table[i];
        return;
    }
    shape.weigh(on, static_cast<Slot>(numbers.size()));
    numbers.insert(numbers.end(), table.begin(), table.end());
}

Structure structure_of(const Shape& shape) {
    Structure key;
    key.reserve(3 + 3 * shape.variables.size() + 2 * shape.links.size() + shape.weights.size() +
                shape.lists.size());
    const auto size = [&](std::size_t n) { key.push_back(static_cast<std::uint32_t>(n)); };
    const auto list = [&](std::span<const Var> vars) {
        size(vars.size());
        key.insert(key.end(), vars.begin(), vars.end());
    };
    size(shape.variables.size());
    for (const SumVariable& variable : shape.variables)
        key.insert(key.end(), {variable.values, variable.join.base, variable.join.digits});
    size(shape.links.size());
    for (const SumLink& link : shape.links) {
        key.push_back(link.target);
        list(shape.sources(link));
    }
    for (const SumWeight& weight : shape.weights)
        list(shape.on(weight));
    for (const Requirement& it : shape.requirements)
        key.insert(key.end(), {it.var, it.on, static_cast<std::uint32_t>(it.allowed),
                               static_cast<std::uint32_t>(it.allowed >> 32U)});
    return key;
}

template struct SumOf<double>;
template struct SumOf<Pack>;
template struct SumOf<Taped>;

}  // namespace knockwell
