#include "beliefs/cutter.hpp"

#include "beliefs/join_rows.hpp"

#include <algorithm>
#include <numeric>
#include <utility>

namespace knockwell {

void make_sum_one(std::vector<double>& chances) {
    const double sum = std::accumulate(chances.begin(), chances.end(), 0.0);
    for (double& chance : chances)
        chance = sum > 0 ? chance / sum : 1 / static_cast<double>(chances.size());
}

Cutter::Cutter(const Sum& sum, std::span<const Var> asked)
    : sum_(sum), into_(sum.shape.variables.size()), looked_at_(sum.shape.variables.size(), 0) {
    for (const Var v : asked)
        looked_at_[v] = 1;
    for (std::uint32_t l = 0; l < sum.shape.links.size(); ++l) {
        into_[sum.shape.links[l].target].push_back(l);
        for (const Var v : sum.shape.sources(sum.shape.links[l]))
            looked_at_[v] = 1;
    }
    for (const SumWeight& weight : sum.shape.weights)
        for (const Var v : sum.shape.on(weight))
            looked_at_[v] = 1;
}

CutLinks Cutter::links(std::span<const Cut> cuts) const {
    std::map<std::uint32_t, std::vector<const Cut*>> of;
    for (const Cut& cut : cuts)
        of[cut.link].push_back(&cut);
    CutLinks links;
    for (auto& [link, these] : of)
        links.emplace(link, link_of(link, std::move(these)));
    return links;
}

CutLink Cutter::link_of(std::uint32_t link, std::vector<const Cut*> cuts) const {
    const Var target = sum_.shape.links[link].target;
    return {sum_, link, std::move(cuts), Comparison(sum_, target, looked_at_[target] == 0)};
}

Sum Cutter::cut(const CutLinks& links, From from) const {
    const Shape& shape = sum_.shape;
    Sum out;
    out.factor = sum_.factor;
    for (const SumVariable& it : shape.variables)
        (void)out.add(std::span(sum_.numbers).subspan(it.start, it.values), it.join);
    for (Var v = 0; v < shape.variables.size(); ++v)
        for (std::uint32_t a = 0; a < shape.variables[v].values; ++a)
            out.numbers[out.shape.variables[v].after + a] =
                sum_.numbers[shape.variables[v].after + a];
    for (std::uint32_t l = 0; l < shape.links.size(); ++l)
        put(l, links, from, out);
    for (const SumWeight& it : shape.weights) {
        const std::span<const Var> on = shape.on(it);
        out.weigh(on, std::span(sum_.numbers).subspan(it.table, shape.combinations(on)));
    }
    put_requirements(links, out);
    return out;
}

void Cutter::add(const std::vector<double>& row, const Join& join, std::vector<double>& to) {
    const std::vector<double> was = to;
    std::vector<double> room(room_of(join));
    join_into(to.data(), was.data(), row.data(), static_cast<std::uint32_t>(to.size()), join,
              room.data());
}

void Cutter::put(std::uint32_t l, const CutLinks& links, From from, Sum& out) const {
    const SumLink& it = sum_.shape.links[l];
    const std::span<const Var> sources = sum_.shape.sources(it);
    const auto found = links.find(l);
    if (found == links.end()) {
        const std::size_t count =
            sum_.shape.combinations(sources) * sum_.shape.variables[it.target].values;
        out.link(it.target, sources, std::span(sum_.numbers).subspan(it.rows, count));
        return;
    }
    std::vector<double> row = found->second.stand_in(from);
    found->second.take_apart(row);
    out.link(it.target, found->second.left(), row);
    for (const Cut* cut : found->second.cuts())
        for (std::size_t a = 0; a < cut->times(from).size(); ++a)
            out.numbers[out.shape.variables[cut->source].after + a] *= cut->times(from)[a];
}

void Cutter::put_requirements(const CutLinks& links, Sum& out) const {
    for (const Requirement& it : sum_.shape.requirements)
        if (std::none_of(into_[it.var].begin(), into_[it.var].end(),
                         [&](std::uint32_t l) { return links.contains(l); }))
            out.shape.requirements.push_back(it);
}

}  // namespace knockwell
