#include "laws/sign_chance.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <functional>
#include <limits>

namespace knockwell::laws {
namespace {

std::vector<Real> chances(const std::vector<Strength>& strengths) {
    std::vector<Real> means;
    for (const Strength& strength : strengths)
        means.push_back(strength.count.mean());
    return means;
}

bool in(std::uint32_t stages, std::size_t stage) { return (stages >> stage & 1U) != 0; }

}  // namespace

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

SignChance::SignChance(const Knowledge& knowledge, const Evidence& evidence,
                       const std::vector<bool>& present, std::size_t sign)
    : k_(knowledge), e_(evidence), sign_(knowledge.signs[sign]),
      stages_(static_cast<Stages>(evidence.stages())) {
    for (std::size_t f = 0; f < e_.findings.size(); ++f)
        if (e_.findings[f].what == Findable(SignId(sign))) {
            mine_.push_back(&e_.findings[f]);
            present_ = present_ || present[f];
        }
    triggers_.push_back(
        {chances(sign_.seen_high), chances(sign_.seen_low), (1U << stages_) - 1, true, 0});
    for (std::size_t c = 0; c < k_.causes.size(); ++c) {
        for (const Shows& shows : k_.causes[c].shows)
            if (shows.sign.index() == sign)
                triggers_.push_back({chances(shows.high), chances(shows.low), 0, false, c});
        for (const SignStrength& mask : k_.causes[c].masks)
            if (mask.sign.index() == sign)
                masks_.push_back({mask.strength.count.mean(), 0, c});
    }
}

std::size_t SignChance::causes_end() const {
    std::size_t end = 0;
    for (const Trigger& trigger : triggers_)
        end = std::max(end, trigger.leak ? 0 : trigger.cause + 1);
    for (const Mask& mask : masks_)
        end = std::max(end, mask.cause + 1);
    return end;
}

Real SignChance::Trigger::none_of(const std::vector<Real>& shares) {
    Real none = 1;
    for (const Real x : shares)
        none -= x;
    return none;
}

SignChance::Stages SignChance::active(std::size_t cause, const World& world) const {
    const bool may_rest = !sign_.symptom && !sign_.steady && k_.causes[cause].comes_and_goes;
    return may_rest && !world.acts[cause] ? 0 : world.cause[cause];
}

/// Remembered by what it depends on.
std::pair<Real, Real> SignChance::operator()(const World& world) {
    std::uint64_t key = sign_.reading ? world.setting[0] : 0;
    assert(key < 16 && 4 + stages_ * (triggers_.size() + masks_.size()) <= 64 &&
           "what a sign depends on must fit the key");
    const auto decide = [&](auto& one) {
        one.active = active(one.cause, world);
        key = key << stages_ | one.active;
    };
    for (Trigger& trigger : triggers_)
        if (!trigger.leak)
            decide(trigger);
    for (Mask& mask : masks_)
        decide(mask);
    const auto known = remembered_.find(key);
    if (known != remembered_.end())
        return known->second;
    const Real plain = tried(world, false);
    return remembered_[key] = {plain, present_ ? tried(world, true) : plain};
}

/// Every way in which the masks hide the sign.
Real SignChance::tried(const World& world, bool quiet) const {
    Real sum = 0;
    for (std::size_t fired = 0; fired < (std::size_t{1} << masks_.size()); ++fired) {
        Real p = 1;
        Stages hidden = 0;
        for (std::size_t m = 0; m < masks_.size(); ++m) {
            const bool on = (fired >> m & 1U) != 0;
            p *= on ? masks_[m].chance : 1 - masks_[m].chance;
            hidden |= on ? masks_[m].active : 0;
        }
        if (p != 0)
            sum += p * (sign_.form == SignForm::levels ? levels(world, hidden, quiet)
                                                       : kinds(hidden, quiet));
    }
    return sum;
}

/// Tries every way in which the triggers fire; each brings one kind (a flag has one).
Real SignChance::kinds(Stages hidden, bool quiet) const {
    std::vector<std::size_t> kind(triggers_.size(), 0);  // 0 = did not fire
    Real sum = 0;
    const std::function<void(std::size_t, Real)> fire = [&](std::size_t t, Real p) {
        if (p == 0)
            return;
        if (t == triggers_.size()) {
            for (const Finding* finding : mine_)
                p *= kind_report(*finding, kind, in(hidden, finding->stage), quiet);
            sum += p;
            return;
        }
        const std::vector<Real>& shares = triggers_[t].high;
        kind[t] = 0;
        // A cause that is never there does nothing, whether its trigger fires or not.
        const bool idle = triggers_[t].active == 0;
        fire(t + 1, idle ? p : p * std::max<Real>(0, Trigger::none_of(shares)));
        for (std::size_t k = 1; k <= shares.size() && !idle; ++k) {
            kind[t] = k;
            fire(t + 1, p * shares[k - 1]);
        }
        kind[t] = 0;
    };
    fire(0, 1);
    return sum;
}

/// Tries who is noticed, the kinds in the order in which they are written.
Real SignChance::kind_report(const Finding& finding, const std::vector<std::size_t>& kind,
                             bool hidden, bool quiet) const {
    const Channel channel = channel_for(k_, finding);
    const std::vector<double> weights = said(finding, sign_.value_count());
    const Real false_alarm = channel.false_alarm.mean();
    const Real misses = channel.misses.mean();
    Real mean = 0;
    for (std::size_t v = 1; v < weights.size(); ++v)
        mean += weights[v] / static_cast<Real>(weights.size() - 1);
    const Real unnoticed = weights[0] * (1 - false_alarm) + mean * false_alarm;
    if (quiet) {
        // No listed cause is noticed: each that fires is missed, and the leak may be noticed.
        Real sum = unnoticed;
        if (kind[0] != 0)
            sum = (1 - misses) * (hidden ? unnoticed : weights[kind[0]]) + misses * unnoticed;
        for (std::size_t t = 1; t < triggers_.size(); ++t)
            if (kind[t] != 0 && in(triggers_[t].active, finding.stage))
                sum *= misses;
        return sum;
    }
    Real nobody = 1;  // nothing so far is noticed
    Real sum = 0;
    for (std::size_t k = 1; k <= sign_.high.size(); ++k)
        for (std::size_t t = 0; t < triggers_.size(); ++t) {
            if (kind[t] != k || !in(triggers_[t].active, finding.stage))
                continue;
            sum += nobody * (1 - misses) * (hidden ? unnoticed : weights[k]);
            nobody *= misses;
        }
    return sum + nobody * unnoticed;
}

/// Tries every level that each trigger draws on each side.
Real SignChance::levels(const World& world, Stages hidden, bool quiet) const {
    std::vector<std::size_t> high(stages_, 0);
    std::vector<std::size_t> low(stages_, 0);
    Real sum = 0;
    const std::function<void(std::size_t, bool, Real)> draw = [&](std::size_t t, bool low_side,
                                                                  Real p) {
        if (p == 0)
            return;
        if (t == triggers_.size()) {
            for (const Finding* finding : mine_) {
                const std::size_t stage = finding->stage;
                const std::size_t value = in(hidden, stage) ? 0
                                          : low[stage] > 0  ? sign_.high.size() + low[stage]
                                                            : high[stage];
                p *= level_report(world, *finding, value);
            }
            sum += p;
            return;
        }
        const Trigger& trigger = triggers_[t];
        const std::vector<Real>& shares = low_side ? trigger.low : trigger.high;
        std::vector<std::size_t>& levels = low_side ? low : high;
        const std::size_t next = low_side ? t + 1 : t;
        const bool idle = trigger.active == 0;
        draw(next, !low_side, idle ? p : p * std::max<Real>(0, Trigger::none_of(shares)));
        const bool somewhere = std::any_of(mine_.begin(), mine_.end(), [&](const Finding* finding) {
            return in(trigger.active, finding->stage);
        });
        if (idle || (quiet && !trigger.leak && somewhere))
            return;
        for (std::size_t l = 1; l <= shares.size(); ++l) {
            const std::vector<std::size_t> before = levels;
            for (std::size_t stage = 0; stage < stages_; ++stage)
                if (in(trigger.active, stage))
                    levels[stage] = std::max(levels[stage], l);
            draw(next, !low_side, p * shares[l - 1]);
            levels = before;
        }
    };
    draw(0, false, 1);
    return sum;
}

Real SignChance::level_report(const World& world, const Finding& finding, std::size_t value) const {
    if (finding.reading || (sign_.reading && finding.via != Via::sure))
        return reading_report(world, finding, value);
    const std::vector<double> weights = said(finding, sign_.value_count());
    if (finding.via == Via::sure)
        return weights[value];
    const Channel channel = channel_for(k_, finding);
    const Real misses = channel.misses.mean();
    const Real false_alarm = channel.false_alarm.mean();
    if (value > 0)
        return weights[value] * (1 - misses) + weights[0] * misses;
    Real sum = weights[0] * (1 - false_alarm);
    for (std::size_t v = 1; v < weights.size(); ++v)
        sum += false_alarm * weights[v] / static_cast<Real>(weights.size() - 1);
    return sum;
}

/// From where to where a value lies.
std::pair<Real, Real> SignChance::stretch(const World& world, std::size_t value) const {
    const auto place = [&](const Edge& edge) -> Real {
        if (edge.quantity.empty())
            return edge.plus;
        const auto typed = e_.quantities.find(edge.quantity);
        const double q = typed != e_.quantities.end()
                             ? typed->second
                             : k_.settings[0].gives[world.setting[0]].at(edge.quantity);
        // In doubles: an edge is a place that the knowledge gives, not a sum of chances.
        return q * edge.times + edge.plus;
    };
    constexpr Real far = std::numeric_limits<Real>::infinity();
    const std::vector<Edge>& low = sign_.reading->low;
    const std::vector<Edge>& high = sign_.reading->high;
    const auto at = [&](const std::vector<Edge>& edges, std::size_t i, Real otherwise) {
        return i < edges.size() ? place(edges[i]) : otherwise;
    };
    if (value == 0)
        return {at(low, 0, -far), at(high, 0, far)};
    if (value <= high.size())
        return {at(high, value - 1, far), at(high, value, far)};
    const std::size_t l = value - high.size();
    return {at(low, l, -far), at(low, l - 1, -far)};
}

Real SignChance::reading_report(const World& world, const Finding& finding,
                                std::size_t value) const {
    const Real within = finding.via == Via::test && k_.tests[0].within ? *k_.tests[0].within
                                                                       : sign_.reading->within;
    const Real sd = within / 2;
    const auto tail = [&](Real x) { return std::erfc(x / sd / std::sqrt(Real{2})) / 2; };
    // Each tail by itself: far out, the difference of two numbers near 1 has no digits left.
    // Further off than 8 standard deviations nothing is read.
    const auto between = [&](Real a, Real b, Real mean) -> Real {
        if (a > mean + 8 * sd || b < mean - 8 * sd)
            return 0;
        return a > mean ? tail(a - mean) - tail(b - mean) : tail(mean - b) - tail(mean - a);
    };
    auto [from, to] = stretch(world, value);
    if (finding.reading)
        return between(from, to, *finding.reading);
    const auto [read_from, read_to] = stretch(world, *finding.value);
    if (std::isinf(from) && std::isinf(to))
        return 1;
    if (std::isinf(from))
        from = to - 8 * sd;
    if (std::isinf(to))
        to = from + 8 * sd;
    Real sum = 0;
    for (int i = 0; i < 16; ++i) {
        const Real truth = from + (to - from) * (i + Real{0.5}) / 16;
        sum += between(read_from, read_to, truth) / 16;
    }
    return sum;
}

}  // namespace knockwell::laws
