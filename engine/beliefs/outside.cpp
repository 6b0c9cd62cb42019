#include "beliefs/outside.hpp"

#include "beliefs/shape.hpp"

#include <algorithm>
#include <set>

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
            if (!built_.cause[c].empty()) {
                as_found_[c] = share_(built_.cause[c].front(), 1);
                now[c] = share_(built_.cause[c].back(), 1);
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
    P carried(std::uint32_t c) const {
        const CauseNode& node = network_.causes[c];
        Cases cases(knowledge_, evidence_, node.settings);
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
    [[nodiscard]] static P after(const Repair& repair, std::uint32_t c, const P& present) {
        return 1 - (1 - chance_for(c, repair.may_bring)) *
                       (1 - present * (1 - chance_for(c, repair.fixes)));
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

template std::vector<double> carry_down(const Model&, const Evidence&, std::span<const double>,
                                        const BuiltOf<double>&, const ShareOf<double>&);
template std::vector<Pack> carry_down(const Model&, const Evidence&, std::span<const Pack>,
                                      const BuiltOf<Pack>&, const ShareOf<Pack>&);

bool is_carried_exactly(const Model& model, const Evidence& evidence, const Built& built) {
    const Network& network = *model.network;
    const std::vector<std::uint32_t> component = components_of(shape_of(built.sum));
    std::vector<std::set<std::uint32_t>> hangs_on(network.causes.size());  // components
    for (const std::uint32_t c : network.cause_order) {
        const CauseNode& node = network.causes[c];
        if (!built.cause[c].empty()) {
            hangs_on[c] = {component[built.cause[c].front()]};
            continue;
        }
        const auto is_new = [&](std::uint32_t it) { return hangs_on[c].insert(it).second; };
        const Cases cases(*model.knowledge, evidence, node.settings);
        for (const std::uint32_t s : cases.unknown())
            if (!is_new(component[built.setting[s]]))
                return false;
        for (const WeightedLink& parent : node.parents)
            for (const std::uint32_t it : hangs_on[parent.from])
                if (!is_new(it))
                    return false;
        // Whether a repair can bring it hangs on the settings once more.
        for (const RepairId repair : evidence.repairs)
            if (!node.only_if.empty() && chance_for(c, (*model.knowledge)[repair].may_bring) > 0)
                return false;
    }
    return true;
}

}  // namespace knockwell
