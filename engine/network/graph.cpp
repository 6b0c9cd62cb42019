#include "network/graph.hpp"

#include "base/words.hpp"

#include <boost/graph/breadth_first_search.hpp>
#include <boost/graph/compressed_sparse_row_graph.hpp>

#include <functional>
#include <queue>
#include <set>
#include <sstream>

namespace knockwell {
namespace {

/// A few arrays, whatever the number of arrows: it is made at every start.
using Graph =
    boost::compressed_sparse_row_graph<boost::directedS, boost::no_property, boost::no_property,
                                       boost::no_property, std::uint32_t, std::uint32_t>;

Graph graph_of(std::size_t count, const Arrows& arrows) {
    return {boost::edges_are_unsorted_multi_pass, arrows.begin(), arrows.end(),
            static_cast<std::uint32_t>(count)};
}

/// Node of the drawing: causes first, then settings, then signs.
struct Numbering {
    std::size_t causes = 0;
    std::size_t settings = 0;
    [[nodiscard]] std::uint32_t cause(std::size_t i) const { return static_cast<std::uint32_t>(i); }
    [[nodiscard]] std::uint32_t setting(std::size_t i) const {
        return static_cast<std::uint32_t>(causes + i);
    }
    [[nodiscard]] std::uint32_t sign(std::size_t i) const {
        return static_cast<std::uint32_t>(causes + settings + i);
    }
};

struct Drawing {
    Arrows arrows;
    std::vector<bool> dashed;
};

void draw_causes(const Network& network, const Numbering& number, Drawing& drawing) {
    for (std::size_t c = 0; c < network.causes.size(); ++c) {
        for (const std::uint32_t s : network.causes[c].settings)
            drawing.arrows.emplace_back(number.setting(s), number.cause(c));
        for (const WeightedLink& link : network.causes[c].parents)
            drawing.arrows.emplace_back(link.from, number.cause(c));
    }
}

void draw_settings(const Network& network, const Numbering& number, Drawing& drawing) {
    for (std::size_t s = 0; s < network.settings.size(); ++s)
        for (const SettingNode::Parent& parent : network.settings[s].parents)
            drawing.arrows.emplace_back(parent.cause ? parent.index : number.setting(parent.index),
                                        number.setting(s));
}

Drawing drawing_of(const Network& network, const Numbering& number) {
    Drawing drawing;
    draw_causes(network, number, drawing);
    draw_settings(network, number, drawing);
    for (std::size_t s = 0; s < network.signs.size(); ++s)
        for (const ShowLink& link : network.signs[s].shown_by)
            drawing.arrows.emplace_back(link.from, number.sign(s));
    drawing.dashed.assign(drawing.arrows.size(), false);
    for (std::size_t s = 0; s < network.signs.size(); ++s)
        for (const WeightedLink& link : network.signs[s].masked_by) {
            drawing.arrows.emplace_back(link.from, number.sign(s));
            drawing.dashed.push_back(true);
        }
    return drawing;
}

std::string quoted(const std::string& text) {
    std::string out = "\"";
    for (const char c : escape_controls(text)) {
        if (c == '"' || c == '\\')
            out += '\\';
        out += c;
    }
    return out + "\"";
}

/// Everything above and below one node.
std::set<std::uint32_t> around(std::size_t count, const Arrows& arrows, std::uint32_t node) {
    Arrows turned;
    for (const auto& [from, to] : arrows)
        turned.emplace_back(to, from);
    std::set<std::uint32_t> kept;
    for (const std::uint32_t n : reach(count, arrows, node))
        kept.insert(n);
    for (const std::uint32_t n : reach(count, turned, node))
        kept.insert(n);
    return kept;
}

}  // namespace

std::vector<std::uint32_t> order_of(std::size_t count, const Arrows& arrows) {
    const Graph graph = graph_of(count, arrows);
    std::vector<std::size_t> waiting_for(count, 0);
    for (const auto& [from, to] : arrows)
        ++waiting_for[to];
    std::priority_queue<std::uint32_t, std::vector<std::uint32_t>, std::greater<>> free;
    for (std::size_t n = 0; n < count; ++n)
        if (waiting_for[n] == 0)
            free.push(static_cast<std::uint32_t>(n));
    std::vector<std::uint32_t> order;
    while (!free.empty()) {
        const std::uint32_t node = free.top();
        free.pop();
        order.push_back(node);
        for (auto [edge, end] = boost::out_edges(node, graph); edge != end; ++edge)
            if (--waiting_for[boost::target(*edge, graph)] == 0)
                free.push(static_cast<std::uint32_t>(boost::target(*edge, graph)));
    }
    if (order.size() != count)
        order.clear();
    return order;
}

std::vector<std::uint32_t> reach(std::size_t count, const Arrows& arrows, std::uint32_t from) {
    const Graph graph = graph_of(count, arrows);
    std::vector<boost::default_color_type> colour(count);
    boost::breadth_first_search(graph, from,
                                boost::color_map(boost::make_iterator_property_map(
                                    colour.begin(), boost::get(boost::vertex_index, graph))));
    std::vector<std::uint32_t> reached;
    for (std::uint32_t n = 0; n < count; ++n)
        if (colour[n] == boost::black_color)
            reached.push_back(n);
    return reached;
}

Arrows arrows_between_causes(const Network& network) {
    Arrows arrows;
    for (std::uint32_t c = 0; c < network.causes.size(); ++c)
        for (const WeightedLink& link : network.causes[c].parents)
            arrows.emplace_back(link.from, c);
    return arrows;
}

std::string to_dot(const Knowledge& knowledge, const Network& network,
                   std::optional<CauseId> about) {
    const Numbering number{network.causes.size(), network.settings.size()};
    const std::size_t count =
        network.causes.size() + network.settings.size() + network.signs.size();
    const Drawing drawing = drawing_of(network, number);
    std::set<std::uint32_t> kept;
    if (about)
        kept = around(count, drawing.arrows, number.cause(about->index()));
    const auto shown = [&](std::uint32_t node) { return !about || kept.contains(node); };

    std::ostringstream out;
    out << "digraph knowledge {\n  rankdir=LR;\n  node [fontname=\"sans-serif\"];\n";
    const auto node = [&](std::uint32_t n, const Head& head, const char* shape) {
        if (shown(n))
            out << "  n" << n << " [shape=" << shape << ", label=" << quoted(head.title)
                << ", tooltip=" << quoted(head.id) << "];\n";
    };
    for (std::size_t s = 0; s < network.settings.size(); ++s)
        node(number.setting(s), knowledge.settings[s].head, "box");
    for (std::size_t c = 0; c < network.causes.size(); ++c)
        node(number.cause(c), knowledge.causes[c].head, "ellipse");
    for (std::size_t s = 0; s < network.signs.size(); ++s)
        node(number.sign(s), knowledge.signs[s].head, "plaintext");
    for (std::size_t a = 0; a < drawing.arrows.size(); ++a) {
        const auto& [from, to] = drawing.arrows[a];
        if (shown(from) && shown(to))
            out << "  n" << from << " -> n" << to
                << (drawing.dashed[a] ? " [style=dashed, arrowhead=tee]" : "") << ";\n";
    }
    out << "}\n";
    return out.str();
}

}  // namespace knockwell
