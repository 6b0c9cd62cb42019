#include "beliefs/outside.hpp"

#include "beliefs/cases.hpp"
#include "beliefs/sum.hpp"

#include <algorithm>

namespace knockwell {
namespace {

template <class P>
class Carrying {
public:
    Carrying(const Model& model, const Evidence& evidence, std::span<const P> strengths,
             const BuiltOf<P>& built, const ShareOf<P>& share)
        : knowledge_(*model.knowledge), network_(*model.network), evidence_(evidence),
          strengths_(strengths), built_(built), share_(share) {}

    std::vector<P> run() {
        std::vector<P> now(network_.causes.size(), P(0));
        as_found_ = now;
        for (const std::uint32_t c : network_.cause_order) {
            if (built_.holds(c)) {
                as_found_[c] = share_(built_.first(c), 1);
                now[c] = share_(built_.last(c), 1);
                continue;
            }
            as_found_[c] = carried(c);
            now[c] = as_found_[c];
            for (const RepairId repair : evidence_.repairs)
                now[c] = after(knowledge_[repair], c, now[c]);
        }
        return now;
    }

private:
    [[nodiscard]] P carried(std::uint32_t c) const {
        const CauseNode& node = network_.causes[c];
        if (node.settings.empty() && node.parents.empty())
            return strengths_[node.base];
        return over_cases(node, [&](const Cases& cases) { return present(node, cases); });
    }

    /// Mean of what `of` says, over the cases of the settings that are not known.
    template <class Of>
    [[nodiscard]] P over_cases(const CauseNode& node, const Of& of) const {
        Cases cases(knowledge_, evidence_, node.settings);
        P mean = 0;
        for (std::size_t which = 0; which < cases.count(); ++which) {
            cases.choose(which);
            P chance = 1;
            for (const std::uint32_t s : cases.unknown())
                chance *= share_(built_.setting[s], cases.state(s));
            mean += chance * of(cases);
        }
        return mean;
    }

    [[nodiscard]] P present(const CauseNode& node, const Cases& cases) const {
        if (!cases.hold(node.only_if))
            return 0;
        P any = base_chance(node, cases, strengths_);
        for (const WeightedLink& parent : node.parents)
            any = either(any, strengths_[parent.strength] * as_found_[parent.from]);
        return any;
    }

    /// One or the other of two that are independent; nothing is taken from 1, so that small chances
    /// keep their digits.
    [[nodiscard]] static P either(const P& a, const P& b) { return a + (1 - a) * b; }

    /// A repair may fix it, and may bring it where it can be at all.
    [[nodiscard]] P after(const Repair& repair, std::uint32_t c, const P& present) const {
        const CauseNode& node = network_.causes[c];
        P bring = chance_for(c, repair.may_bring);
        if (!is_all(bring, 0))
            bring *= over_cases(
                node, [&](const Cases& cases) { return P(cases.hold(node.only_if) ? 1 : 0); });
        return either(bring, present * (1 - chance_for(c, repair.fixes)));
    }

    const Knowledge& knowledge_;
    const Network& network_;
    const Evidence& evidence_;
    std::span<const P> strengths_;
    const BuiltOf<P>& built_;
    const ShareOf<P>& share_;
    std::vector<P> as_found_;  // [cause] P(present before any repair): what brings others on
};

}  // namespace

template <class P>
std::vector<P> carry_down(const Model& model, const Evidence& evidence,
                          std::span<const P> strengths, const BuiltOf<P>& built,
                          const ShareOf<P>& share) {
    return Carrying<P>(model, evidence, strengths, built, share).run();
}

std::vector<Var> asked_by_carry_down(const Built& built) {
    std::vector<Var> all = built.by_stage;
    all.insert(all.end(), built.setting.begin(), built.setting.end());
    std::sort(all.begin(), all.end());
    all.erase(std::unique(all.begin(), all.end()), all.end());
    std::erase(all, no_var);
    return all;
}

template std::vector<double> carry_down(const Model&, const Evidence&, std::span<const double>,
                                        const BuiltOf<double>&, const ShareOf<double>&);
template std::vector<Pack> carry_down(const Model&, const Evidence&, std::span<const Pack>,
                                      const BuiltOf<Pack>&, const ShareOf<Pack>&);

namespace {

/// What each cause hangs on, where the sum leaves it out: components of the sum, and such causes,
/// itself among them.
template <class P>
class Hanging {
public:
    Hanging(const Model& model, const Evidence& evidence, const BuiltOf<P>& built)
        : network_(*model.network), knowledge_(*model.knowledge), evidence_(evidence),
          built_(built), component_(components_of(built.sum.shape)),
          hangs_on_(network_.causes.size()), inexact_(network_.causes.size(), 0) {}

    std::vector<std::uint32_t> inexact() {
        hung_.reserve(2 * network_.causes.size());
        for (const std::uint32_t c : network_.cause_order) {
            if (built_.known[c] != -1)
                continue;
            Slice& on = hangs_on_[c];
            on.first = static_cast<std::uint32_t>(hung_.size());
            if (built_.holds(c)) {
                hung_.push_back(component_[built_.first(c)]);
            } else {
                inexact_[c] = hang(c) ? 0 : 1;
                hung_.push_back(static_cast<Var>(component_.size()) + c);
            }
            on.count = static_cast<std::uint32_t>(hung_.size()) - on.first;
        }
        for (std::size_t i = network_.cause_order.size(); i-- > 0;)
            if (const std::uint32_t c = network_.cause_order[i]; inexact_[c] != 0)
                for (const WeightedLink& parent : network_.causes[c].parents)
                    if (!built_.holds(parent.from))
                        inexact_[parent.from] = 1;
        std::vector<std::uint32_t> causes;
        for (const std::uint32_t c : network_.cause_order)
            if (inexact_[c] != 0)
                causes.push_back(c);
        return causes;
    }

private:
    /// False where two of the things share a component.
    bool hang(std::uint32_t c) {
        const CauseNode& node = network_.causes[c];
        if (node.settings.empty() && node.parents.empty())
            return true;
        const auto first = static_cast<std::ptrdiff_t>(hung_.size());
        for (const std::uint32_t s : node.settings)
            if (built_.setting[s] != no_var)
                hung_.push_back(component_[built_.setting[s]]);
        for (const WeightedLink& parent : node.parents)
            for (std::uint32_t i = 0; i < hangs_on_[parent.from].count; ++i)
                hung_.push_back(hung_[hangs_on_[parent.from].first + i]);
        std::sort(hung_.begin() + first, hung_.end());
        const auto end = std::unique(hung_.begin() + first, hung_.end());
        const bool independent = end == hung_.end();
        hung_.erase(end, hung_.end());
        return independent && !is_brought_under_conditions(c);
    }

    /// Whether a repair can bring it hangs on the settings once more.
    [[nodiscard]] bool is_brought_under_conditions(std::uint32_t c) const {
        return !network_.causes[c].only_if.empty() &&
               std::any_of(evidence_.repairs.begin(), evidence_.repairs.end(), [&](RepairId id) {
                   return chance_for(c, knowledge_[id].may_bring) > 0;
               });
    }

    const Network& network_;
    const Knowledge& knowledge_;
    const Evidence& evidence_;
    const BuiltOf<P>& built_;
    std::vector<Var> component_;         // [variable]
    std::vector<Slice> hangs_on_;        // [cause] of hung_
    std::vector<Var> hung_;              // components, and causes behind those
    std::vector<std::uint8_t> inexact_;  // [cause]
};

}  // namespace

template <class P>
std::vector<std::uint32_t> inexact_causes(const Model& model, const Evidence& evidence,
                                          const BuiltOf<P>& built) {
    return Hanging<P>(model, evidence, built).inexact();
}

template std::vector<std::uint32_t> inexact_causes(const Model&, const Evidence&,
                                                   const BuiltOf<double>&);
template std::vector<std::uint32_t> inexact_causes(const Model&, const Evidence&,
                                                   const BuiltOf<Pack>&);

template std::vector<std::uint32_t> inexact_causes(const Model&, const Evidence&,
                                                   const BuiltOf<Taped>&);

}  // namespace knockwell
