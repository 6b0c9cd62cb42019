#include "review/scores.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace knockwell {

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
    }
    scores.uncertainty = rate * (1 - rate);
    for (double* sum : {&scores.brier, &scores.log_score, &scores.reliability, &scores.resolution})
        *sum /= scores.cases;
    if (scores.uncertainty > 0)
        scores.skill = 1 - scores.brier / scores.uncertainty;
    return scores;
}

std::vector<Forecast> in_classes(std::span<const Forecast> forecasts, std::size_t classes) {
    std::vector<Forecast> rounded(forecasts.begin(), forecasts.end());
    const auto n = static_cast<double>(classes);
    for (Forecast& one : rounded)
        one.p = (std::min(std::floor(one.p * n), n - 1) + 0.5) / n;
    return rounded;
}

}  // namespace knockwell
