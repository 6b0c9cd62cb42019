#include "review/statistics.hpp"

#include <boost/math/distributions/beta.hpp>
#include <boost/math/distributions/binomial.hpp>
#include <boost/math/distributions/gamma.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/poisson.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <boost/math/tools/minima.hpp>
#include <boost/math/tools/roots.hpp>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <stdexcept>

namespace knockwell {
namespace {

namespace bm = boost::math;

constexpr double infinite = std::numeric_limits<double>::infinity();

void need(bool holds, const char* what) {
    if (!holds)
        throw std::domain_error(what);
}

double as_real(std::uint64_t count) { return static_cast<double>(count); }

/// Cells of a fit, without those where nothing is expected.
struct Cells {
    std::vector<double> observed;
    std::vector<double> expected;
};

double log_likelihood(const Cells& cells, double shape, double rate) {
    double sum = 0;
    for (std::size_t i = 0; i < cells.observed.size(); ++i) {
        const double o = cells.observed[i];
        const double e = cells.expected[i];
        sum += std::lgamma(o + shape) - std::lgamma(shape) - std::lgamma(o + 1) +
               shape * std::log(rate / (rate + e)) + (o > 0 ? o * std::log(e / (rate + e)) : 0);
    }
    return sum;
}

double log_likelihood_of_one_ratio(const Cells& cells, double ratio) {
    double sum = 0;
    for (std::size_t i = 0; i < cells.observed.size(); ++i) {
        const double mean = ratio * cells.expected[i];
        sum += (cells.observed[i] > 0 ? cells.observed[i] * std::log(mean) : 0) - mean -
               std::lgamma(cells.observed[i] + 1);
    }
    return sum;
}

/// The rate that goes best with a shape: the zero of the likelihood's slope, which only falls.
double best_rate(const Cells& cells, double shape, double guess) {
    const auto slope = [&](double log_rate) {
        const double rate = std::exp(log_rate);
        double sum = as_real(cells.observed.size()) * shape;
        for (std::size_t i = 0; i < cells.observed.size(); ++i)
            sum -= rate * (cells.observed[i] + shape) / (cells.expected[i] + rate);
        return sum;
    };
    double low = std::log(guess) - 1;
    double high = low + 2;
    while (slope(low) < 0)
        low -= 2;
    while (slope(high) > 0)
        high += 2;
    std::uintmax_t steps = 200;
    const auto [a, b] =
        bm::tools::toms748_solve(slope, low, high, bm::tools::eps_tolerance<double>(45), steps);
    return std::exp((a + b) / 2);
}

/// P(sum of `n` draws is s), a draw being i with probability p[i].
std::vector<double> sums_of_draws(std::span<const double> p, std::size_t n) {
    std::vector<double> chance = {1};
    for (std::size_t draw = 0; draw < n; ++draw) {
        std::vector<double> next(chance.size() + p.size() - 1, 0.0);
        for (std::size_t s = 0; s < chance.size(); ++s)
            for (std::size_t i = 0; i < p.size(); ++i)
                next[s + i] += chance[s] * p[i];
        chance = std::move(next);
    }
    return chance;
}

}  // namespace

Limits poisson_limits(std::uint64_t count, double confidence) {
    need(confidence > 0 && confidence < 1, "a confidence is between 0 and 1");
    const double tail = (1 - confidence) / 2;
    Limits limits;
    if (count > 0)
        limits.low = bm::quantile(bm::gamma_distribution<>(as_real(count)), tail);
    limits.high = bm::quantile(bm::complement(bm::gamma_distribution<>(as_real(count) + 1), tail));
    return limits;
}

double poisson_at_least(std::uint64_t count, double mean) {
    need(mean > 0, "a mean is above 0");
    if (count == 0)
        return 1;
    return bm::cdf(bm::complement(bm::poisson(mean), as_real(count - 1)));
}

GammaSpread fit_gamma(std::span<const std::uint64_t> observed, std::span<const double> expected) {
    need(observed.size() == expected.size(), "as many counts as expectations");
    Cells cells;
    for (std::size_t i = 0; i < observed.size(); ++i) {
        if (!(expected[i] > 0))
            continue;
        cells.observed.push_back(as_real(observed[i]));
        cells.expected.push_back(expected[i]);
    }
    need(!cells.observed.empty(), "something is expected");
    const double all = std::accumulate(cells.observed.begin(), cells.observed.end(), 0.0);
    const double ratio = all / std::accumulate(cells.expected.begin(), cells.expected.end(), 0.0);
    const GammaSpread none{infinite, infinite, ratio,
                           all > 0 ? log_likelihood_of_one_ratio(cells, ratio) : 0};
    if (!(all > 0))
        return none;
    const auto misses = [&](double log_shape) {
        const double shape = std::exp(log_shape);
        return -log_likelihood(cells, shape, best_rate(cells, shape, shape / ratio));
    };
    constexpr double smallest = -7;  // shapes of a thousandth ...
    constexpr double largest = 14;   // ... to a million, where gammas are as good as one ratio
    std::uintmax_t steps = 200;
    const auto best = bm::tools::brent_find_minima(misses, smallest, largest, 40, steps);
    if (best.first > largest - 1 || -best.second <= none.log_likelihood)
        return none;
    GammaSpread spread;
    spread.shape = std::exp(best.first);
    spread.rate = best_rate(cells, spread.shape, spread.shape / ratio);
    spread.mean = spread.shape / spread.rate;
    spread.log_likelihood = -best.second;
    return spread;
}

double shrunk_ratio(const GammaSpread& spread, std::uint64_t observed, double expected) {
    if (std::isinf(spread.shape))
        return spread.mean;
    return (as_real(observed) + spread.shape) / (expected + spread.rate);
}

Limits shrunk_limits(const GammaSpread& spread, std::uint64_t observed, double expected,
                     double confidence) {
    need(confidence > 0 && confidence < 1, "a confidence is between 0 and 1");
    if (std::isinf(spread.shape))
        return {spread.mean, spread.mean};
    const double tail = (1 - confidence) / 2;
    const bm::gamma_distribution<> ratio(spread.shape + as_real(observed),
                                         1 / (spread.rate + expected));
    return {bm::quantile(ratio, tail), bm::quantile(bm::complement(ratio, tail))};
}

std::vector<double> false_discovery(std::span<const double> p) {
    std::vector<std::size_t> order(p.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return p[a] > p[b]; });
    std::vector<double> adjusted(p.size());
    double least = 1;
    for (std::size_t i = 0; i < order.size(); ++i) {
        const double rank = as_real(order.size() - i);
        least = std::min(least, p[order[i]] * as_real(p.size()) / rank);
        adjusted[order[i]] = least;
    }
    return adjusted;
}

double share_at_least(std::uint64_t count, std::uint64_t all, double share) {
    need(count <= all && share >= 0 && share <= 1, "a share is between 0 and 1");
    if (count == 0)
        return 1;
    return bm::cdf(bm::complement(bm::binomial(as_real(all), share), as_real(count - 1)));
}

double share_at_most(std::uint64_t count, std::uint64_t all, double share) {
    need(count <= all && share >= 0 && share <= 1, "a share is between 0 and 1");
    if (count == all)
        return 1;
    return bm::cdf(bm::binomial(as_real(all), share), as_real(count));
}

Limits share_limits(std::uint64_t count, std::uint64_t all, double confidence) {
    need(count <= all && confidence > 0 && confidence < 1, "a share is between 0 and 1");
    const double out = (1 - confidence) / 2;
    const double yes = as_real(count);
    const double no = as_real(all - count);
    return {count == 0 ? 0 : bm::quantile(bm::beta_distribution<>(yes, no + 1), out),
            count == all ? 1 : bm::quantile(bm::beta_distribution<>(yes + 1, no), 1 - out)};
}

double mean_by_chance(double mean, double deviation, std::uint64_t count) {
    need(deviation > 0 && count >= 2, "a mean needs two numbers that differ");
    const double t = std::abs(mean) / deviation * std::sqrt(as_real(count));
    return 2 * bm::cdf(bm::complement(bm::students_t(as_real(count - 1)), t));
}

Limits mean_limits(double mean, double deviation, std::uint64_t count) {
    need(deviation > 0 && count >= 2, "a mean needs two numbers that differ");
    constexpr double upper = 0.975;
    const double reach = bm::quantile(bm::students_t(as_real(count - 1)), upper) * deviation /
                         std::sqrt(as_real(count));
    return {mean - reach, mean + reach};
}

double beta_quantile(double a, double b, double q) {
    need(a > 0 && b > 0 && q > 0 && q < 1, "no such beta distribution");
    return bm::quantile(bm::beta_distribution<>(a, b), q);
}

double rising_trend(std::span<const std::uint64_t> counts, std::span<const double> expected) {
    need(counts.size() == expected.size() && !counts.empty(), "as many counts as expectations");
    const double whole = std::accumulate(expected.begin(), expected.end(), 0.0);
    std::vector<double> p;
    for (const double one : expected) {
        need(one > 0, "something is expected in each period");
        p.push_back(one / whole);
    }
    const std::uint64_t n = std::accumulate(counts.begin(), counts.end(), std::uint64_t{0});
    std::uint64_t score = 0;
    for (std::size_t i = 0; i < counts.size(); ++i)
        score += i * counts[i];
    constexpr std::uint64_t most_exact = 500;
    if (n <= most_exact) {
        const std::vector<double> chance = sums_of_draws(p, n);
        return std::min(1.0, std::accumulate(chance.begin() + static_cast<std::ptrdiff_t>(score),
                                             chance.end(), 0.0));
    }
    double mean = 0;
    double square = 0;
    for (std::size_t i = 0; i < p.size(); ++i) {
        mean += as_real(i) * p[i];
        square += as_real(i * i) * p[i];
    }
    const double spread = std::sqrt(as_real(n) * (square - mean * mean));
    const double z = (as_real(score) - 0.5 - as_real(n) * mean) / spread;
    return bm::cdf(bm::complement(bm::normal(), z));
}

std::vector<double> poisson_cusum(std::span<const std::uint64_t> counts,
                                  std::span<const double> expected, double times) {
    need(counts.size() == expected.size(), "as many counts as expectations");
    need(times > 1, "a rise is by more than once");
    std::vector<double> sums;
    double sum = 0;
    for (std::size_t i = 0; i < counts.size(); ++i) {
        sum = std::max(0.0, sum + as_real(counts[i]) * std::log(times) - (times - 1) * expected[i]);
        sums.push_back(sum);
    }
    return sums;
}

double cusum_chance(double height, std::size_t periods) {
    return std::min(1.0, as_real(periods) * std::exp(-height));
}

}  // namespace knockwell
