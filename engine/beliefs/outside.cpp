#include "beliefs/outside.hpp"

#include <boost/pending/disjoint_sets.hpp>

#include <algorithm>
#include <numeric>
#include <set>

namespace knockwell {
namespace {

/// Which variables of a sum hang together.
template <class P>
std::vector<Var> components_of(const SumOf<P>& sum) {
    const std::size_t n = sum.variables.size();
    std::vector<Var> rank(n, 0);
    std::vector<Var> parent(n);
    std::iota(parent.begin(), parent.end(), Var{0});
    boost::disjoint_sets<Var*, Var*> sets(rank.data(), parent.data());
    for (const SumLinkOf<P>& link : sum.links)
        for (const Var source : link.sources)
            sets.union_set(source, link.target);
    for (const SumWeightOf<P>& weight : sum.weights)
        for (const Var var : weight.on)
            sets.union_set(var, weight.on.front());
    std::vector<Var> component(n);
    for (Var v = 0; v < n; ++v)
        component[v] = sets.find_set(v);
    return component;
}

template <class P>
class Carrying {
public:
    Carrying(const Model& model, const Evidence& evidence, std::span<const P> strengths,
             const BuiltOf<P>& built, const ShareOf<P>& share)
        : knowledge_(*model.knowledge), network_(*model.network), evidence_(evidence),
          strengths_(strengths), built_(built), share_(share), component_(components_of(built.sum)),
          hangs_on_(network_.causes.size()) {}

    Carried<P> run() {
        result_.cause.assign(network_.causes.size(), P(0));
        as_found_ = result_.cause;
        for (const std::uint32_t c : network_.cause_order) {
            if (built_.cause[c].empty()) {
                as_found_[c] = carried(c);
                result_.cause[c] = as_found_[c];
                for (const RepairId repair : evidence_.repairs)
                    result_.cause[c] = after(repair, c, result_.cause[c]);
                continue;
            }
            as_found_[c] = share_(built_.cause[c].front(), 1);
            result_.cause[c] = share_(built_.cause[c].back(), 1);
            hangs_on_[c] = {component_[built_.cause[c].back()]};
        }
        return std::move(result_);
    }

private:
    P carried(std::uint32_t c) {
        const CauseNode& node = network_.causes[c];
        Cases cases(knowledge_, evidence_, node.settings);
        for (const std::uint32_t s : cases.unknown())
            hang(c, {component_[built_.setting[s]]});
        for (const WeightedLink& parent : node.parents)
            hang(c, hangs_on_[parent.from]);
        P present = 0;
        for (std::size_t which = 0; which < cases.count(); ++which) {
            cases.choose(which);
            P chance = 1;
            for (const std::uint32_t s : cases.unknown())
                chance *= share_(built_.setting[s], cases.state(s));
            present += chance * (1 - absent(node, cases));
        }
        return present;
    }

    [[nodiscard]] P absent(const CauseNode& node, const Cases& cases) const {
        if (!cases.hold(node.only_if))
            return 1;
        P none = 1 - base_chance(node, cases, strengths_);
        for (const WeightedLink& parent : node.parents)
            none *= 1 - strengths_[parent.strength] * as_found_[parent.from];
        return none;
    }

    /// A repair may fix it and may bring it.
    [[nodiscard]] P after(RepairId id, std::uint32_t c, const P& present) {
        const Repair& repair = knowledge_[id];
        const auto chance = [&](const std::vector<CauseStrength>& list) {
            for (const CauseStrength& it : list)
                if (it.cause.value == c)
                    return it.strength.count.mean();
            return 0.0;
        };
        const double bring = chance(repair.may_bring);
        // Where it can exist at all hangs on the settings once more.
        if (bring > 0 && !network_.causes[c].only_if.empty())
            result_.exact = false;
        return 1 - (1 - bring) * (1 - present * (1 - chance(repair.fixes)));
    }

    void hang(std::uint32_t c, const std::set<Var>& on) {
        for (const Var component : on)
            result_.exact = hangs_on_[c].insert(component).second && result_.exact;
    }

    const Knowledge& knowledge_;
    const Network& network_;
    const Evidence& evidence_;
    std::span<const P> strengths_;
    const BuiltOf<P>& built_;
    const ShareOf<P>& share_;
    std::vector<Var> component_;
    std::vector<std::set<Var>> hangs_on_;  // [cause] components of the sum
    std::vector<P> as_found_;  // [cause] P(present before any repair): what brings others on
    Carried<P> result_;
};

}  // namespace

template <class P>
Carried<P> carry_down(const Model& model, const Evidence& evidence, std::span<const P> strengths,
                      const BuiltOf<P>& built, const ShareOf<P>& share) {
    return Carrying<P>(model, evidence, strengths, built, share).run();
}

template Carried<double> carry_down(const Model&, const Evidence&, std::span<const double>,
                                    const BuiltOf<double>&, const ShareOf<double>&);
template Carried<Pack> carry_down(const Model&, const Evidence&, std::span<const Pack>,
                                  const BuiltOf<Pack>&, const ShareOf<Pack>&);

}  // namespace knockwell
