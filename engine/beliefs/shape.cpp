#include "beliefs/shape.hpp"

#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/connected_components.hpp>

#include <utility>

namespace knockwell {

std::vector<std::size_t> offsets_of(const std::vector<Digit>& digits) {
    std::vector<std::size_t> offsets{0};
    for (const Digit& digit : digits) {
        std::vector<std::size_t> longer;
        longer.reserve(offsets.size() * digit.values);
        for (const std::size_t base : offsets)
            for (std::size_t a = 0; a < digit.values; ++a)
                longer.push_back(base + a * digit.stride);
        offsets = std::move(longer);
    }
    return offsets;
}

std::size_t Shape::combinations(const std::vector<Var>& vars) const {
    std::size_t product = 1;
    for (const Var v : vars)
        product *= values[v];
    return product;
}

template <class P>
Shape shape_of(const SumOf<P>& sum) {
    Shape shape;
    const std::size_t n = sum.variables.size();
    shape.values.reserve(n);
    shape.join.reserve(n);
    shape.kept.assign(n, true);
    for (Var v = 0; v < n; ++v) {
        shape.values.push_back(sum.variables[v].values);
        shape.join.push_back(sum.variables[v].join);
        shape.start.push_back({TablePlace::In::start, v});
        shape.after.push_back({TablePlace::In::after, v});
    }
    for (std::uint32_t l = 0; l < sum.links.size(); ++l)
        shape.links.push_back(
            {sum.links[l].target, sum.links[l].sources, {TablePlace::In::link, l}});
    for (std::uint32_t w = 0; w < sum.weights.size(); ++w)
        shape.weights.push_back({sum.weights[w].on, {TablePlace::In::weight, w}});
    return shape;
}

std::vector<std::uint32_t> components_of(const Shape& shape) {
    boost::adjacency_list<boost::vecS, boost::vecS, boost::undirectedS> graph(shape.values.size());
    for (const ShapeLink& link : shape.links)
        for (const Var source : link.sources)
            boost::add_edge(source, link.target, graph);
    for (const ShapeWeight& weight : shape.weights)
        for (const Var var : weight.on)
            boost::add_edge(weight.on.front(), var, graph);
    std::vector<std::uint32_t> component(shape.values.size(), 0);
    if (!component.empty())
        boost::connected_components(
            graph, boost::make_iterator_property_map(component.begin(),
                                                     boost::get(boost::vertex_index, graph)));
    return component;
}

template Shape shape_of(const SumOf<double>& sum);
template Shape shape_of(const SumOf<Pack>& sum);

}  // namespace knockwell
