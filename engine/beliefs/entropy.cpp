#include "beliefs/entropy.hpp"

#include "beliefs/steps.hpp"

#include <cmath>

namespace knockwell {

double entropy_of(double p) {
    return p <= 0 || p >= 1 ? 0 : -p * std::log2(p) - (1 - p) * std::log2(1 - p);
}

void entropies_of(std::span<double> p) { steps<double>().entropies(p.data(), p.size()); }

double mixed_entropy(double x, std::span<const double> a, double y, std::span<const double> b) {
    return steps<double>().mixed_entropy(x, a.data(), y, b.data(), a.size());
}

}  // namespace knockwell
