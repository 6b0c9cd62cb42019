#include "beliefs/edges.hpp"

#include "base/words.hpp"
#include "beliefs/cases.hpp"

#include <algorithm>
#include <vector>

namespace knockwell {
namespace {

/// The edges of one reading under one choice of the settings.
class Edges {
public:
    Edges(const Knowledge& knowledge, const Evidence& evidence, const Sign& sign,
          const Cases& cases)
        : knowledge_(&knowledge), evidence_(&evidence), sign_(&sign), cases_(&cases) {}

    /// The first two that do not rise; empty where all do.
    [[nodiscard]] std::string crossing(const std::vector<NamedEdge>& rising) const {
        for (std::size_t next = 1; next < rising.size(); ++next) {
            const double low = place(*rising[next - 1].edge);
            const double high = place(*rising[next].edge);
            if (low < high)
                continue;
            const std::string& unit = sign_->reading->unit;
            std::vector<std::string> whence;
            for (const NamedEdge* it : {&rising[next - 1], &rising[next]})
                if (!it->edge->quantity.empty())
                    whence.push_back(said(it->edge->quantity));
            whence.erase(std::unique(whence.begin(), whence.end()), whence.end());
            return escape_controls("with " + list_of(whence) + " the levels of '" + sign_->head.id +
                                   (low > high ? "' cross: '" : "' meet: '") +
                                   rising[next - 1].level + "' at " + number(low) + " " + unit +
                                   ", '" + rising[next].level + "' at " + number(high) + " " +
                                   unit);
        }
        return {};
    }

private:
    [[nodiscard]] double place(const Edge& edge) const {
        return edge.quantity.empty() ? edge.plus
                                     : cases_->quantity(edge.quantity) * edge.times + edge.plus;
    }

    /// "cut-out = 40 psi (switch-range = 20/40)"
    [[nodiscard]] std::string said(const std::string& quantity) const {
        const SettingId id = *giver_of(*knowledge_, quantity);
        const Setting& giver = (*knowledge_)[id];
        std::string text = quantity + " = " + number(cases_->quantity(quantity)) + " " + giver.unit;
        if (!evidence_->quantities.contains(quantity))
            text += " (" + giver.head.id + " = " + giver.states[cases_->state(id.value)] + ")";
        return text;
    }

    const Knowledge* knowledge_;
    const Evidence* evidence_;
    const Sign* sign_;
    const Cases* cases_;
};

std::string crossing_of(const Knowledge& knowledge, const Evidence& evidence, const Sign& sign) {
    const std::vector<NamedEdge> rising = rising_edges(sign);
    const bool typed = std::any_of(rising.begin(), rising.end(), [&](const NamedEdge& it) {
        return evidence.quantities.contains(it.edge->quantity);
    });
    if (!typed)
        return {};
    Cases cases(knowledge, evidence, givers_of(knowledge, evidence, sign));
    std::string last;
    for (std::size_t which = 0; which < cases.count(); ++which) {
        cases.choose(which);
        last = Edges(knowledge, evidence, sign, cases).crossing(rising);
        if (last.empty())
            return {};
    }
    return last;
}

}  // namespace

std::string edges_that_cross(const Knowledge& knowledge, const Evidence& evidence) {
    for (const Sign& sign : knowledge.signs) {
        if (!sign.reading)
            continue;
        std::string why = crossing_of(knowledge, evidence, sign);
        if (!why.empty())
            return why;
    }
    return {};
}

}  // namespace knockwell
