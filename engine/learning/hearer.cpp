#include "learning/hearer.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace knockwell {

HeardLesson Hearer::hear(const std::vector<Way>& ways, std::span<const double> strengths) {
    std::vector<Tosses> all;
    for (const Way& way : ways)
        if (auto one = tosser_.of(way.evidence, strengths, way.unnamed)) {
            one->log_chance += std::log(way.share);
            all.push_back(*std::move(one));
        }
    if (all.empty())
        return {};
    if (all.size() == 1)
        return {true, std::move(all.front())};
    return {true, mixed(all)};
}

HeardLesson Hearer::hear(const Evidence& evidence, std::span<const double> strengths) {
    if (auto one = tosser_.of(evidence, strengths))
        return {true, *std::move(one)};
    return {};
}

/// Each way as often as it is likely.
Tosses Hearer::mixed(const std::vector<Tosses>& all) {
    double most = all.front().log_chance;
    for (const Tosses& one : all)
        most = std::max(most, one.log_chance);
    double sum = 0;
    for (const Tosses& one : all)
        sum += std::exp(one.log_chance - most);
    Tosses mix;
    mix.log_chance = most + std::log(sum);
    mix.shape = all.front().shape;
    for (const Tosses& one : all) {
        const double share = std::exp(one.log_chance - most) / sum;
        const double* number = one.numbers.data();
        for (const std::uint32_t coin : one.coins) {
            if (!met_[coin])
                mix.coins.push_back(coin);
            met_[coin] = true;
            for (std::size_t i = 0; i < row_->count(coin); ++i)
                sum_[row_->first(coin) + i] += share * *number++;
        }
    }
    for (const std::uint32_t coin : mix.coins) {
        met_[coin] = false;
        for (std::size_t i = 0; i < row_->count(coin); ++i)
            mix.numbers.push_back(std::exchange(sum_[row_->first(coin) + i], 0.0));
    }
    return mix;
}

}  // namespace knockwell
