#include "learning/tosses.hpp"

#include "beliefs/likelihood.hpp"

#include <algorithm>

namespace knockwell {

CoinRow::CoinRow(const std::vector<Coin>& coins) {
    first_.push_back(0);
    for (const Coin& coin : coins)
        first_.push_back(first_.back() + 1 + coin.sides.size() +
                         (coin.kind == Coin::Kind::rate ? 1 : 0));
}

Tosser::Tosser(const Model& model, const std::vector<Coin>& coins, const CoinRow& row)
    : network_(model.network), coins_(&coins), row_(&row), expecting_(model),
      of_sign_(model.network->signs.size()), of_cause_(model.network->causes.size()),
      acts_of_(model.network->causes.size()),
      of_chance_(model.network->strengths.size(), Coin::none) {
    for (std::uint32_t i = 0; i < coins.size(); ++i)
        switch (coins[i].kind) {
        case Coin::Kind::rate:
            of_cause_[coins[i].cause].push_back(i);
            break;
        case Coin::Kind::brings:
            of_cause_[coins[i].other].push_back(i);
            break;
        case Coin::Kind::acts:
            acts_of_[coins[i].cause].push_back(i);
            break;
        case Coin::Kind::channel:
        case Coin::Kind::repair:
            of_chance_[coins[i].sides.front().strength] = i;
            break;
        case Coin::Kind::shows:
        case Coin::Kind::hides:
        case Coin::Kind::leak:
            of_sign_[coins[i].sign].push_back(i);
            break;
        }
}

std::optional<Tosses> Tosser::of(const Evidence& evidence, std::span<const double> strengths,
                                 const SaidOfCauses& said) {
    const Expected* const expected = expecting_.of(evidence, strengths, said);
    if (expected == nullptr)
        return std::nullopt;
    return tosses(evidence, *expected, strengths);
}

Tosses Tosser::tosses(const Evidence& evidence, const Expected& expected,
                      std::span<const double> strengths) const {
    Tosses it;
    it.log_chance = expected.log_evidence;
    it.shape = expected.shape;
    std::vector<std::uint32_t> signs;
    for (const Finding& finding : evidence.findings)
        if (const auto* sign = std::get_if<SignId>(&finding.what))
            signs.push_back(sign->value);
    std::sort(signs.begin(), signs.end());
    signs.erase(std::unique(signs.begin(), signs.end()), signs.end());
    std::vector<std::uint32_t> acting;
    for (const std::uint32_t s : signs) {
        for (const std::uint32_t coin : of_sign_[s])
            toss(coin, expected, strengths, it);
        const SignNode& sign = network_->signs[s];
        if (!sign.through_acts)
            continue;
        for (const ShowLink& link : sign.shown_by)
            acting.push_back(link.from);
        for (const WeightedLink& link : sign.masked_by)
            acting.push_back(link.from);
    }
    std::sort(acting.begin(), acting.end());
    acting.erase(std::unique(acting.begin(), acting.end()), acting.end());
    for (const std::uint32_t c : acting)
        for (const std::uint32_t coin : acts_of_[c])
            toss(coin, expected, strengths, it);
    toss_chances(evidence, expected, strengths, it);
    for (std::uint32_t c = 0; c < of_cause_.size(); ++c)
        if (expected.there[c] != not_spoken_of)
            for (const std::uint32_t coin : of_cause_[c]) {
                if ((*coins_)[coin].kind == Coin::Kind::rate)
                    toss_rate(coin, expected, strengths, it);
                else
                    toss(coin, expected, strengths, it);
            }
    return it;
}

void Tosser::toss(std::uint32_t coin, const Expected& expected, std::span<const double> strengths,
                  Tosses& into) const {
    const Coin& it = (*coins_)[coin];
    const double there = it.cause == Coin::none ? expected.times : expected.there[it.cause];
    if (!(there > 0))
        return;
    double sum = 0;
    for (const CoinSide& side : it.sides)
        sum += strengths[side.strength] * expected.slope[side.strength];
    into.coins.push_back(coin);
    into.numbers.push_back(there);
    for (const CoinSide& side : it.sides)
        into.numbers.push_back(std::clamp(
            strengths[side.strength] * (there + expected.slope[side.strength] - sum), 0.0, there));
}

/// Both sides are numbers of their own: each came so often as number times slope, however many
/// triggers one look could miss.
void Tosser::toss_chances(const Evidence& evidence, const Expected& expected,
                          std::span<const double> strengths, Tosses& into) const {
    std::vector<std::uint32_t> coins;
    const auto meet = [&](const ChanceNode& chance) {
        if (of_chance_[chance.yes] != Coin::none)
            coins.push_back(of_chance_[chance.yes]);
    };
    for (const Finding& finding : evidence.findings)
        if (const ChannelNode* channel = channel_node_of(*network_, finding)) {
            meet(channel->misses);
            meet(channel->false_alarm);
        }
    for (const RepairId repair : evidence.repairs) {
        const RepairNode& node = network_->repairs[repair.index()];
        std::for_each(node.fixes.begin(), node.fixes.end(), meet);
        std::for_each(node.may_bring.begin(), node.may_bring.end(), meet);
    }
    std::sort(coins.begin(), coins.end());
    coins.erase(std::unique(coins.begin(), coins.end()), coins.end());
    for (const std::uint32_t coin : coins) {
        const Coin& it = (*coins_)[coin];
        const StrengthIndex yes = it.sides.front().strength;
        const double fallen = std::max(0.0, strengths[yes] * expected.slope[yes]);
        const double not_fallen = std::max(0.0, strengths[it.left] * expected.slope[it.left]);
        if (!(fallen + not_fallen > 0))
            continue;
        into.coins.push_back(coin);
        into.numbers.push_back(fallen + not_fallen);
        into.numbers.push_back(fallen);
    }
}

void Tosser::toss_rate(std::uint32_t coin, const Expected& expected,
                       std::span<const double> strengths, Tosses& into) const {
    const Coin& it = (*coins_)[coin];
    const double open = expected.open[it.cause];
    if (!(open > 0))
        return;
    const StrengthIndex strength = it.sides.front().strength;
    const double p = strengths[strength];
    // By the logarithm of the odds the slope is (fallen so) less (chance of it), on both sides of
    // every setting.
    const double more = expected.slope[strength] * p * (1 - p);
    into.coins.push_back(coin);
    into.numbers.push_back(open);
    into.numbers.push_back(std::clamp(expected.chance[it.cause] + more, 0.0, open));
    into.numbers.push_back(expected.chance[it.cause]);
}

}  // namespace knockwell
