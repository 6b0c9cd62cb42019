#include "learning/squarem.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace knockwell {
namespace {

constexpr double least_share = 1e-12;

double length(const std::vector<double>& of) {
    double squares = 0;
    for (const double one : of)
        squares += one * one;
    return std::sqrt(squares);
}

}  // namespace

/// Of each side the logarithm of its share over that of no side.
std::vector<double> Squarem::odds_of(const std::vector<double>& strengths) const {
    std::vector<double> odds;
    for (const Coin& coin : *coins_) {
        double rest = 1;
        for (const CoinSide& side : coin.sides)
            rest -= strengths[side.strength];
        for (const CoinSide& side : coin.sides)
            odds.push_back(std::log(std::max(strengths[side.strength], least_share)) -
                           std::log(std::max(rest, least_share)));
    }
    return odds;
}

/// Coins that did not move keep every bit.
void Squarem::put(const std::vector<double>& odds, const std::vector<double>& now,
                  std::vector<double>& strengths) const {
    std::size_t at = 0;
    for (const Coin& coin : *coins_) {
        const auto first = odds.begin() + static_cast<std::ptrdiff_t>(at);
        const auto end = first + static_cast<std::ptrdiff_t>(coin.sides.size());
        if (std::equal(first, end, now.begin() + static_cast<std::ptrdiff_t>(at))) {
            at += coin.sides.size();
            continue;
        }
        double most = 0;
        for (std::size_t s = 0; s < coin.sides.size(); ++s)
            most = std::max(most, odds[at + s]);
        double sum = std::exp(-most);
        for (std::size_t s = 0; s < coin.sides.size(); ++s)
            sum += std::exp(odds[at + s] - most);
        for (const CoinSide& side : coin.sides)
            strengths[side.strength] = std::exp(odds[at++] - most) / sum;
        if (coin.left != Coin::none)
            strengths[coin.left] = 1 - strengths[coin.sides.front().strength];
    }
}

std::vector<double> Squarem::next(const std::vector<double>& from, const std::vector<double>& to) {
    if (leapt_)
        longest_ = std::min(longest_ * 2, 1024.0);  // the leap was taken
    leapt_ = false;
    if (!leaps_)
        return to;
    if (first_.empty()) {
        first_ = odds_of(from);
        return to;
    }
    const std::vector<double> x = std::exchange(first_, {});
    const std::vector<double> middle = odds_of(from);
    const std::vector<double> last = odds_of(to);
    std::vector<double> r(x.size());
    std::vector<double> v(x.size());
    for (std::size_t i = 0; i < x.size(); ++i) {
        r[i] = middle[i] - x[i];
        v[i] = last[i] - middle[i] - r[i];
    }
    const double bend = length(v);
    const double a = bend > 0 ? -std::clamp(length(r) / bend, 1.0, longest_) : -1;
    if (a == -1)
        return to;
    std::vector<double> leap(x.size());
    for (std::size_t i = 0; i < x.size(); ++i)
        leap[i] = x[i] - 2 * a * r[i] + a * a * v[i];
    by_em_ = to;
    std::vector<double> strengths = to;
    put(leap, last, strengths);
    leapt_ = true;
    return strengths;
}

std::vector<double> Squarem::instead() {
    leapt_ = false;
    longest_ = std::max(longest_ / 4, 1.0);
    return std::move(by_em_);
}

}  // namespace knockwell
