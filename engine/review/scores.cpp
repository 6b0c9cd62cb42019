#include "review/scores.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace knockwell {
namespace {

/// a ln(a / b), 0 where a is.
double part_of_entropy(double a, double b) { return a > 0 ? a * std::log(a / b) : 0; }

/// Relative entropy of a coin of `truth` against one of `said`, in nats.
double apart(double truth, double said) {
    return part_of_entropy(truth, said) + part_of_entropy(1 - truth, 1 - said);
}

}  // namespace

Scores scores_of(std::span<const Forecast> forecasts, double clip) {
    struct Heap {
        double cases = 0;
        double happened = 0;
    };
    Scores scores;
    std::map<double, Heap> heaps;
    double happened = 0;
    for (const Forecast& one : forecasts) {
        const double truth = one.happened ? 1 : 0;
        const double p = std::clamp(one.p, clip, 1 - clip);
        scores.cases += one.weight;
        happened += one.weight * truth;
        scores.brier += one.weight * (one.p - truth) * (one.p - truth);
        scores.log_score -= one.weight * std::log(one.happened ? p : 1 - p);
        Heap& heap = heaps[one.p];
        heap.cases += one.weight;
        heap.happened += one.weight * truth;
    }
    if (!(scores.cases > 0))
        return scores;
    const double rate = happened / scores.cases;
    for (const auto& [p, heap] : heaps) {
        const double share = heap.happened / heap.cases;
        scores.rows.push_back({p, share, heap.cases});
        scores.reliability += heap.cases * (p - share) * (p - share);
        scores.resolution += heap.cases * (share - rate) * (share - rate);
        scores.log_reliability += heap.cases * apart(share, std::clamp(p, clip, 1 - clip));
        // Where the shop's rate is 0 or 1, so is every share.
        if (rate > 0 && rate < 1)
            scores.log_resolution += heap.cases * apart(share, rate);
    }
    scores.uncertainty = rate * (1 - rate);
    scores.log_uncertainty = -part_of_entropy(rate, 1) - part_of_entropy(1 - rate, 1);
    for (double* sum : {&scores.brier, &scores.log_score, &scores.reliability, &scores.resolution,
                        &scores.log_reliability, &scores.log_resolution})
        *sum /= scores.cases;
    if (scores.uncertainty > 0)
        scores.skill = 1 - scores.brier / scores.uncertainty;
    return scores;
}

std::vector<Forecast> in_means(std::span<const Forecast> forecasts, std::span<const double> edges) {
    struct Heap {
        double sum = 0;
        double weight = 0;
    };
    std::vector<Heap> heaps(edges.size() + 1);
    const auto heap_of = [&](const Forecast& one) -> Heap& {
        const auto above = std::upper_bound(edges.begin(), edges.end(), one.p);
        return heaps[static_cast<std::size_t>(above - edges.begin())];
    };
    for (const Forecast& one : forecasts) {
        Heap& heap = heap_of(one);
        heap.sum += one.weight * one.p;
        heap.weight += one.weight;
    }
    std::vector<Forecast> averaged(forecasts.begin(), forecasts.end());
    for (std::size_t i = 0; i < averaged.size(); ++i)
        if (const Heap& heap = heap_of(forecasts[i]); heap.weight > 0)
            averaged[i].p = heap.sum / heap.weight;
    return averaged;
}

}  // namespace knockwell
