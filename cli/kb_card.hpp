// cli/kb_card.hpp
//
// One definition of the knowledge as a person reads it: what it is, and what refers to it.
#pragma once
#include "knowledge/model.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace knockwell {

/// A line or several under one word: "shows in", "present".
struct Fact {
    std::string label;
    std::vector<std::string> lines;
};

struct Card {
    std::string kind;  // "cause", "observation", ...
    std::string id;
    std::string title;
    std::string place;                  // "kb/tank.toml:14"
    std::vector<std::string> cautions;  // before anything else; "WARNING: ..."
    std::vector<Fact> facts;            // empty ones are left out
};

/// Every definition, in the order of the kinds of docs/knowledge.md, then of the text. Facts are
/// filled in by `card`.
struct Listed {
    std::string kind;
    std::string id;
    std::string title;
    std::size_t place = 0;  // among its kind
    bool operator==(const Listed&) const = default;
};
[[nodiscard]] std::vector<Listed> all_listed(const Knowledge& knowledge);

/// `calls` = shares_of_calls, which only a cause's card shows.
[[nodiscard]] Card card(const Knowledge& knowledge, const std::vector<Source>& sources,
                        const Listed& listed, const std::optional<std::vector<double>>& calls);

}  // namespace knockwell
