#include "laws/worlds.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <map>

namespace knockwell::laws {
namespace {

struct World {
    std::vector<std::size_t> setting;
    std::vector<std::vector<bool>> cause;  // [cause][stage]
    std::vector<bool> acts;                // [cause]
};

double chance(const Strength& strength) { return strength.count.mean(); }

double of(const std::vector<CauseStrength>& list, std::size_t cause) {
    for (const CauseStrength& entry : list)
        if (entry.cause.index() == cause)
            return chance(entry.strength);
    return 0;
}

bool hold(const Conditions& conditions, const World& world) {
    return std::all_of(conditions.begin(), conditions.end(), [&](const Condition& condition) {
        return std::find(condition.states.begin(), condition.states.end(),
                         world.setting[condition.setting.index()]) != condition.states.end();
    });
}

/// One finding as the model takes it: chance of being missed, weight where nothing is noticed,
/// weight of each value that is noticed.
struct Heard {
    double misses = 0;
    double nothing = 0;
    std::vector<double> value;
};

Channel channel_for(const Knowledge& knowledge, const Finding& finding) {
    const Channel clear{{Count::Kind::exact, 0, 1}, {Count::Kind::exact, 0, 1}};
    if (finding.via == Via::sure)
        return clear;
    if (finding.via == Via::test)
        return knowledge.tests[0].channel.value_or(knowledge.manifest.looked);
    if (finding.via == Via::looked)
        return knowledge.manifest.looked;
    const auto* sign = std::get_if<SignId>(&finding.what);
    return sign && knowledge[*sign].phone_report ? *knowledge[*sign].phone_report
                                                 : knowledge.manifest.told;
}

std::vector<double> said(const Finding& finding, std::size_t values) {
    if (!finding.weights.empty())
        return finding.weights;
    std::vector<double> weights(values, 0);
    weights[*finding.value] = 1;
    return weights;
}

class Adding {
public:
    Adding(const Knowledge& knowledge, const Evidence& evidence, const std::vector<bool>& present)
        : k_(knowledge), e_(evidence), present_(present), stages_(evidence.repairs.size() + 1) {}

    Added run() {
        added_.cause.assign(k_.causes.size(), 0);
        for (const Setting& setting : k_.settings)
            added_.setting.emplace_back(setting.states.size(), 0.0);
        added_.set.assign(std::size_t{1} << k_.causes.size(), 0);
        world_.setting.assign(k_.settings.size(), 0);
        world_.cause.assign(k_.causes.size(), std::vector<bool>(stages_, false));
        world_.acts.assign(k_.causes.size(), true);
        next_setting(0, 1);
        return added_;
    }

private:
    // ------------------------------------------------ worlds

    /// Settings first (tables over causes wait until the causes are there).
    void next_setting(std::size_t s, double p) {
        if (p == 0)
            return;
        if (s == k_.settings.size())
            return next_cause(0, p);
        const Setting& setting = k_.settings[s];
        const auto known = e_.settings.find(SettingId(s));
        for (std::size_t a = 0; a < setting.states.size(); ++a) {
            if (known != e_.settings.end() && known->second != a)
                continue;
            world_.setting[s] = a;
            const double here = setting.table                ? 1
                                : known != e_.settings.end() ? 1
                                                             : chance(setting.prior[a]);
            next_setting(s + 1, p * here);
        }
    }

    void next_cause(std::size_t c, double p) {
        if (p == 0)
            return;
        if (c == k_.causes.size())
            return finish(p);
        const Cause& cause = k_.causes[c];
        double absent = 1;
        if (hold(cause.only_if, world_)) {
            double odds = chance(cause.present) / (1 - chance(cause.present));
            for (const RaisedBy& raised : cause.raised_by)
                if (hold(raised.when, world_))
                    odds *= raised.times.value;
            absent = std::isinf(odds) ? 0 : 1 / (1 + odds);
            for (const CauseStrength& parent : cause.brought_on_by)
                if (world_.cause[parent.cause.index()][0])
                    absent *= 1 - chance(parent.strength);
        }
        for (const bool on : {false, true}) {
            world_.cause[c][0] = on;
            next_stage(c, 1, p * (on ? 1 - absent : absent));
        }
    }

    void next_stage(std::size_t c, std::size_t stage, double p) {
        if (p == 0)
            return;
        if (stage == stages_)
            return next_acts(c, p);
        const Repair& repair = k_[e_.repairs[stage - 1]];
        const double bring = hold(k_.causes[c].only_if, world_) ? of(repair.may_bring, c) : 0;
        const double stays = world_.cause[c][stage - 1] ? 1 - of(repair.fixes, c) : 0;
        const double on_chance = 1 - (1 - stays) * (1 - bring);
        for (const bool on : {false, true}) {
            world_.cause[c][stage] = on;
            next_stage(c, stage + 1, p * (on ? on_chance : 1 - on_chance));
        }
    }

    void next_acts(std::size_t c, double p) {
        if (!k_.causes[c].comes_and_goes)
            return next_cause(c + 1, p);
        const double acts = chance(*k_.causes[c].comes_and_goes);
        world_.acts[c] = true;
        next_cause(c + 1, p * acts);
        world_.acts[c] = false;
        next_cause(c + 1, p * (1 - acts));
    }

    void finish(double p) {
        for (std::size_t s = 0; s < k_.settings.size(); ++s)
            p *= table_chance(k_.settings[s], world_.setting[s]);
        for (const KnownCause& known : e_.causes)
            if (world_.cause[known.cause.index()][known.stage] != known.present)
                return;
        double silent = p;
        for (std::size_t s = 0; s < k_.signs.size() && p > 0; ++s) {
            const auto [plain, quiet] = sign_chance(s);
            p *= plain;
            silent *= quiet;
        }
        for (const Finding& finding : e_.findings)
            if (const auto* table = std::get_if<SettingId>(&finding.what)) {
                p *= table_report(finding, *table);
                silent *= table_report(finding, *table);
            }
        added_.evidence += p;
        added_.silent += silent;
        std::size_t set = 0;
        for (std::size_t c = 0; c < k_.causes.size(); ++c)
            if (world_.cause[c].back()) {
                added_.cause[c] += p;
                set |= std::size_t{1} << c;
            }
        added_.set[set] += p;
        for (std::size_t s = 0; s < k_.settings.size(); ++s)
            added_.setting[s][world_.setting[s]] += p;
    }

    double table_chance(const Setting& setting, std::size_t state) const {
        if (!setting.table)
            return 1;
        std::size_t row = 0;
        for (const auto& parent : setting.parents) {
            if (const auto* cause = std::get_if<CauseId>(&parent))
                row = row * 2 + (world_.cause[cause->index()][0] ? 1 : 0);
            else
                row = row * k_[std::get<SettingId>(parent)].states.size() +
                      world_.setting[std::get<SettingId>(parent).index()];
        }
        return setting.rows[row][state];
    }

    double table_report(const Finding& finding, SettingId table) const {
        const std::size_t n = k_[table].states.size();
        const std::vector<double> weights = said(finding, n);
        const double misses = channel_for(k_, finding).misses.mean();
        double sum = 0;
        for (std::size_t read = 0; read < n; ++read)
            sum += weights[read] * (read == world_.setting[table.index()]
                                        ? 1 - misses
                                        : misses / static_cast<double>(n - 1));
        return sum;
    }

    // ------------------------------------------------ signs

    struct Trigger {
        double strength = 0;
        std::vector<double> high, low;  // chance of each level or kind
        std::vector<bool> active;       // [stage]
        bool leak = false;
    };

    [[nodiscard]] std::vector<bool> active(std::size_t c, const Sign& sign) const {
        std::vector<bool> result = world_.cause[c];
        if (!sign.symptom && !sign.steady && k_.causes[c].comes_and_goes && !world_.acts[c])
            result.assign(stages_, false);
        return result;
    }

    /// P(all findings of the sign | world), and with every listed cause kept silent where something
    /// was found present. Remembered by what it depends on.
    std::pair<double, double> sign_chance(std::size_t s) {
        const Sign& sign = k_.signs[s];
        std::vector<std::size_t> mine;
        for (std::size_t f = 0; f < e_.findings.size(); ++f)
            if (const auto* id = std::get_if<SignId>(&e_.findings[f].what); id && id->index() == s)
                mine.push_back(f);
        if (mine.empty())
            return {1, 1};
        std::vector<std::size_t> key{s, sign.reading ? world_.setting[0] : 0};
        std::vector<Trigger> triggers{{0, {}, {}, std::vector<bool>(stages_, true), true}};
        for (const Strength& x : sign.seen_high)
            triggers[0].high.push_back(chance(x));
        for (const Strength& x : sign.seen_low)
            triggers[0].low.push_back(chance(x));
        std::vector<std::pair<double, std::vector<bool>>> masks;
        for (std::size_t c = 0; c < k_.causes.size(); ++c) {
            for (const Shows& shows : k_.causes[c].shows)
                if (shows.sign.index() == s) {
                    triggers.push_back({0, {}, {}, active(c, sign), false});
                    for (const Strength& x : shows.high)
                        triggers.back().high.push_back(chance(x));
                    for (const Strength& x : shows.low)
                        triggers.back().low.push_back(chance(x));
                }
            for (const SignStrength& mask : k_.causes[c].masks)
                if (mask.sign.index() == s)
                    masks.emplace_back(chance(mask.strength), active(c, sign));
        }
        for (Trigger& trigger : triggers) {
            for (const double x : trigger.high)
                trigger.strength += x;
            for (const bool on : trigger.active)
                key.push_back(on ? 1 : 0);
        }
        for (const auto& mask : masks)
            for (const bool on : mask.second)
                key.push_back(on ? 1 : 0);
        const auto known = remembered_.find(key);
        if (known != remembered_.end())
            return known->second;
        const bool present =
            std::any_of(mine.begin(), mine.end(), [&](std::size_t f) { return present_[f]; });
        std::pair<double, double> result;
        for (const bool quiet : {false, true}) {
            double sum = 0;
            each_mask(masks, [&](double p, const std::vector<bool>& hidden) {
                sum += p * (sign.form == SignForm::levels
                                ? levels(sign, mine, triggers, hidden, quiet && present)
                                : kinds(sign, mine, triggers, hidden, quiet && present));
            });
            (quiet ? result.second : result.first) = sum;
        }
        return remembered_[key] = result;
    }

    void each_mask(const std::vector<std::pair<double, std::vector<bool>>>& masks,
                   const std::function<void(double, const std::vector<bool>&)>& act) const {
        for (std::size_t fired = 0; fired < (std::size_t{1} << masks.size()); ++fired) {
            double p = 1;
            std::vector<bool> hidden(stages_, false);
            for (std::size_t m = 0; m < masks.size(); ++m) {
                const bool on = ((fired >> m) & 1U) != 0;
                p *= on ? masks[m].first : 1 - masks[m].first;
                for (std::size_t t = 0; t < stages_; ++t)
                    if (on && masks[m].second[t])
                        hidden[t] = true;
            }
            act(p, hidden);
        }
    }

    /// Tries every way in which the triggers fire; each brings one kind (a flag has one).
    double kinds(const Sign& sign, const std::vector<std::size_t>& mine,
                 const std::vector<Trigger>& triggers, const std::vector<bool>& hidden,
                 bool quiet) const {
        std::vector<std::size_t> kind(triggers.size(), 0);  // 0 = did not fire
        double sum = 0;
        const std::function<void(std::size_t, double)> fire = [&](std::size_t t, double p) {
            if (p == 0)
                return;
            if (t == triggers.size()) {
                for (const std::size_t f : mine)
                    p *= kind_report(sign, e_.findings[f], triggers, kind, hidden, quiet);
                sum += p;
                return;
            }
            kind[t] = 0;
            fire(t + 1, p * std::max(0.0, 1 - triggers[t].strength));
            for (std::size_t k = 1; k <= triggers[t].high.size(); ++k) {
                kind[t] = k;
                fire(t + 1, p * triggers[t].high[k - 1]);
            }
        };
        fire(0, 1);
        return sum;
    }

    /// Tries who is noticed, the kinds in the order in which they are written.
    double kind_report(const Sign& sign, const Finding& finding,
                       const std::vector<Trigger>& triggers, const std::vector<std::size_t>& kind,
                       const std::vector<bool>& hidden, bool quiet) const {
        const Channel channel = channel_for(k_, finding);
        const std::vector<double> weights = said(finding, sign.value_count());
        double mean = 0;
        for (std::size_t v = 1; v < weights.size(); ++v)
            mean += weights[v] / static_cast<double>(weights.size() - 1);
        const double unnoticed =
            weights[0] * (1 - channel.false_alarm.mean()) + mean * channel.false_alarm.mean();
        const double misses = channel.misses.mean();
        if (quiet) {
            // No listed cause is noticed: each that fires is missed, and the leak may be noticed.
            double sum = unnoticed;
            if (kind[0] != 0)
                sum = (1 - misses) * (hidden[finding.stage] ? unnoticed : weights[kind[0]]) +
                      misses * unnoticed;
            for (std::size_t t = 1; t < triggers.size(); ++t)
                if (kind[t] != 0 && triggers[t].active[finding.stage])
                    sum *= misses;
            return sum;
        }
        double nobody = 1;  // nothing so far is noticed
        double sum = 0;
        for (std::size_t k = 1; k <= sign.high.size(); ++k)
            for (std::size_t t = 0; t < triggers.size(); ++t) {
                if (kind[t] != k || !triggers[t].active[finding.stage])
                    continue;
                const bool may = !quiet || triggers[t].leak;
                if (may)
                    sum += nobody * (1 - misses) * (hidden[finding.stage] ? unnoticed : weights[k]);
                nobody *= misses;
            }
        return sum + nobody * unnoticed;
    }

    /// Tries every level that each trigger draws on each side.
    double levels(const Sign& sign, const std::vector<std::size_t>& mine,
                  const std::vector<Trigger>& triggers, const std::vector<bool>& hidden,
                  bool quiet) const {
        std::vector<std::size_t> high(stages_, 0);
        std::vector<std::size_t> low(stages_, 0);
        double sum = 0;
        const std::function<void(std::size_t, bool, double)> draw = [&](std::size_t t,
                                                                        bool low_side, double p) {
            if (p == 0)
                return;
            if (t == triggers.size()) {
                for (const std::size_t f : mine) {
                    const std::size_t stage = e_.findings[f].stage;
                    const std::size_t value = hidden[stage]    ? 0
                                              : low[stage] > 0 ? sign.high.size() + low[stage]
                                                               : high[stage];
                    p *= level_report(sign, e_.findings[f], value);
                }
                sum += p;
                return;
            }
            const std::vector<double>& shares = low_side ? triggers[t].low : triggers[t].high;
            std::vector<std::size_t>& levels = low_side ? low : high;
            const std::size_t next = low_side ? t + 1 : t;
            double none = 1;
            for (const double x : shares)
                none -= x;
            draw(next, !low_side, p * std::max(0.0, none));
            const bool somewhere = std::any_of(mine.begin(), mine.end(), [&](std::size_t f) {
                return triggers[t].active[e_.findings[f].stage];
            });
            for (std::size_t l = 1; l <= shares.size(); ++l) {
                if (quiet && !triggers[t].leak && somewhere)
                    continue;
                const std::vector<std::size_t> before = levels;
                for (std::size_t stage = 0; stage < stages_; ++stage)
                    if (triggers[t].active[stage])
                        levels[stage] = std::max(levels[stage], l);
                draw(next, !low_side, p * shares[l - 1]);
                levels = before;
            }
        };
        draw(0, false, 1);
        return sum;
    }

    double level_report(const Sign& sign, const Finding& finding, std::size_t value) const {
        if (finding.reading || (sign.reading && finding.via != Via::sure))
            return reading_report(sign, finding, value);
        const std::vector<double> weights = said(finding, sign.value_count());
        if (finding.via == Via::sure)
            return weights[value];
        const Channel channel = channel_for(k_, finding);
        if (value > 0)
            return weights[value] * (1 - channel.misses.mean()) +
                   weights[0] * channel.misses.mean();
        double sum = weights[0] * (1 - channel.false_alarm.mean());
        for (std::size_t v = 1; v < weights.size(); ++v)
            sum +=
                channel.false_alarm.mean() * weights[v] / static_cast<double>(weights.size() - 1);
        return sum;
    }

    /// From where to where a value lies.
    [[nodiscard]] std::pair<double, double> stretch(const Sign& sign, std::size_t value) const {
        const auto place = [&](const Edge& edge) {
            if (edge.quantity.empty())
                return edge.plus;
            const auto typed = e_.quantities.find(edge.quantity);
            const double q = typed != e_.quantities.end()
                                 ? typed->second
                                 : k_.settings[0].gives[world_.setting[0]].at(edge.quantity);
            return q * edge.times + edge.plus;
        };
        constexpr double far = std::numeric_limits<double>::infinity();
        const std::vector<Edge>& low = sign.reading->low;
        const std::vector<Edge>& high = sign.reading->high;
        const auto at = [&](const std::vector<Edge>& edges, std::size_t i, double otherwise) {
            return i < edges.size() ? place(edges[i]) : otherwise;
        };
        if (value == 0)
            return {at(low, 0, -far), at(high, 0, far)};
        if (value <= high.size())
            return {at(high, value - 1, far), at(high, value, far)};
        const std::size_t l = value - high.size();
        return {at(low, l, -far), at(low, l - 1, -far)};
    }

    double reading_report(const Sign& sign, const Finding& finding, std::size_t value) const {
        const double within = finding.via == Via::test && k_.tests[0].within ? *k_.tests[0].within
                                                                             : sign.reading->within;
        const double sd = within / 2;
        const auto tail = [&](double x) { return 0.5 * std::erfc(x / sd / std::sqrt(2.0)); };
        // Each tail by itself: far out, the difference of two numbers near 1 has no digits left.
        // Further off than 8 standard deviations nothing is read.
        const auto between = [&](double a, double b, double mean) {
            if (a > mean + 8 * sd || b < mean - 8 * sd)
                return 0.0;
            return a > mean ? tail(a - mean) - tail(b - mean) : tail(mean - b) - tail(mean - a);
        };
        auto [from, to] = stretch(sign, value);
        if (finding.reading)
            return between(from, to, *finding.reading);
        const auto [read_from, read_to] = stretch(sign, *finding.value);
        if (std::isinf(from) && std::isinf(to))
            return 1;
        if (std::isinf(from))
            from = to - 8 * sd;
        if (std::isinf(to))
            to = from + 8 * sd;
        double sum = 0;
        for (int i = 0; i < 16; ++i) {
            const double truth = from + (to - from) * (i + 0.5) / 16;
            sum += between(read_from, read_to, truth) / 16;
        }
        return sum;
    }

    const Knowledge& k_;
    const Evidence& e_;
    const std::vector<bool>& present_;
    std::size_t stages_;
    World world_;
    Added added_;
    std::map<std::vector<std::size_t>, std::pair<double, double>> remembered_;
};

}  // namespace

Added add_up_all_worlds(const Knowledge& knowledge, const Evidence& evidence,
                        const std::vector<bool>& present) {
    return Adding(knowledge, evidence, present).run();
}

}  // namespace knockwell::laws
