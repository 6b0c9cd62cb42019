#include "learning/coins.hpp"

#include <algorithm>

namespace knockwell {
namespace {

class Purse {
public:
    explicit Purse(const Network& network) : network_(&network) {}

    /// Sides that stand in `strengths` and `written`, place by place, called by `name(place)`.
    template <class Name>
    void add(Coin coin, StrengthRange strengths, const std::vector<Strength>& written, Name name) {
        for (std::size_t i = 0; i < strengths.size(); ++i) {
            const StrengthLaw& law = network_->strengths[strengths[i]];
            if (!written[i].span.somewhere())
                return;  // it stands nowhere, so it cannot be changed there
            switch (law.kind) {
            case StrengthLaw::Kind::beta:
                coin.rest = law.b;
                break;
            case StrengthLaw::Kind::dirichlet:
                if (law.a == 0)
                    continue;
                coin.rest = law.rest;
                break;
            case StrengthLaw::Kind::log_normal_odds:
                coin.spread = law.a;
                break;
            case StrengthLaw::Kind::exact:
            case StrengthLaw::Kind::log_normal:
                continue;
            }
            const double weight = law.kind == StrengthLaw::Kind::log_normal_odds ? 0 : law.a;
            coin.sides.push_back({name(i), strengths[i], weight, written[i].span});
        }
        const bool exact_factor =
            coin.kind == Coin::Kind::rate && coin.spread == 0 && coin.rest == 0;
        if (!coin.sides.empty() && !exact_factor)
            coins_.push_back(std::move(coin));
    }

    /// A chance that the model uses at its mean: the count is that of the text.
    void add_chance(Coin::Kind kind, const std::string& name, const ChanceNode& node,
                    const Count& count, const Span& at) {
        if (count.kind != Count::Kind::counted || !at.somewhere())
            return;
        const Beta beta = beta_of(count);
        Coin coin;
        coin.kind = kind;
        coin.rest = beta.b;
        coin.left = node.no;
        coin.sides.push_back({name, node.yes, beta.a, at});
        coins_.push_back(std::move(coin));
    }

    [[nodiscard]] std::vector<Coin> all() { return std::move(coins_); }

private:
    const Network* network_;
    std::vector<Coin> coins_;
};

std::string of_level(const std::string& name, const Sign& sign, std::size_t value) {
    return sign.form == SignForm::flag ? name : name + "." + sign.value_name(value);
}

void add_cause_coins(const Knowledge& knowledge, const Network& network, std::uint32_t c,
                     Purse& purse) {
    const Cause& cause = knowledge.causes[c];
    const CauseNode& node = network.causes[c];
    const std::string name = "cause." + cause.head.id;
    Coin coin;
    coin.cause = c;
    coin.kind = Coin::Kind::rate;
    purse.add(coin, {node.base, 1}, {cause.present},
              [&](std::size_t) { return name + ".present"; });
    coin.kind = Coin::Kind::brings;
    for (std::size_t i = 0; i < node.parents.size(); ++i) {
        coin.cause = node.parents[i].from;
        coin.other = c;
        purse.add(coin, {node.parents[i].strength, 1}, {cause.brought_on_by[i].strength},
                  [&](std::size_t) {
                      return name + ".brought_on_by." +
                             knowledge[cause.brought_on_by[i].cause].head.id;
                  });
    }
    coin.cause = c;
    coin.other = Coin::none;
    coin.kind = Coin::Kind::acts;
    if (cause.comes_and_goes)
        purse.add(coin, {node.acts, 1}, {*cause.comes_and_goes},
                  [&](std::size_t) { return name + ".comes_and_goes"; });
}

void add_sign_coins(const Knowledge& knowledge, const Network& network, std::uint32_t s,
                    Purse& purse) {
    const Sign& sign = knowledge.signs[s];
    const SignNode& node = network.signs[s];
    Coin coin;
    coin.sign = s;
    const auto low = [&](std::size_t i) { return 1 + sign.high.size() + i; };
    const auto high = [](std::size_t i) { return 1 + i; };
    const auto sides = [&](const std::string& name, StrengthRange of_high,
                           const std::vector<Strength>& written_high, StrengthRange of_low,
                           const std::vector<Strength>& written_low) {
        purse.add(coin, of_high, written_high,
                  [&](std::size_t i) { return of_level(name, sign, high(i)); });
        purse.add(coin, of_low, written_low,
                  [&](std::size_t i) { return of_level(name, sign, low(i)); });
    };
    coin.kind = Coin::Kind::leak;
    sides((sign.symptom ? "symptom." : "observation.") + sign.head.id + ".seen_anyway",
          node.leak_high, sign.seen_high, node.leak_low, sign.seen_low);
    coin.kind = Coin::Kind::shows;
    for (const ShowLink& link : node.shown_by) {
        const Cause& cause = knowledge.causes[link.from];
        const auto shows = std::find_if(cause.shows.begin(), cause.shows.end(),
                                        [&](const Shows& it) { return it.sign == SignId(s); });
        coin.cause = link.from;
        sides("cause." + cause.head.id + ".shows." + sign.head.id, link.high, shows->high, link.low,
              shows->low);
    }
    coin.kind = Coin::Kind::hides;
    for (const WeightedLink& link : node.masked_by) {
        const Cause& cause = knowledge.causes[link.from];
        const auto mask =
            std::find_if(cause.masks.begin(), cause.masks.end(),
                         [&](const SignStrength& it) { return it.sign == SignId(s); });
        coin.cause = link.from;
        purse.add(coin, {link.strength, 1}, {mask->strength},
                  [&](std::size_t) { return "cause." + cause.head.id + ".masks." + sign.head.id; });
    }
}

/// A number that is taken from `reports.looked` is a coin of that, and of no test.
void add_channel_coins(const Knowledge& knowledge, const Network& network, Purse& purse) {
    const auto add = [&](const std::string& name, const Channel& channel, const ChannelNode& node,
                         const ChannelNode* otherwise) {
        if (otherwise == nullptr || node.misses != otherwise->misses)
            purse.add_chance(Coin::Kind::channel, name + ".misses", node.misses, channel.misses,
                             channel.misses_at);
        if (otherwise == nullptr || node.false_alarm != otherwise->false_alarm)
            purse.add_chance(Coin::Kind::channel, name + ".false_alarm", node.false_alarm,
                             channel.false_alarm, channel.false_alarm_at);
    };
    add("reports.looked", knowledge.manifest.looked, network.looked, nullptr);
    for (std::size_t t = 0; t < knowledge.tests.size(); ++t)
        if (knowledge.tests[t].channel)
            add("test." + knowledge.tests[t].step.head.id, *knowledge.tests[t].channel,
                network.test[t], &network.looked);
}

void add_repair_coins(const Knowledge& knowledge, const Network& network, Purse& purse) {
    for (std::size_t r = 0; r < knowledge.repairs.size(); ++r) {
        const Repair& repair = knowledge.repairs[r];
        const auto add = [&](const std::string& key, const std::vector<CauseStrength>& list,
                             const std::vector<ChanceNode>& nodes) {
            for (std::size_t i = 0; i < list.size(); ++i)
                purse.add_chance(Coin::Kind::repair,
                                 "repair." + repair.step.head.id + key +
                                     knowledge[list[i].cause].head.id,
                                 nodes[i], list[i].strength.count, list[i].strength.span);
        };
        add(".fixes.", repair.fixes, network.repairs[r].fixes);
        add(".may_bring.", repair.may_bring, network.repairs[r].may_bring);
    }
}

}  // namespace

double Coin::cases() const {
    double sum = rest;
    for (const CoinSide& side : sides)
        sum += side.weight;
    return sum;
}

std::vector<Coin> coins_of(const Knowledge& knowledge, const Network& network) {
    Purse purse(network);
    for (std::uint32_t c = 0; c < network.causes.size(); ++c)
        add_cause_coins(knowledge, network, c, purse);
    for (std::uint32_t s = 0; s < network.signs.size(); ++s)
        add_sign_coins(knowledge, network, s, purse);
    add_channel_coins(knowledge, network, purse);
    add_repair_coins(knowledge, network, purse);
    return purse.all();
}

}  // namespace knockwell
