// knowledge/tree.hpp
//
// One TOML text as a tree in the order in which it was written, every key and value with its span.
// The TOML reader is seen by tree.cpp alone; it keeps tables sorted by key, this tree does not.
#pragma once
#include "base/problem.hpp"
#include "base/source.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace knockwell {

struct Entry;

/// A value. `other` is a date or a time, which no key of a knowledge base takes.
struct Node {
    enum class Kind { text, number, truth, array, table, other };
    Kind kind = Kind::other;
    std::string text;
    double number = 0;  // whole numbers too
    bool truth = false;
    std::vector<Node> items;     // of an array
    std::vector<Entry> entries;  // of a table, by place
    Span span;                   // of a text: with its quotes
};

struct Entry {
    std::string key;
    Span key_span;
    Node value;
};

/// The tree of `source`, which is number `index` of the run. Nothing where the text is over 4 MiB
/// (too-large), nested deeper than 8 (too-deep) or no TOML 1.0 (syntax); the problem is added.
[[nodiscard]] std::optional<Node> parse_tree(const Source& source, std::uint32_t index,
                                             std::vector<Problem>& problems);

}  // namespace knockwell
