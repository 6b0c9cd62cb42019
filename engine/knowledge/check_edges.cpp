#include "base/words.hpp"
#include "knowledge/check.hpp"

#include <algorithm>

namespace knockwell {
namespace {

/// The setting that an edge depends on; nullptr for a plain number.
const Setting* giver_of(const ReadRun& run, const Edge& edge) {
    const auto given = run.quantities.find(edge.quantity);
    return given == run.quantities.end() ? nullptr : &run.knowledge[given->second.setting];
}

double value_of(const Edge& edge, const Setting* giver, std::size_t state) {
    return giver == nullptr ? edge.plus
                            : giver->gives[state].at(edge.quantity) * edge.times + edge.plus;
}

bool is_possible(const Setting* giver, std::size_t state) {
    return giver == nullptr || giver->prior[state].count.mean() > 0;
}

/// "under switch-range = 30/50"
std::string under(const Setting* giver, std::size_t state) {
    return giver == nullptr ? "" : giver->head.id + " = " + giver->states[state];
}

/// `lower` must begin below `upper` whatever the settings are. One problem for a pair of edges.
void check_pair(ReadRun& run, const Sign& sign, const NamedEdge& lower, const NamedEdge& upper) {
    const Setting* first = giver_of(run, *lower.edge);
    const Setting* second = giver_of(run, *upper.edge);
    const std::size_t first_states = first == nullptr ? 1 : first->states.size();
    const std::size_t second_states = second == nullptr ? 1 : second->states.size();
    for (std::size_t a = 0; a < first_states; ++a) {
        for (std::size_t b = 0; b < second_states; ++b) {
            if ((first == second && a != b && first != nullptr) || !is_possible(first, a) ||
                !is_possible(second, b))
                continue;
            const double low = value_of(*lower.edge, first, a);
            const double high = value_of(*upper.edge, second, b);
            if (low < high)
                continue;
            std::string when = under(first, a);
            if (second != nullptr && second != first)
                when += (when.empty() ? "" : " and ") + under(second, b);
            run.error("edges-cross", upper.edge->span,
                      "the edges of '" + sign.head.id + "' " + (low == high ? "meet" : "cross") +
                          ": '" + lower.level + "' at " + number(low) + ", '" + upper.level +
                          "' at " + number(high) + (when.empty() ? "" : ", under " + when),
                      "'" + lower.level + "' must begin below '" + upper.level +
                          "' under every choice",
                      {{lower.edge->span, "the edge of '" + lower.level + "'"}});
            return;
        }
    }
}

}  // namespace

void check_edges(ReadRun& run) {
    for (std::size_t i = 0; i < run.knowledge.signs.size(); ++i) {
        const Sign& sign = run.knowledge.signs[i];
        if (!sign.reading || run.broken.contains({Kind::sign, i}))
            continue;
        const std::vector<NamedEdge> rising = rising_edges(sign);
        const bool known = std::none_of(rising.begin(), rising.end(), [&](const NamedEdge& it) {
            const auto given = run.quantities.find(it.edge->quantity);
            return given != run.quantities.end() &&
                   run.broken.contains({Kind::setting, given->second.setting.index()});
        });
        for (std::size_t next = 1; known && next < rising.size(); ++next)
            check_pair(run, sign, rising[next - 1], rising[next]);
    }
}

}  // namespace knockwell
