#include "learning/likeliest.hpp"

#include <algorithm>
#include <cmath>

namespace knockwell {
namespace {

double log_odds(double p) { return std::log(p) - std::log1p(-p); }
double of_log_odds(double a) { return 1 / (1 + std::exp(-a)); }

void take_shares(const Coin& coin, std::span<const double> counted, std::span<double> strengths) {
    const double all = coin.cases() + counted[0];
    for (std::size_t s = 0; s < coin.sides.size(); ++s)
        strengths[coin.sides[s].strength] = (coin.sides[s].weight + counted[1 + s]) / all;
    if (coin.left != Coin::none)
        strengths[coin.left] = 1 - strengths[coin.sides.front().strength];
}

/// The odds times d: the most of a concave function of ln d, by Newton's steps.
double likeliest_rate(const Coin& coin, std::span<const double> counted, double written,
                      double now) {
    constexpr double longest = 1;
    constexpr int most = 60;
    const double tosses = counted[0];
    const double fallen = counted[1];
    const double from = log_odds(now);
    const double chance = std::clamp(counted[2] / tosses, 1e-300, 1 - 1e-12);
    const double odds = log_odds(chance);
    double by = 0;
    for (int i = 0; i < most; ++i) {
        const double r = of_log_odds(odds + by);
        const double p = of_log_odds(from + by);
        double slope = fallen - tosses * r;
        double bend = tosses * r * (1 - r);
        if (coin.spread > 0) {
            const double precision = 1 / (coin.spread * coin.spread);
            slope -= (from + by - log_odds(written)) * precision;
            bend += precision;
        } else {
            slope += coin.sides.front().weight * (1 - p) - coin.rest * p;
            bend += coin.cases() * p * (1 - p);
        }
        const double step = std::clamp(slope / bend, -longest, longest);
        by += step;
        if (std::abs(step) < 1e-13)
            break;
    }
    return of_log_odds(from + by);
}

}  // namespace

double log_of_written(const Coin& coin, std::span<const double> written,
                      std::span<const double> strengths) {
    if (coin.spread > 0) {
        const StrengthIndex at = coin.sides.front().strength;
        const double off = (log_odds(strengths[at]) - log_odds(written[at])) / coin.spread;
        return -off * off / 2;
    }
    double all = 0;
    double rest = 1;
    for (const CoinSide& side : coin.sides) {
        all += side.weight * std::log(strengths[side.strength]);
        rest -= strengths[side.strength];
    }
    return all + coin.rest * std::log(std::max(rest, 1e-300));
}

void take_likeliest(const std::vector<Coin>& coins, const Counting& counted,
                    std::span<const double> written, std::span<double> strengths) {
    for (std::uint32_t i = 0; i < coins.size(); ++i) {
        const std::span<const double> of = counted.of(i);
        if (!(of[0] > 0))
            continue;
        const StrengthIndex at = coins[i].sides.front().strength;
        if (coins[i].kind == Coin::Kind::rate)
            strengths[at] = likeliest_rate(coins[i], of, written[at], strengths[at]);
        else
            take_shares(coins[i], of, strengths);
    }
}

}  // namespace knockwell
