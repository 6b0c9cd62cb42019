#include <algorithm>
#include <cassert>
#include <cmath>
#include <set>

#include "beliefs/build.hpp"
#include "beliefs/likelihood.hpp"

namespace knockwell {
namespace {

constexpr std::size_t most_values = std::size_t{1} << 16U;  // of one variable; beyond it the whole is called too wide

/// What one cause brings to one sign: the variables that say in which stages it acts.
struct Source {
    std::vector<Var> vars;                       // distinct
    std::vector<std::vector<bool>> active;       // [combination of vars, first slowest][stage of the sign]
};

Source source_of(const Site& site, std::uint32_t cause, const SignNode& sign, const std::vector<std::size_t>& stages) {
    Source source;
    const std::vector<Var>& by_stage = site.built.cause[cause];
    std::vector<std::size_t> place;  // [stage of the sign] -> vars
    for (const std::size_t stage : stages) {
        const Var var = by_stage[stage];
        const auto known = std::find(source.vars.begin(), source.vars.end(), var);
        place.push_back(static_cast<std::size_t>(known - source.vars.begin()));
        if (known == source.vars.end()) source.vars.push_back(var);
    }
    const Var acts = sign.through_acts ? site.built.acts[cause] : no_var;
    if (acts != no_var) source.vars.push_back(acts);
    const std::size_t n = source.vars.size();
    for (std::size_t combination = 0; combination < (std::size_t{1} << n); ++combination) {
        const auto on = [&](std::size_t i) { return ((combination >> (n - 1 - i)) & 1U) != 0; };
        std::vector<bool> active;
        for (const std::size_t i : place) active.push_back(on(i) && (acts == no_var || on(n - 1)));
        source.active.push_back(std::move(active));
    }
    return source;
}

std::vector<std::size_t> stages_of(const Site& site, const std::vector<const Finding*>& findings) {
    std::set<std::size_t> stages;
    for (const Finding* finding : findings) stages.insert(std::min(finding->stage, site.evidence.repairs.size()));
    return {stages.begin(), stages.end()};
}

std::size_t power(std::size_t base, std::size_t exponent) {
    std::size_t result = 1;
    for (std::size_t i = 0; i < exponent && result <= most_values; ++i) result *= base;
    return result;
}

/// A variable whose bits say in which stages the sign is hidden; no_var where nothing can hide it.
Var add_mask(const Site& site, const SignNode& sign, const std::vector<std::size_t>& stages) {
    if (sign.masked_by.empty()) return no_var;
    std::vector<double> start(std::size_t{1} << stages.size(), 0.0);
    start[0] = 1;
    const Join join{2, static_cast<std::uint32_t>(stages.size())};
    const Var mask = site.built.sum.add(std::move(start), join);
    const std::size_t values = site.built.sum.variables[mask].values;
    for (const WeightedLink& link : sign.masked_by) {
        Source source = source_of(site, link.from, sign, stages);
        const double hides = site.strengths[link.strength];
        std::vector<double> rows;
        for (const std::vector<bool>& active : source.active) {
            std::vector<double> row(values, 0.0);
            std::size_t element = 0;
            for (std::size_t t = 0; t < active.size(); ++t)
                if (active[t]) element |= std::size_t{1} << t;
            row[0] = element == 0 ? 1 : 1 - hides;
            if (element != 0) row[element] += hides;
            rows.insert(rows.end(), row.begin(), row.end());
        }
        site.built.sum.links.push_back({mask, std::move(source.vars), std::move(rows)});
    }
    return mask;
}

// ---------------------------------------------------------------- flags and kinds

/// One finding of a flag or of kinds. A trigger is noticed by each finding by itself; the strongest that is noticed names the kind.
struct Look1 {
    std::size_t stage = 0;               // position among the stages of the sign
    double misses = 0;
    double unnoticed = 0;                // weight of what was found where nothing is noticed
    std::vector<double> kind;            // weight of what was found where a trigger of that kind is noticed
    bool surely_absent = false;          // every kind has weight 0
    bool present = false;
};

Look1 look_of(const Site& site, const Finding& finding, const Sign& sign, const std::vector<std::size_t>& stages) {
    Look1 look;
    const std::size_t stage = std::min(finding.stage, site.evidence.repairs.size());
    look.stage = static_cast<std::size_t>(std::lower_bound(stages.begin(), stages.end(), stage) - stages.begin());
    const std::vector<double> said = plain_likelihood(finding, sign.value_count());
    look.kind.assign(said.begin() + 1, said.end());
    double mean = 0;
    for (const double d : look.kind) mean += d / static_cast<double>(look.kind.size());
    double alarm = 0;
    if (const std::optional<Channel> channel = channel_of(*site.model.knowledge, finding)) {
        look.misses = channel->misses.mean();
        alarm = channel->false_alarm.mean();
    }
    look.unnoticed = said[0] * (1 - alarm) + mean * alarm;
    look.surely_absent = std::all_of(look.kind.begin(), look.kind.end(), [](double d) { return d == 0; });
    look.present = says_present(site.model, site.evidence, finding);
    return look;
}

/// A source of triggers: how strong, and which kind it brings when it wins.
struct Trigger {
    double strength = 0;          // all kinds together
    std::vector<double> kinds;    // shares, sum to 1
    std::uint32_t rank = 1;       // 0 = nothing; higher wins
};

Trigger trigger_of(const std::vector<StrengthIndex>& levels, std::span<const double> strengths) {
    Trigger trigger;
    for (const StrengthIndex index : levels) trigger.strength += strengths[index];
    for (const StrengthIndex index : levels)
        trigger.kinds.push_back(trigger.strength > 0 ? strengths[index] / trigger.strength : 1.0 / static_cast<double>(levels.size()));
    return trigger;
}

class FlagGate {
public:
    FlagGate(const Site& site, SignId id, const std::vector<const Finding*>& findings)
        : site_(site), node_(site.model.network->signs[id.index()]), stages_(stages_of(site, findings)) {
        for (const Finding* finding : findings) {
            looks_.push_back(look_of(site, *finding, (*site.model.knowledge)[id], stages_));
            present_ = present_ || looks_.back().present;
        }
        mask_ = add_mask(site, node_, stages_);
        for (std::size_t f = 0; f < looks_.size(); ++f)
            if (mask_ != no_var || !looks_[f].surely_absent) digits_.push_back(f);
        leak_ = trigger_of(node_.leak_high, site.strengths);
        for (const ShowLink& link : node_.shown_by) triggers_.push_back(trigger_of(link.high, site.strengths));
        rank_triggers();
    }

    void add() {
        values_ = power(ranks_ + 1, digits_.size());
        if (values_ > most_values) {
            site_.built.too_wide = true;
            return;
        }
        const std::vector<double> start = row_of(leak_, std::vector<bool>(stages_.size(), true), false);
        if (digits_.empty()) {
            site_.built.sum.weigh({}, {start[0] * absent_weight()});
            for (std::size_t t = 0; t < triggers_.size(); ++t) absorb(t);
            return;
        }
        gate_ = site_.built.sum.add(start, {ranks_ + 1, static_cast<std::uint32_t>(digits_.size())});
        for (std::size_t t = 0; t < triggers_.size(); ++t) link(t);
        weigh_gate();
    }

private:
    /// Stronger causes get higher ranks; neighbours with the same shares of kinds need only one. The leak is the weakest.
    void rank_triggers() {
        if (node_.form == SignForm::flag) return;  // all bring the one kind
        std::vector<std::size_t> order(triggers_.size());
        for (std::size_t t = 0; t < order.size(); ++t) order[t] = t;
        // Ties by number of the cause, that is by place in the text: the earlier one counts as stronger.
        std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
            return triggers_[a].strength != triggers_[b].strength ? triggers_[a].strength < triggers_[b].strength : a > b;
        });
        if (leak_.kinds.empty()) leak_.kinds.assign(node_.high, 1.0 / node_.high);  // never drawn; only its length counts
        leak_.rank = ranks_ = 1;
        kinds_.assign(2, leak_.kinds);
        const Trigger* before = &leak_;
        for (const std::size_t t : order) {
            if (before->kinds != triggers_[t].kinds) kinds_.push_back(triggers_[t].kinds), ++ranks_;
            triggers_[t].rank = ranks_;
            before = &triggers_[t];
        }
    }

    /// P(what the findings notice | active in these stages), for one trigger: sub-stochastic where absences are absorbed.
    std::vector<double> row_of(const Trigger& trigger, const std::vector<bool>& active, bool bottom_only) const {
        std::vector<double> row(values_, 0.0);
        double fires = trigger.strength;
        for (std::size_t f = 0; f < looks_.size(); ++f)
            if (is_absorbed(f) && active[looks_[f].stage]) fires *= looks_[f].misses;
        // Spread over which of the digits notice it.
        std::vector<std::pair<std::size_t, double>> spread{{0, fires}};
        std::size_t place = 1;
        for (const std::size_t f : digits_) {
            if (active[looks_[f].stage]) {
                const std::size_t n = spread.size();
                for (std::size_t i = 0; i < n; ++i) {
                    spread.emplace_back(spread[i].first + place * trigger.rank, spread[i].second * (1 - looks_[f].misses));
                    spread[i].second *= looks_[f].misses;
                }
            }
            place *= ranks_ + 1;
        }
        row[0] = 1 - trigger.strength;
        for (const auto& [element, mass] : spread)
            if (element == 0 || !bottom_only) row[element] += mass;
        return row;
    }

    [[nodiscard]] bool is_absorbed(std::size_t f) const { return mask_ == no_var && looks_[f].surely_absent; }

    [[nodiscard]] double absent_weight() const {
        double weight = 1;
        for (std::size_t f = 0; f < looks_.size(); ++f)
            if (is_absorbed(f)) weight *= looks_[f].unnoticed;
        return weight;
    }

    std::vector<double> rows_of(std::size_t t, const Source& source) const {
        std::vector<double> rows;
        for (const std::vector<bool>& active : source.active) {
            const std::vector<double> row = row_of(triggers_[t], active, site_.choice.leaks_only && present_);
            rows.insert(rows.end(), row.begin(), row.end());
        }
        return rows;
    }

    void absorb(std::size_t t) {
        Source source = source_of(site_, node_.shown_by[t].from, node_, stages_);
        std::vector<double> rows = rows_of(t, source);
        site_.built.sum.weigh(std::move(source.vars), std::move(rows));
    }

    void link(std::size_t t) {
        Source source = source_of(site_, node_.shown_by[t].from, node_, stages_);
        std::vector<double> rows = rows_of(t, source);
        site_.built.sum.links.push_back({gate_, std::move(source.vars), std::move(rows)});
    }

    void weigh_gate() {
        std::vector<double> table;
        const std::size_t masks = mask_ == no_var ? 1 : site_.built.sum.variables[mask_].values;
        for (std::size_t value = 0; value < values_; ++value)
            for (std::size_t mask = 0; mask < masks; ++mask) table.push_back(weight_at(value, mask) * absent_weight());
        std::vector<Var> on{gate_};
        if (mask_ != no_var) on.push_back(mask_);
        site_.built.sum.weigh(std::move(on), std::move(table));
    }

    /// Weight of everything found, given which rank each digit noticed and in which stages the sign is hidden.
    [[nodiscard]] double weight_at(std::size_t value, std::size_t mask) const {
        double weight = 1;
        std::vector<std::vector<double>> kind(ranks_ + 1);  // by rank: product over its digits, for each kind
        for (const std::size_t f : digits_) {
            std::size_t rank = value % (ranks_ + 1);
            value /= ranks_ + 1;
            if (((mask >> looks_[f].stage) & 1U) != 0) rank = 0;
            if (rank == 0) {
                weight *= looks_[f].unnoticed;
                continue;
            }
            if (kind[rank].empty()) kind[rank].assign(looks_[f].kind.size(), 1.0);
            for (std::size_t k = 0; k < kind[rank].size(); ++k) kind[rank][k] *= looks_[f].kind[k];
        }
        for (std::size_t rank = 1; rank <= ranks_; ++rank) {
            if (kind[rank].empty()) continue;
            double sum = 0;
            for (std::size_t k = 0; k < kind[rank].size(); ++k) sum += (kinds_.empty() ? 1.0 : kinds_[rank][k]) * kind[rank][k];
            weight *= sum;
        }
        return weight;
    }

    const Site& site_;
    const SignNode& node_;
    std::vector<std::size_t> stages_;
    std::vector<Look1> looks_;
    std::vector<std::size_t> digits_;  // findings that are digits of the gate; the others are absorbed
    Trigger leak_;
    std::vector<Trigger> triggers_;
    std::uint32_t ranks_ = 1;
    std::vector<std::vector<double>> kinds_;  // [rank] shares of kinds; empty for a flag
    std::size_t values_ = 1;
    Var mask_ = no_var;
    Var gate_ = no_var;
    bool present_ = false;
};

// ---------------------------------------------------------------- levels

/// One side of a sign with levels: the highest level drawn, for each stage of the sign.
struct Side {
    Var var = no_var;
    std::size_t levels = 0;
};

class LevelGate {
public:
    LevelGate(const Site& site, SignId id, const std::vector<const Finding*>& findings)
        : site_(site), sign_((*site.model.knowledge)[id]), node_(site.model.network->signs[id.index()]), findings_(findings), stages_(stages_of(site, findings)),
          cases_(*site.model.knowledge, site.evidence, givers()) {
        present_ = std::any_of(findings.begin(), findings.end(), [&](const Finding* f) { return says_present(site.model, site.evidence, *f); });
        for (std::size_t which = 0; which < cases_.count(); ++which) {
            cases_.choose(which);
            likelihood_.push_back(likelihoods());
        }
    }

    void add() {
        const std::size_t most = power(std::max(node_.high, node_.low) + 1, stages_.size());
        if (most > most_values) {
            site_.built.too_wide = true;
            return;
        }
        mask_ = add_mask(site_, node_, stages_);
        if (mask_ == no_var && normal_only()) {
            absorb();
            return;
        }
        high_ = add_side(node_.high, node_.leak_high, true);
        low_ = add_side(node_.low, node_.leak_low, false);
        weigh();
    }

private:
    /// Settings whose quantities the edges refer to (a quantity that was typed needs none).
    std::vector<std::uint32_t> givers() const {
        std::set<std::uint32_t> settings;
        if (!sign_.reading) return {};
        for (const std::vector<Edge>* edges : {&sign_.reading->low, &sign_.reading->high})
            for (const Edge& edge : *edges)
                if (!edge.quantity.empty() && site_.evidence.quantities.count(edge.quantity) == 0)
                    settings.insert(giver_of(*site_.model.knowledge, edge.quantity)->value);
        return {settings.begin(), settings.end()};
    }

    [[nodiscard]] double quantity(const std::string& name) const {
        const auto typed = site_.evidence.quantities.find(name);
        if (typed != site_.evidence.quantities.end()) return typed->second;
        const SettingId giver = *giver_of(*site_.model.knowledge, name);
        return (*site_.model.knowledge)[giver].gives[cases_.state(giver.value)].at(name);
    }

    /// [stage][value] product over the findings of that stage, under the chosen settings.
    std::vector<std::vector<double>> likelihoods() const {
        std::vector<std::vector<double>> all(stages_.size(), std::vector<double>(sign_.value_count(), 1.0));
        for (const Finding* finding : findings_) {
            const std::size_t stage = std::min(finding->stage, site_.evidence.repairs.size());
            std::vector<double>& at = all[static_cast<std::size_t>(std::lower_bound(stages_.begin(), stages_.end(), stage) - stages_.begin())];
            const std::vector<double> one = level_likelihood(*site_.model.knowledge, *finding, [this](const std::string& name) { return quantity(name); });
            for (std::size_t v = 0; v < at.size(); ++v) at[v] *= one[v];
        }
        return all;
    }

    [[nodiscard]] bool normal_only() const {
        for (const auto& by_stage : likelihood_)
            for (const std::vector<double>& values : by_stage)
                for (std::size_t v = 1; v < values.size(); ++v)
                    if (values[v] != 0) return false;
        return true;
    }

    /// Chance of each joint level of a trigger that is active in some stages: it draws one level and keeps it.
    std::vector<double> row_of(const std::vector<StrengthIndex>& shares, std::size_t levels, const std::vector<bool>& active, bool bottom_only) const {
        std::vector<double> row(power(levels + 1, stages_.size()), 0.0);
        row[0] = 1;
        for (std::size_t l = 1; l <= shares.size(); ++l) {
            const double share = site_.strengths[shares[l - 1]];
            std::size_t element = 0;
            std::size_t place = 1;
            for (std::size_t t = 0; t < active.size(); ++t, place *= levels + 1)
                if (active[t]) element += place * l;
            if (element == 0) continue;
            row[0] -= share;
            if (!bottom_only) row[element] += share;
        }
        row[0] = std::max(row[0], 0.0);
        return row;
    }

    Side add_side(std::size_t levels, const std::vector<StrengthIndex>& leak, bool high) {
        if (levels == 0) return {};
        const std::vector<bool> always(stages_.size(), true);
        Side side{site_.built.sum.add(row_of(leak, levels, always, false), {static_cast<std::uint32_t>(levels + 1), static_cast<std::uint32_t>(stages_.size())}), levels};
        for (const ShowLink& link : node_.shown_by) {
            const std::vector<StrengthIndex>& shares = high ? link.high : link.low;
            if (shares.empty()) continue;
            Source source = source_of(site_, link.from, node_, stages_);
            std::vector<double> rows;
            for (const std::vector<bool>& active : source.active) {
                const std::vector<double> row = row_of(shares, levels, active, site_.choice.leaks_only && present_);
                rows.insert(rows.end(), row.begin(), row.end());
            }
            site_.built.sum.links.push_back({side.var, std::move(source.vars), std::move(rows)});
        }
        return side;
    }

    /// Surely normal in every stage: a product over causes.
    void absorb() {
        const std::vector<bool> always(stages_.size(), true);
        double leak = 1;
        if (node_.high > 0) leak *= row_of(node_.leak_high, node_.high, always, false)[0];
        if (node_.low > 0) leak *= row_of(node_.leak_low, node_.low, always, false)[0];
        site_.built.sum.weigh({}, {leak});
        for (const ShowLink& link : node_.shown_by) {
            Source source = source_of(site_, link.from, node_, stages_);
            std::vector<double> table;
            for (const std::vector<bool>& active : source.active)
                table.push_back(row_of(link.high, node_.high, active, false)[0] * row_of(link.low, node_.low, active, false)[0]);
            site_.built.sum.weigh(std::move(source.vars), std::move(table));
        }
        weigh();
    }

    /// The joint weight of both sides, the mask and the settings that set the edges. The low side wins.
    void weigh() {
        std::vector<Var> on;
        for (const Var var : {high_.var, low_.var, mask_})
            if (var != no_var) on.push_back(var);
        for (const std::uint32_t s : cases_.unknown()) on.push_back(site_.built.setting[s]);
        const auto values = [&](Var var) { return var == no_var ? std::size_t{1} : std::size_t{site_.built.sum.variables[var].values}; };
        std::vector<double> table;
        for (std::size_t h = 0; h < values(high_.var); ++h)
            for (std::size_t l = 0; l < values(low_.var); ++l)
                for (std::size_t m = 0; m < values(mask_); ++m)
                    for (std::size_t which = 0; which < cases_.count(); ++which) table.push_back(weight_at(h, l, m, which));
        site_.built.sum.weigh(std::move(on), std::move(table));
    }

    [[nodiscard]] double weight_at(std::size_t h, std::size_t l, std::size_t mask, std::size_t which) const {
        double weight = 1;
        for (std::size_t t = 0; t < stages_.size(); ++t) {
            const std::size_t high = h % (node_.high + 1);
            const std::size_t low = l % (node_.low + 1);
            h /= node_.high + 1;
            l /= node_.low + 1;
            const std::size_t value = ((mask >> t) & 1U) != 0 ? 0 : low > 0 ? node_.high + low : high;
            weight *= likelihood_[which][t][value];
        }
        return weight;
    }

    const Site& site_;
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

void build_flag_or_kinds(const Site& site, SignId sign, const std::vector<const Finding*>& findings) { FlagGate(site, sign, findings).add(); }

void build_levels(const Site& site, SignId sign, const std::vector<const Finding*>& findings) { LevelGate(site, sign, findings).add(); }

}  // namespace knockwell
