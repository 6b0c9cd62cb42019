#include "network/graph.hpp"
#include "network/network.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <set>

namespace knockwell {
namespace {

/// Appends laws and hands out their indices.
class Strengths {
public:
    explicit Strengths(std::vector<StrengthLaw>& laws) : laws_(laws) {}

    StrengthIndex add(const StrengthLaw& law) {
        laws_.push_back(law);
        return static_cast<StrengthIndex>(laws_.size() - 1);
    }

    StrengthIndex count(const Count& count) {
        if (count.kind == Count::Kind::exact)
            return exact(count.mean());
        const Beta beta = beta_of(count);
        return add({StrengthLaw::Kind::beta, beta.a / (beta.a + beta.b), beta.a, beta.b, 0});
    }

    StrengthIndex exact(double value) { return add({StrengthLaw::Kind::exact, value, 0, 0, 0}); }

    /// Shares drawn together: a Dirichlet with at least one half each, but for those that are never
    /// (a level that is not written among them), which have no part in it. `closed`: the shares are
    /// everything (a setting), else the rest is "normal".
    StrengthRange shares(const std::vector<Strength>& written, bool closed) {
        double sum = 0;
        double n = 0;
        bool counted = true;
        for (const Strength& strength : written) {
            sum += strength.count.k / strength.count.n;
            if (is_never(strength))
                continue;
            n = std::max(n, strength.count.n);
            counted = counted && strength.count.kind == Count::Kind::counted;
        }
        if (!counted)
            return exact_shares(written, closed, sum);
        const double scale = closed ? n / sum : n;
        std::vector<double> weight;
        for (const Strength& strength : written)
            weight.push_back(is_never(strength)
                                 ? 0
                                 : std::max(0.5, scale * strength.count.k / strength.count.n));
        return dirichlet(weight, closed ? 0 : std::max(0.5, n - scale * sum));
    }

    StrengthIndex base_rate(const Cause& cause) {
        const Count& count = cause.present.count;
        if (count.kind == Count::Kind::exact || !cause.give_or_take)
            return this->count(count);
        return add({StrengthLaw::Kind::log_normal_odds, count.mean(),
                    std::log(*cause.give_or_take) / 2, 0, 0});
    }

    StrengthIndex times(const Factor& factor) {
        return add(
            {StrengthLaw::Kind::log_normal, factor.value, std::log(factor.give_or_take) / 2, 0, 0});
    }

    ChanceNode chance(const Count& count) {
        const double yes = count.mean();
        const StrengthIndex first = exact(yes);
        return {first, exact(1 - yes)};
    }

private:
    static bool is_never(const Strength& strength) {
        return strength.count.certain() && strength.count.k == 0;
    }

    /// One group; a share without weight is 0.
    StrengthRange dirichlet(const std::vector<double>& weight, double rest) {
        double total = rest;
        for (const double w : weight)
            total += w;
        const double group = next_group_++;
        const StrengthRange range = next(weight.size());
        for (const double w : weight)
            add({StrengthLaw::Kind::dirichlet, w > 0 ? w / total : 0, w, group, rest});
        return range;
    }

    StrengthRange exact_shares(const std::vector<Strength>& written, bool closed, double sum) {
        const StrengthRange range = next(written.size());
        for (const Strength& strength : written)
            exact(strength.count.k / strength.count.n / (closed ? sum : 1));
        return range;
    }

    /// Those that will be added next.
    [[nodiscard]] StrengthRange next(std::size_t count) const {
        return {static_cast<StrengthIndex>(laws_.size()), static_cast<std::uint32_t>(count)};
    }

    std::vector<StrengthLaw>& laws_;
    double next_group_ = 0;
};

SettingNode setting_node(const Setting& setting, Strengths& strengths) {
    SettingNode node;
    node.states = static_cast<std::uint32_t>(setting.states.size());
    if (!setting.table) {
        node.prior = strengths.shares(setting.prior, true);
        return node;
    }
    for (const auto& parent : setting.parents) {
        if (const auto* cause = std::get_if<CauseId>(&parent))
            node.parents.push_back({true, cause->value});
        else
            node.parents.push_back({false, std::get<SettingId>(parent).value});
    }
    for (const std::vector<double>& row : setting.rows)
        node.rows.insert(node.rows.end(), row.begin(), row.end());
    return node;
}

CauseNode cause_node(const Cause& cause, Strengths& strengths) {
    CauseNode node;
    node.base = strengths.base_rate(cause);
    node.only_if = cause.only_if;
    std::set<std::uint32_t> settings;
    for (const Condition& condition : cause.only_if)
        settings.insert(condition.setting.value);
    for (const RaisedBy& raised : cause.raised_by) {
        node.raised_by.push_back({raised.when, strengths.times(raised.times)});
        for (const Condition& condition : raised.when)
            settings.insert(condition.setting.value);
    }
    node.settings.assign(settings.begin(), settings.end());
    for (const CauseStrength& parent : cause.brought_on_by)
        node.parents.push_back({parent.cause.value, strengths.count(parent.strength.count)});
    if (cause.comes_and_goes) {
        node.comes_and_goes = true;
        node.acts = strengths.count(cause.comes_and_goes->count);
    }
    return node;
}

SignNode sign_node(const Sign& sign, Strengths& strengths) {
    SignNode node;
    node.form = sign.form;
    node.high = static_cast<std::uint32_t>(sign.high.size());
    node.low = static_cast<std::uint32_t>(sign.low.size());
    node.leak_high = strengths.shares(sign.seen_high, false);
    node.leak_low = strengths.shares(sign.seen_low, false);
    node.through_acts = !sign.symptom && !sign.steady;
    return node;
}

void link_signs(const Cause& cause, std::uint32_t index, Network& network, Strengths& strengths) {
    for (const Shows& shows : cause.shows)
        network.signs[shows.sign.index()].shown_by.push_back(
            {index, strengths.shares(shows.high, false), strengths.shares(shows.low, false)});
    for (const SignStrength& mask : cause.masks)
        network.signs[mask.sign.index()].masked_by.push_back(
            {index, strengths.count(mask.strength.count)});
}

/// A number that a channel takes from another one is the same number there.
ChannelNode channel_node(const Channel& channel, const Channel& otherwise, const ChannelNode& is,
                         Strengths& strengths) {
    const auto taken = [](const Span& at, const Span& from) {
        return at.somewhere() && at == from;
    };
    return {taken(channel.misses_at, otherwise.misses_at) ? is.misses
                                                          : strengths.chance(channel.misses),
            taken(channel.false_alarm_at, otherwise.false_alarm_at)
                ? is.false_alarm
                : strengths.chance(channel.false_alarm)};
}

void add_channels(const Knowledge& knowledge, Network& network, Strengths& strengths) {
    const Manifest& manifest = knowledge.manifest;
    network.told = channel_node(manifest.told, {}, {}, strengths);
    network.looked = channel_node(manifest.looked, {}, {}, strengths);
    for (const Sign& sign : knowledge.signs)
        network.told_of.push_back(
            sign.phone_report
                ? channel_node(*sign.phone_report, manifest.told, network.told, strengths)
                : network.told);
    for (const Test& test : knowledge.tests)
        network.test.push_back(
            test.channel ? channel_node(*test.channel, manifest.looked, network.looked, strengths)
                         : network.looked);
}

void add_repairs(const Knowledge& knowledge, Network& network, Strengths& strengths) {
    for (const Repair& repair : knowledge.repairs) {
        RepairNode& node = network.repairs.emplace_back();
        for (const CauseStrength& fixes : repair.fixes)
            node.fixes.push_back(strengths.chance(fixes.strength.count));
        for (const CauseStrength& bring : repair.may_bring)
            node.may_bring.push_back(strengths.chance(bring.strength.count));
    }
}

}  // namespace

Network compile(const Knowledge& knowledge) {
    Network network;
    Strengths strengths(network.strengths);
    for (const Setting& setting : knowledge.settings)
        network.settings.push_back(setting_node(setting, strengths));
    for (const Cause& cause : knowledge.causes)
        network.causes.push_back(cause_node(cause, strengths));
    for (const Sign& sign : knowledge.signs)
        network.signs.push_back(sign_node(sign, strengths));
    for (std::uint32_t c = 0; c < knowledge.causes.size(); ++c)
        link_signs(knowledge.causes[c], c, network, strengths);
    // Behind all others, so that those keep their places.
    add_channels(knowledge, network, strengths);
    add_repairs(knowledge, network, strengths);
    network.cause_order = order_of(network.causes.size(), arrows_between_causes(network));
    assert(network.cause_order.size() == network.causes.size() && "the reader refuses cycles");
    network.point.reserve(network.strengths.size());
    for (const StrengthLaw& law : network.strengths)
        network.point.push_back(law.mean);
    return network;
}

}  // namespace knockwell
