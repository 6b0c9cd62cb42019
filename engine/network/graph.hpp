// network/graph.hpp
//
// The same network as a directed graph: what brings on what, what shows where. Boost.Graph does the
// walking.
#pragma once
#include "network/network.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace knockwell {

using Arrows = std::vector<std::pair<std::uint32_t, std::uint32_t>>;  // from, to

/// Nodes 0..count-1, each after all that point to it; of those free at one time the smallest first.
/// Empty where there is a cycle.
[[nodiscard]] std::vector<std::uint32_t> order_of(std::size_t count, const Arrows& arrows);

/// Everything that can be reached from `from`, itself included, ascending.
[[nodiscard]] std::vector<std::uint32_t> reach(std::size_t count, const Arrows& arrows,
                                               std::uint32_t from);

/// The arrows between causes: brought_on_by.
[[nodiscard]] Arrows arrows_between_causes(const Network& network);

/// The network as a drawing for Graphviz (DOT); with `about`, only what leads to that cause and
/// what it leads to. Settings are boxes, causes ellipses, signs plain text; masks are dashed.
/// Titles are escaped.
[[nodiscard]] std::string to_dot(const Knowledge& knowledge, const Network& network,
                                 std::optional<CauseId> about = std::nullopt);

}  // namespace knockwell
