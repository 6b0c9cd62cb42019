// review/statistics.hpp
//
// The statistics of small counts, by Boost.Math: exact limits and tails, shrinkage, false discovery
// rate, trends, a control chart. Counts are whole and not negative, expectations positive; what is
// outside of that throws std::domain_error.
//
// Source   F. Garwood, Biometrika 28, 1936, pp. 437-442: limits of a Poisson mean;
//          D. Clayton, J. Kaldor, Biometrics 43, 1987, pp. 671-681: gamma-Poisson shrinkage;
//          Y. Benjamini, Y. Hochberg, J. R. Statist. Soc. B 57, 1995, pp. 289-300: false discovery
//          rate; J. M. Lucas, Technometrics 27, 1985, pp. 129-144: Poisson CUSUM;
//          G. Lorden, Annals of Mathematical Statistics 42, 1971: how often a CUSUM is wrong
// Held by  tests/review/statistics_test.cpp (published examples)
#pragma once
#include <cstdint>
#include <span>
#include <vector>

namespace knockwell {

struct Limits {
    double low = 0;
    double high = 0;
};

/// Exact two-sided limits of a Poisson mean; `confidence` in (0, 1).
[[nodiscard]] Limits poisson_limits(std::uint64_t count, double confidence = 0.95);

/// Exact two-sided limits of a share, `count` of `all`; all of [0, 1] where `all` is 0.
/// Source   C. J. Clopper, E. S. Pearson, Biometrika 26, 1934, pp. 404-413
[[nodiscard]] Limits share_limits(std::uint64_t count, std::uint64_t all, double confidence = 0.95);

/// P(a Poisson count is `count` or more).
[[nodiscard]] double poisson_at_least(std::uint64_t count, double mean);

/// Ratios of observed to expected spread as Gamma(shape, rate); shape infinite: they do not differ
/// more than chance lets them, and all are shape/rate = `mean`.
struct GammaSpread {
    double shape = 0;
    double rate = 0;
    double mean = 1;
    double log_likelihood = 0;
};

/// By maximum likelihood of the negative binomial. At least one expectation above 0.
[[nodiscard]] GammaSpread fit_gamma(std::span<const std::uint64_t> observed,
                                    std::span<const double> expected);

/// The ratio of one cell, drawn towards the others as far as it is poorly known: mean of its gamma.
[[nodiscard]] double shrunk_ratio(const GammaSpread& spread, std::uint64_t observed,
                                  double expected);

/// Where that ratio lies with the probability `confidence`, as many chances below as above; both
/// its mean where all ratios are one.
[[nodiscard]] Limits shrunk_limits(const GammaSpread& spread, std::uint64_t observed,
                                   double expected, double confidence = 0.95);

/// p-values adjusted so that of those at most q the expected share of false ones is at most q.
[[nodiscard]] std::vector<double> false_discovery(std::span<const double> p);

/// P(so many or more of `all` fall where a share `share` of them is expected).
[[nodiscard]] double share_at_least(std::uint64_t count, std::uint64_t all, double share);

/// P(so many or fewer of `all`), likewise.
[[nodiscard]] double share_at_most(std::uint64_t count, std::uint64_t all, double share);

/// P(a mean at least so far from 0, either way), Student's t: `mean` and standard deviation of
/// `count` >= 2 independent numbers; `deviation` > 0.
[[nodiscard]] double mean_by_chance(double mean, double deviation, std::uint64_t count);
/// The middle 95 % of where the mean may lie, likewise.
[[nodiscard]] Limits mean_limits(double mean, double deviation, std::uint64_t count);

/// The `q` quantile of Beta(a, b); a, b > 0, 0 < q < 1.
[[nodiscard]] double beta_quantile(double a, double b, double q);

/// P(counts rise over the periods as much or more), given their sum and shares expected alike:
/// exact for sums up to 500, else by the normal law. `expected` > 0 for each period, in any unit.
[[nodiscard]] double rising_trend(std::span<const std::uint64_t> counts,
                                  std::span<const double> expected);

/// The Poisson CUSUM of Lucas in units of likelihood: sum after each period of ln P(count | times
/// as many) - ln P(count | as expected), never below 0.
[[nodiscard]] std::vector<double> poisson_cusum(std::span<const std::uint64_t> counts,
                                                std::span<const double> expected, double times);

/// A bound on P(such a CUSUM reaches `height` within so many periods where nothing changed): by
/// Lorden each start of it does so with at most exp(-height).
[[nodiscard]] double cusum_chance(double height, std::size_t periods);

}  // namespace knockwell
