#include "beliefs/build.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <set>

namespace knockwell {
namespace {

/// Values of one variable; beyond it the whole is called too wide. A link is carried out by a
/// matrix of values by values: 32 MiB for these.
constexpr std::size_t most_values = std::size_t{1} << 11U;

/// What one cause brings to one sign: the variables that say in which stages it acts.
struct Source {
    std::vector<Var> vars;  // distinct
    std::vector<std::vector<bool>>
        active;  // [combination of vars, first slowest][stage of the sign]
};

template <class P>
Source source_of(const SiteOf<P>& site, std::uint32_t cause, const SignNode& sign,
                 const std::vector<std::size_t>& stages) {
    Source source;
    const std::vector<Var>& by_stage = site.built.cause[cause];
    std::vector<std::size_t> place;  // [stage of the sign] -> vars
    for (const std::size_t stage : stages) {
        const Var var = by_stage[stage];
        const auto known = std::find(source.vars.begin(), source.vars.end(), var);
        place.push_back(static_cast<std::size_t>(known - source.vars.begin()));
        if (known == source.vars.end())
            source.vars.push_back(var);
    }
    const Var acts = sign.through_acts ? site.built.acts[cause] : no_var;
    if (acts != no_var)
        source.vars.push_back(acts);
    const std::size_t n = source.vars.size();
    for (std::size_t combination = 0; combination < (std::size_t{1} << n); ++combination) {
        const auto on = [&](std::size_t i) { return ((combination >> (n - 1 - i)) & 1U) != 0; };
        std::vector<bool> active;
        for (const std::size_t i : place)
            active.push_back(on(i) && (acts == no_var || on(n - 1)));
        source.active.push_back(std::move(active));
    }
    return source;
}

template <class P>
std::vector<std::size_t> stages_of(const SiteOf<P>& site,
                                   const std::vector<const Finding*>& findings) {
    std::set<std::size_t> stages;
    for (const Finding* finding : findings)
        stages.insert(std::min(finding->stage, site.evidence.repairs.size()));
    return {stages.begin(), stages.end()};
}

/// Where the stage of a finding stands among the stages of its sign.
template <class P>
std::size_t place_of(const SiteOf<P>& site, const Finding& finding,
                     const std::vector<std::size_t>& stages) {
    const std::size_t stage = std::min(finding.stage, site.evidence.repairs.size());
    return static_cast<std::size_t>(std::lower_bound(stages.begin(), stages.end(), stage) -
                                    stages.begin());
}

std::size_t power(std::size_t base, std::size_t exponent) {
    std::size_t result = 1;
    for (std::size_t i = 0; i < exponent && result <= most_values; ++i)
        result *= base;
    return result;
}

/// A variable whose bits say in which stages the sign is hidden; no_var where nothing can hide it.
template <class P>
Var add_mask(const SiteOf<P>& site, const SignNode& sign, const std::vector<std::size_t>& stages) {
    if (sign.masked_by.empty())
        return no_var;
    std::vector<P> start(std::size_t{1} << stages.size(), P(0));
    start[0] = 1;
    const Join join{2, static_cast<std::uint32_t>(stages.size())};
    const Var mask = site.built.sum.add(std::move(start), join);
    const std::size_t values = site.built.sum.variables[mask].values;
    for (const WeightedLink& link : sign.masked_by) {
        Source source = source_of(site, link.from, sign, stages);
        const P hides = site.strengths[link.strength];
        std::vector<P> rows;
        for (const std::vector<bool>& active : source.active) {
            std::vector<P> row(values, P(0));
            std::size_t element = 0;
            for (std::size_t t = 0; t < active.size(); ++t)
                if (active[t])
                    element |= std::size_t{1} << t;
            row[0] = element == 0 ? P(1) : 1 - hides;
            if (element != 0)
                row[element] += hides;
            rows.insert(rows.end(), row.begin(), row.end());
        }
        site.built.sum.links.push_back({mask, std::move(source.vars), std::move(rows)});
    }
    return mask;
}

// ---------------------------------------------------------------- flags and kinds

/// One finding of a flag or of kinds. A trigger is noticed by each finding by itself; of the kinds
/// noticed the first written is named. Neighbouring kinds of equal weight share a rank, and a first
/// kind of weight 0 needs none: to notice it is impossible.
struct Heard {
    std::size_t stage = 0;  // position among the stages of the sign
    double misses = 0;
    std::vector<double> weight;        // [rank] of what was found; rank 0 = nothing is noticed
    std::vector<std::uint32_t> rank;   // [kind]
    bool first_is_impossible = false;  // noticing the highest rank has weight 0
    [[nodiscard]] bool impossible(std::uint32_t r) const {
        return first_is_impossible && r + 1 == weight.size();
    }
    [[nodiscard]] std::uint32_t values() const {
        return static_cast<std::uint32_t>(weight.size()) - (first_is_impossible ? 1 : 0);
    }
    /// Else it is absorbed: it can only have noticed nothing.
    [[nodiscard]] bool is_digit() const { return values() > 1; }
};

template <class P>
Heard look_of(const SiteOf<P>& site, const Finding& finding, const Sign& sign,
              const std::vector<std::size_t>& stages, bool can_hide) {
    Heard look;
    look.stage = place_of(site, finding, stages);
    const std::vector<double> said = plain_likelihood(finding, sign.value_count());
    double mean = 0;
    for (std::size_t v = 1; v < said.size(); ++v)
        mean += said[v] / static_cast<double>(said.size() - 1);
    double alarm = 0;
    if (const std::optional<Channel> channel = channel_of(*site.model.knowledge, finding)) {
        look.misses = channel->misses.mean();
        alarm = channel->false_alarm.mean();
    }
    look.weight = {said[0] * (1 - alarm) + mean * alarm};
    look.rank.resize(sign.high.size());
    for (std::size_t k = sign.high.size(); k-- > 0;) {
        if (look.weight.size() == 1 || look.weight.back() != said[k + 1])
            look.weight.push_back(said[k + 1]);
        look.rank[k] = static_cast<std::uint32_t>(look.weight.size() - 1);
    }
    look.first_is_impossible = !can_hide && look.weight.back() == 0;
    return look;
}

template <class P>
class FlagGate {
public:
    FlagGate(const SiteOf<P>& site, SignId id, const std::vector<const Finding*>& findings)
        : site_(site), node_(site.model.network->signs[id.index()]),
          stages_(stages_of(site, findings)) {
        for (const Finding* finding : findings) {
            looks_.push_back(look_of(site, *finding, (*site.model.knowledge)[id], stages_,
                                     !node_.masked_by.empty()));
            present_ = present_ || says_present(site.model, site.evidence, *finding);
            if (looks_.back().is_digit())
                ++digits_;
            base_ = std::max(base_, looks_.back().values());
        }
    }

    void add() {
        values_ = power(base_, digits_);
        if (values_ > most_values) {
            site_.built.too_wide = true;
            return;
        }
        mask_ = add_mask(site_, node_, stages_);
        const std::vector<P> start =
            row_of(node_.leak_high, std::vector<bool>(stages_.size(), true), false);
        if (digits_ == 0) {
            site_.built.sum.weigh({}, {start[0] * weight_at(0, 0)});
            for (const ShowLink& link : node_.shown_by)
                absorb(link);
            return;
        }
        gate_ = site_.built.sum.add(start, {base_, digits_});
        for (const ShowLink& link : node_.shown_by)
            join(link);
        weigh_gate();
    }

private:
    /// Where a trigger of one kind that fires can leave the digits, with its chance: each finding
    /// notices it or misses it.
    void spread(std::size_t kind, const P& mass, const std::vector<bool>& active, bool bottom_only,
                std::vector<P>& row) const {
        std::vector<std::pair<std::size_t, P>> ends{{0, mass}};
        std::size_t place = 1;
        for (const Heard& look : looks_) {
            const std::size_t here = place;
            if (look.is_digit())
                place *= base_;
            if (!active[look.stage])
                continue;
            const std::size_t n = ends.size();
            for (std::size_t i = 0; i < n; ++i) {
                if (!look.impossible(look.rank[kind]))
                    ends.emplace_back(ends[i].first + here * look.rank[kind],
                                      ends[i].second * (1 - look.misses));
                ends[i].second *= look.misses;
            }
        }
        for (const auto& [element, share] : ends)
            if (element == 0 || !bottom_only)
                row[element] += share;
    }

    /// P(what the findings notice | active in these stages) of one trigger; less than 1 in all
    /// where a finding excludes what it would notice.
    std::vector<P> row_of(const std::vector<StrengthIndex>& kinds, const std::vector<bool>& active,
                          bool bottom_only) const {
        std::vector<P> row(values_, P(0));
        P fires = 0;
        for (std::size_t k = 0; k < kinds.size(); ++k) {
            fires += site_.strengths[kinds[k]];
            spread(k, site_.strengths[kinds[k]], active, bottom_only, row);
        }
        row[0] += larger(1 - fires, P(0));
        return row;
    }

    std::vector<P> rows_of(const ShowLink& link, const Source& source) const {
        std::vector<P> rows;
        for (const std::vector<bool>& active : source.active) {
            const std::vector<P> row =
                row_of(link.high, active, site_.choice.leaks_only && present_);
            rows.insert(rows.end(), row.begin(), row.end());
        }
        return rows;
    }

    void absorb(const ShowLink& link) {
        Source source = source_of(site_, link.from, node_, stages_);
        std::vector<P> rows = rows_of(link, source);
        site_.built.sum.weigh(std::move(source.vars), std::move(rows));
    }

    void join(const ShowLink& link) {
        Source source = source_of(site_, link.from, node_, stages_);
        std::vector<P> rows = rows_of(link, source);
        site_.built.sum.links.push_back({gate_, std::move(source.vars), std::move(rows)});
    }

    void weigh_gate() {
        std::vector<P> table;
        const std::size_t masks = mask_ == no_var ? 1 : site_.built.sum.variables[mask_].values;
        for (std::size_t value = 0; value < values_; ++value)
            for (std::size_t mask = 0; mask < masks; ++mask)
                table.push_back(weight_at(value, mask));
        std::vector<Var> on{gate_};
        if (mask_ != no_var)
            on.push_back(mask_);
        site_.built.sum.weigh(std::move(on), std::move(table));
    }

    /// Weight of everything found, given what rank each digit noticed and in which stages the sign
    /// is hidden.
    [[nodiscard]] double weight_at(std::size_t value, std::size_t mask) const {
        double weight = 1;
        for (const Heard& look : looks_) {
            std::size_t rank = 0;
            if (look.is_digit()) {
                rank = value % base_;
                value /= base_;
            }
            if (((mask >> look.stage) & 1U) != 0)
                rank = 0;
            // Findings with fewer ranks than the widest one never get there.
            weight *= rank < look.weight.size() ? look.weight[rank] : 0;
        }
        return weight;
    }

    const SiteOf<P>& site_;
    const SignNode& node_;
    std::vector<std::size_t> stages_;
    std::vector<Heard> looks_;
    std::uint32_t digits_ = 0;  // findings that are digits of the gate
    std::uint32_t base_ = 1;
    std::size_t values_ = 1;
    Var mask_ = no_var;
    Var gate_ = no_var;
    bool present_ = false;
};

// ---------------------------------------------------------------- levels

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

/// One side of a sign with levels: the highest rank drawn, for each stage of the sign; no variable
/// where only rank 0 is possible.
struct Side {
    Var var = no_var;
    LevelRanks ranks;
};

template <class P>
class LevelGate {
public:
    LevelGate(const SiteOf<P>& site, SignId id, const std::vector<const Finding*>& findings)
        : site_(site), sign_((*site.model.knowledge)[id]),
          node_(site.model.network->signs[id.index()]), findings_(findings),
          stages_(stages_of(site, findings)),
          cases_(*site.model.knowledge, site.evidence,
                 givers_of(*site.model.knowledge, site.evidence, sign_)) {
        present_ = std::any_of(findings.begin(), findings.end(), [&](const Finding* f) {
            return says_present(site.model, site.evidence, *f);
        });
        for (std::size_t which = 0; which < cases_.count(); ++which) {
            cases_.choose(which);
            likelihood_.push_back(likelihoods());
        }
    }

    void add() {
        const bool can_hide = !node_.masked_by.empty();
        low_.ranks = ranks(node_.low, false, can_hide);
        high_.ranks = ranks(node_.high, true, can_hide);
        if (power(std::max(high_.ranks.values(), low_.ranks.values()), stages_.size()) >
            most_values) {
            site_.built.too_wide = true;
            return;
        }
        mask_ = add_mask(site_, node_, stages_);
        add_side(high_, node_.leak_high, true);
        add_side(low_, node_.leak_low, false);
        weigh();
    }

private:
    /// [stage][value] product over the findings of that stage, under the chosen settings.
    std::vector<std::vector<double>> likelihoods() const {
        std::vector<std::vector<double>> all(stages_.size(),
                                             std::vector<double>(sign_.value_count(), 1.0));
        for (const Finding* finding : findings_) {
            std::vector<double>& at = all[place_of(site_, *finding, stages_)];
            const std::vector<double> one =
                level_likelihood(*site_.model.knowledge, *finding, cases_.quantities());
            for (std::size_t v = 0; v < at.size(); ++v)
                at[v] *= one[v];
        }
        return all;
    }

    [[nodiscard]] bool normal_only() const {
        for (const auto& by_stage : likelihood_)
            for (const std::vector<double>& values : by_stage)
                for (std::size_t v = 1; v < values.size(); ++v)
                    if (values[v] != 0)
                        return false;
        return true;
    }

    [[nodiscard]] std::size_t value_of(bool high, std::size_t level) const {
        return level == 0 || high ? level : node_.high + level;
    }

    /// Whether the findings (of one stage) say the same of two values.
    [[nodiscard]] bool alike(std::size_t a, std::size_t b) const {
        return std::all_of(likelihood_.begin(), likelihood_.end(),
                           [&](const auto& stages) { return stages[0][a] == stages[0][b]; });
    }
    [[nodiscard]] bool excluded(std::size_t value) const {
        return std::all_of(likelihood_.begin(), likelihood_.end(),
                           [&](const auto& stages) { return stages[0][value] == 0; });
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
    std::vector<P> row_of(const std::vector<StrengthIndex>& shares, const LevelRanks& ranks,
                          const std::vector<bool>& active, bool bottom_only) const {
        std::vector<P> row(power(ranks.values(), stages_.size()), P(0));
        row[0] = 1;
        for (std::size_t l = 1; l <= shares.size(); ++l) {
            const P share = site_.strengths[shares[l - 1]];
            std::size_t element = 0;
            std::size_t place = 1;
            bool any = false;
            for (std::size_t t = 0; t < active.size(); ++t, place *= ranks.values()) {
                any = any || active[t];
                if (active[t])
                    element += place * ranks.of[l];
            }
            if (!any || (ranks.of[l] == 0 && !bottom_only))
                continue;
            row[0] -= share;
            if (!bottom_only && !ranks.impossible(l))
                row[element] += share;
        }
        row[0] = larger(row[0], P(0));
        return row;
    }

    void add_side(Side& side, const std::vector<StrengthIndex>& leak, bool high) {
        const LevelRanks& ranks = side.ranks;
        const bool only_leaks = site_.choice.leaks_only && present_;
        if (ranks.first_of.size() == 1 && !only_leaks)
            return;
        const std::vector<bool> always(stages_.size(), true);
        std::vector<P> start = row_of(leak, ranks, always, false);
        if (ranks.values() == 1)
            site_.built.sum.weigh({}, std::move(start));
        else
            side.var = site_.built.sum.add(
                std::move(start), {ranks.values(), static_cast<std::uint32_t>(stages_.size())});
        for (const ShowLink& link : node_.shown_by) {
            const std::vector<StrengthIndex>& shares = high ? link.high : link.low;
            if (shares.empty())
                continue;
            Source source = source_of(site_, link.from, node_, stages_);
            std::vector<P> rows;
            for (const std::vector<bool>& active : source.active) {
                const std::vector<P> row = row_of(shares, ranks, active, only_leaks);
                rows.insert(rows.end(), row.begin(), row.end());
            }
            if (side.var == no_var)
                site_.built.sum.weigh(std::move(source.vars), std::move(rows));
            else
                site_.built.sum.links.push_back(
                    {side.var, std::move(source.vars), std::move(rows)});
        }
    }

    /// Unknown settings on which the likelihood does hang.
    [[nodiscard]] std::vector<std::uint32_t> deciding() const {
        std::vector<std::uint32_t> settings;
        std::size_t stride = cases_.count();
        for (const std::uint32_t s : cases_.unknown()) {
            const std::size_t states = site_.model.network->settings[s].states;
            stride /= states;
            for (std::size_t which = 0; which < cases_.count(); ++which)
                if (likelihood_[which] != likelihood_[which - which / stride % states * stride]) {
                    settings.push_back(s);
                    break;
                }
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
                                 : std::size_t{site_.built.sum.variables[var].values};
        };
        std::vector<P> table;
        for (std::size_t h = 0; h < values(high_.var); ++h)
            for (std::size_t l = 0; l < values(low_.var); ++l)
                for (std::size_t m = 0; m < values(mask_); ++m)
                    for (std::size_t which = 0; which < cases_.count(); ++which)
                        if (stands_for_all(which, settings))
                            table.push_back(weight_at(h, l, m, which));
        site_.built.sum.weigh(std::move(on), std::move(table));
    }

    /// Of the cases that differ only in settings that decide nothing, the first.
    [[nodiscard]] bool stands_for_all(std::size_t which,
                                      const std::vector<std::uint32_t>& deciding) const {
        std::size_t stride = cases_.count();
        for (const std::uint32_t s : cases_.unknown()) {
            const std::size_t states = site_.model.network->settings[s].states;
            stride /= states;
            if (which / stride % states != 0 &&
                std::find(deciding.begin(), deciding.end(), s) == deciding.end())
                return false;
        }
        return true;
    }

    [[nodiscard]] double weight_at(std::size_t h, std::size_t l, std::size_t mask,
                                   std::size_t which) const {
        double weight = 1;
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
    const std::vector<const Finding*>& findings_;
    std::vector<std::size_t> stages_;
    Cases cases_;
    std::vector<std::vector<std::vector<double>>> likelihood_;  // [case][stage][value]
    Side high_, low_;
    Var mask_ = no_var;
    bool present_ = false;
};

}  // namespace

template <class P>
void build_flag_or_kinds(const SiteOf<P>& site, SignId sign,
                         const std::vector<const Finding*>& findings) {
    FlagGate<P>(site, sign, findings).add();
}

template <class P>
void build_levels(const SiteOf<P>& site, SignId sign, const std::vector<const Finding*>& findings) {
    LevelGate<P>(site, sign, findings).add();
}

template void build_flag_or_kinds(const SiteOf<double>&, SignId,
                                  const std::vector<const Finding*>&);
template void build_flag_or_kinds(const SiteOf<Pack>&, SignId, const std::vector<const Finding*>&);
template void build_levels(const SiteOf<double>&, SignId, const std::vector<const Finding*>&);
template void build_levels(const SiteOf<Pack>&, SignId, const std::vector<const Finding*>&);

}  // namespace knockwell
