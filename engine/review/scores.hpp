// review/scores.hpp
//
// How good probabilities were, once it is known what happened.
//
// Source   G. W. Brier, Monthly Weather Review 78, 1950; I. J. Good, J. R. Statist. Soc. B 14, 1952
//          (logarithmic score); A. H. Murphy, J. Applied Meteorology 12, 1973, pp. 595-600:
//          Brier = reliability - resolution + uncertainty; S. V. Weijs, R. van Nooijen, N. van de
//          Giesen, Monthly Weather Review 138, 2010, pp. 3387-3399: the same of the logarithmic
//          score, with relative entropies for squares
// Held by  tests/review/scores_test.cpp (published examples)
#pragma once
#include <span>
#include <vector>

namespace knockwell {

/// A probability that was given, and whether it came to pass. `weight` cases of it.
struct Forecast {
    double p = 0;
    bool happened = false;
    double weight = 1;
};

/// Forecasts that were alike: all of one probability, or of one class of them.
struct CalibrationRow {
    double said = 0;      // mean of the probabilities
    double happened = 0;  // share of those that came to pass
    double cases = 0;
};

struct Scores {
    double cases = 0;
    double brier = 0;            // mean square of the difference; 0 is best
    double reliability = 0;      // how far shares are from what was said; 0 is best
    double resolution = 0;       // how far the shares differ from one another; more is better
    double uncertainty = 0;      // what nobody can help
    double skill = 0;            // 1 - brier / uncertainty
    double log_score = 0;        // mean of -ln of what was given to what happened; 0 is best
    double log_reliability = 0;  // in nats, likewise:
    double log_resolution = 0;   //   log_score = reliability - resolution + uncertainty
    double log_uncertainty = 0;
    std::vector<CalibrationRow> rows;  // ascending by `said`
};

/// One row for each distinct probability, as the decomposition wants it; `clip` keeps the logarithm
/// finite: probabilities under it, or over 1 - it, are taken as that there.
[[nodiscard]] Scores scores_of(std::span<const Forecast> forecasts, double clip = 0.001);

/// Each probability replaced by the mean of its class; classes are cut at `edges`, ascending, and a
/// probability on an edge belongs to the upper one. So the decomposition is that of a table a
/// person can read.
[[nodiscard]] std::vector<Forecast> in_means(std::span<const Forecast> forecasts,
                                             std::span<const double> edges);

}  // namespace knockwell
