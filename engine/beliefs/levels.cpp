#include "beliefs/cases.hpp"
#include "beliefs/gate.hpp"

#include <algorithm>
#include <numeric>

namespace knockwell {
namespace {

/// Levels of one side that the findings tell apart: neighbours of which they say the same share a
/// rank, and a last rank that they exclude needs none.
struct LevelRanks {
    std::vector<std::uint32_t> of;      // [level]
    std::vector<std::size_t> first_of;  // [rank] its first level
    bool last_is_impossible = false;
    [[nodiscard]] bool impossible(std::size_t level) const {
        return last_is_impossible && of[level] + 1 == first_of.size();
    }
    [[nodiscard]] std::uint32_t values() const {
        return static_cast<std::uint32_t>(first_of.size()) - (last_is_impossible ? 1 : 0);
    }
};

/// level_likelihood with the numbers of the channel as they stand in a sum.
template <class P>
std::vector<P> likelihood_in_sum(const SiteOf<P>& site, const Finding& finding,
                                 const QuantityOf& quantity) {
    const Sign& sign = (*site.model.knowledge)[std::get<SignId>(finding.what)];
    if (channel_node_of(*site.model.network, finding) == nullptr || finding.reading ||
        (sign.reading && finding.weights.empty())) {
        const std::vector<double> plain =
            level_likelihood(*site.model.knowledge, finding, quantity);
        return {plain.begin(), plain.end()};
    }
    const auto [misses, alarm] = heeded(*site.model.network, finding, site.strengths);
    const std::vector<double> said = plain_likelihood(finding, sign.value_count());
    const double others = std::accumulate(said.begin() + 1, said.end(), 0.0);
    std::vector<P> likelihood = {said[0] * alarm.no +
                                 alarm.yes * (others / static_cast<double>(said.size() - 1))};
    for (std::size_t v = 1; v < said.size(); ++v)
        likelihood.push_back(said[v] * misses.no + said[0] * misses.yes);
    return likelihood;
}

template <class P>
bool is_same(const P& a, const P& b) {
    return is_all(a, lane(b, 0));
}

/// [stage][value]
template <class P>
bool are_same(const std::vector<std::vector<P>>& a, const std::vector<std::vector<P>>& b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](const auto& x, const auto& y) {
        return std::equal(x.begin(), x.end(), y.begin(), y.end(), is_same<P>);
    });
}

/// One side of a sign with levels: the highest rank drawn, for each stage of the sign; no variable
/// where only rank 0 is possible.
struct Side {
    Var var = no_var;
    LevelRanks ranks;
};

template <class P>
class LevelGate {
public:
    LevelGate(const SiteOf<P>& site, SignId id, std::span<const Finding* const> findings)
        : site_(site), sign_((*site.model.knowledge)[id]),
          node_(site.model.network->signs[id.index()]), findings_(findings),
          stages_(stages_of(site.evidence, findings)),
          cases_(*site.model.knowledge, site.evidence,
                 givers_of(*site.model.knowledge, site.evidence, sign_)) {
        present_ = std::any_of(findings.begin(), findings.end(), [&](const Finding* f) {
            return shows_trouble(site.model, site.evidence, *f);
        });
        for (std::size_t which = 0; which < cases_.count(); ++which) {
            cases_.choose(which);
            likelihood_.push_back(likelihoods());
        }
    }

    void add() {
        if (const double bits = too_many(site_.built, node_, stages_); bits > 0) {
            site_.built.refused = bits;
            return;
        }
        const bool can_hide = !node_.masked_by.empty();
        low_.ranks = ranks(node_.low, false, can_hide);
        high_.ranks = ranks(node_.high, true, can_hide);
        const std::uint32_t most = std::max(high_.ranks.values(), low_.ranks.values());
        if (power(most, stages_.size()) > most_values) {
            site_.built.refused = bits_of_power(most, stages_.size());
            return;
        }
        mask_ = add_mask(site_, node_, stages_);
        add_side(high_, node_.leak_high, true);
        add_side(low_, node_.leak_low, false);
        weigh();
    }

private:
    /// [stage][value] product over the findings of that stage, under the chosen settings.
    std::vector<std::vector<P>> likelihoods() const {
        std::vector<std::vector<P>> all(stages_.size(), std::vector<P>(sign_.value_count(), P(1)));
        for (const Finding* finding : findings_) {
            std::vector<P>& at = all[place_of(site_.evidence, *finding, stages_)];
            const std::vector<P> one = likelihood_in_sum(site_, *finding, cases_.quantities());
            for (std::size_t v = 0; v < at.size(); ++v)
                at[v] *= one[v];
        }
        return all;
    }

    [[nodiscard]] bool normal_only() const {
        for (const auto& by_stage : likelihood_)
            for (const std::vector<P>& values : by_stage)
                for (std::size_t v = 1; v < values.size(); ++v)
                    if (!is_all(values[v], 0))
                        return false;
        return true;
    }

    [[nodiscard]] std::size_t value_of(bool high, std::size_t level) const {
        return level == 0 || high ? level : node_.high + level;
    }

    /// Whether the findings (of one stage) say the same of two values.
    [[nodiscard]] bool alike(std::size_t a, std::size_t b) const {
        return std::all_of(likelihood_.begin(), likelihood_.end(),
                           [&](const auto& stages) { return is_same(stages[0][a], stages[0][b]); });
    }
    [[nodiscard]] bool excluded(std::size_t value) const {
        return std::all_of(likelihood_.begin(), likelihood_.end(),
                           [&](const auto& stages) { return is_all(stages[0][value], 0); });
    }

    /// Which levels of a side the findings tell apart. Only one stage that nothing hides is looked
    /// at so closely.
    [[nodiscard]] LevelRanks ranks(std::size_t levels, bool high, bool can_hide) const {
        LevelRanks it;
        it.of = {0};
        it.first_of = {0};
        if (levels == 0)
            return it;
        if (!can_hide && normal_only()) {
            it.of.resize(levels + 1, 1);
            it.first_of = {0, 1};
            it.last_is_impossible = true;
            return it;
        }
        const bool closely = !can_hide && stages_.size() == 1;
        for (std::size_t l = 1; l <= levels; ++l) {
            // Where something is low, the high side does not count: so its levels may share a rank
            // with normal. The low side's may not.
            const bool same =
                closely && (high || l > 1) && alike(value_of(high, l), value_of(high, l - 1));
            if (!same)
                it.first_of.push_back(l);
            it.of.push_back(static_cast<std::uint32_t>(it.first_of.size() - 1));
        }
        it.last_is_impossible = closely && it.first_of.size() > 1 &&
                                excluded(value_of(high, levels)) && (!high || !low_can_be());
        return it;
    }

    [[nodiscard]] bool low_can_be() const {
        for (std::size_t l = 1; l <= node_.low; ++l)
            if (!excluded(value_of(false, l)))
                return true;
        return false;
    }

    /// Chance of each joint rank of a trigger that is active in some stages: it draws one level
    /// and keeps it. Less than 1 in all where a finding excludes the level.
    std::vector<P> row_of(StrengthRange shares, const LevelRanks& ranks, StageBits active,
                          bool bottom_only) const {
        std::vector<P> row(power(ranks.values(), stages_.size()), P(0));
        row[0] = 1;
        for (std::size_t l = 1; l <= shares.size(); ++l) {
            const P share = site_.strengths[shares[l - 1]];
            std::size_t element = 0;
            std::size_t place = 1;
            for (std::size_t t = 0; t < stages_.size(); ++t, place *= ranks.values())
                if (((active >> t) & 1U) != 0)
                    element += place * ranks.of[l];
            if (active == 0 || (ranks.of[l] == 0 && !bottom_only))
                continue;
            row[0] -= share;
            if (!bottom_only && !ranks.impossible(l))
                row[element] += share;
        }
        row[0] = rest_of(row[0]);
        return row;
    }

    void add_side(Side& side, StrengthRange leak, bool high) {
        const LevelRanks& ranks = side.ranks;
        const bool only_leaks = site_.choice.leaks_only && present_;
        if (ranks.first_of.size() == 1 && !only_leaks)
            return;
        const std::vector<P> start = row_of(leak, ranks, ~StageBits{0}, false);
        if (ranks.values() == 1)
            site_.built.sum.factor *= start.front();
        else
            side.var = site_.built.sum.add(
                start, {ranks.values(), static_cast<std::uint32_t>(stages_.size())});
        for (const ShowLink& link : node_.shown_by) {
            StrengthRange shares = high ? link.high : link.low;
            if (shares.empty())
                continue;
            const Bringer source = source_of(site_.built, link.from, node_, stages_);
            std::vector<P> rows;
            for (StageBits active : source.active) {
                const std::vector<P> row = row_of(shares, ranks, active, only_leaks);
                rows.insert(rows.end(), row.begin(), row.end());
            }
            if (side.var == no_var)
                site_.built.sum.weigh(as_span(source.vars), rows);
            else
                site_.built.sum.link(side.var, as_span(source.vars), rows);
        }
    }

    /// Unknown settings on which the likelihood does hang.
    [[nodiscard]] std::vector<std::uint32_t> deciding() const {
        std::vector<std::uint32_t> settings;
        for (std::size_t i = 0; i < cases_.unknown().size(); ++i)
            for (std::size_t which = 0; which < cases_.count(); ++which)
                if (!are_same(likelihood_[which],
                              likelihood_[which - cases_.state_in(which, i) * cases_.stride(i)])) {
                    settings.push_back(cases_.unknown()[i]);
                    break;
                }
        return settings;
    }

    /// The joint weight of both sides, the mask and the settings that set the edges. The low side
    /// wins.
    void weigh() {
        std::vector<Var> on;
        for (const Var var : {high_.var, low_.var, mask_})
            if (var != no_var)
                on.push_back(var);
        const std::vector<std::uint32_t> settings = deciding();
        for (const std::uint32_t s : settings)
            on.push_back(site_.built.setting[s]);
        const auto values = [&](Var var) {
            return var == no_var ? std::size_t{1}
                                 : std::size_t{site_.built.sum.shape.variables[var].values};
        };
        std::vector<P> table;
        for (std::size_t h = 0; h < values(high_.var); ++h)
            for (std::size_t l = 0; l < values(low_.var); ++l)
                for (std::size_t m = 0; m < values(mask_); ++m)
                    for (std::size_t which = 0; which < cases_.count(); ++which)
                        if (stands_for_all(which, settings))
                            table.push_back(weight_at(h, l, m, which));
        site_.built.sum.weigh(on, table);
    }

    /// Of the cases that differ only in settings that decide nothing, the first.
    [[nodiscard]] bool stands_for_all(std::size_t which,
                                      const std::vector<std::uint32_t>& deciding) const {
        for (std::size_t i = 0; i < cases_.unknown().size(); ++i)
            if (cases_.state_in(which, i) != 0 &&
                std::find(deciding.begin(), deciding.end(), cases_.unknown()[i]) == deciding.end())
                return false;
        return true;
    }

    [[nodiscard]] P weight_at(std::size_t h, std::size_t l, std::size_t mask,
                              std::size_t which) const {
        P weight = 1;
        for (std::size_t t = 0; t < stages_.size(); ++t) {
            const std::size_t high = high_.ranks.first_of[h % high_.ranks.values()];
            const std::size_t low = low_.ranks.first_of[l % low_.ranks.values()];
            h /= high_.ranks.values();
            l /= low_.ranks.values();
            const std::size_t value = ((mask >> t) & 1U) != 0 ? 0
                                      : low > 0               ? node_.high + low
                                                              : high;
            weight *= likelihood_[which][t][value];
        }
        return weight;
    }

    const SiteOf<P>& site_;
    const Sign& sign_;
    const SignNode& node_;
    std::span<const Finding* const> findings_;
    Stages stages_;
    Cases cases_;
    std::vector<std::vector<std::vector<P>>> likelihood_;  // [case][stage][value]
    Side high_, low_;
    Var mask_ = no_var;
    bool present_ = false;
};

}  // namespace

template <class P>
void build_levels(const SiteOf<P>& site, SignId sign, std::span<const Finding* const> findings) {
    LevelGate<P>(site, sign, findings).add();
}

template void build_levels(const SiteOf<double>&, SignId, std::span<const Finding* const>);
template void build_levels(const SiteOf<Pack>&, SignId, std::span<const Finding* const>);
template void build_levels(const SiteOf<Taped>&, SignId, std::span<const Finding* const>);

}  // namespace knockwell
