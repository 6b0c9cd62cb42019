#include "beliefs/run.hpp"

#include <algorithm>
#include <cmath>

namespace knockwell {
namespace {

/// Quantile by linear interpolation between order statistics (Hyndman & Fan, The American
/// Statistician 50(4), 1996, definition 7).
double quantile(std::vector<double>& values, double at) {
    std::sort(values.begin(), values.end());
    const double place = at * static_cast<double>(values.size() - 1);
    const auto below = static_cast<std::size_t>(place);
    const std::size_t above = std::min(below + 1, values.size() - 1);
    return values[below] + (place - static_cast<double>(below)) * (values[above] - values[below]);
}

}  // namespace

Ranges ranges(const Model& model, const Evidence& evidence, std::uint32_t draws,
              std::uint64_t seed) {
    const std::size_t causes = model.network->causes.size();
    Ranges result{std::vector<Range>(causes), std::vector<std::uint32_t>(causes, 0), 0};
    std::vector<std::vector<double>> drawn(causes);
    for (std::uint32_t draw = 0; draw < draws; ++draw) {
        const Run one = run(model, evidence, redraw(*model.network, seed, draw));
        if (!one.ok())
            continue;
        const std::vector<double> chances = cause_chances(one);
        for (std::size_t c = 0; c < causes; ++c)
            drawn[c].push_back(chances[c]);
        if (causes > 0)
            ++result.first_in[static_cast<std::size_t>(
                std::max_element(chances.begin(), chances.end()) - chances.begin())];
        ++result.draws;
    }
    for (std::size_t c = 0; c < causes && result.draws > 0; ++c)
        result.cause[c] = {quantile(drawn[c], 0.05), quantile(drawn[c], 0.95)};
    return result;
}

}  // namespace knockwell
