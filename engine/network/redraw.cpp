#include "network/network.hpp"

#include <boost/random/normal_distribution.hpp>

#include <cmath>
#include <cstdint>
#include <limits>
#include <numeric>

namespace knockwell {
namespace {

/// A stream of its own for every number of every draw, so that what is not asked for need not be
/// drawn: SplitMix64 (Steele, Lea & Flood, Fast splittable pseudorandom number generators, OOPSLA
/// 2014).
class Dice {
public:
    using result_type = std::uint64_t;
    explicit Dice(std::uint64_t state) : state_(state) {}
    static constexpr result_type min() { return 0; }
    static constexpr result_type max() { return std::numeric_limits<result_type>::max(); }
    result_type operator()() { return mixed(state_ += 0x9e3779b97f4a7c15U); }

    static std::uint64_t mixed(std::uint64_t z) {
        z = (z ^ (z >> 30U)) * 0xbf58476d1ce4e5b9U;
        z = (z ^ (z >> 27U)) * 0x94d049bb133111ebU;
        return z ^ (z >> 31U);
    }

private:
    std::uint64_t state_;
};

double normal(Dice& dice) { return boost::random::normal_distribution<double>(0.0, 1.0)(dice); }

/// Above 0, at most 1.
double uniform(Dice& dice) { return static_cast<double>((dice() >> 11U) + 1) * 0x1p-53; }

/// From a gamma distribution of this shape and scale 1: G. Marsaglia, W. W. Tsang, A simple method
/// for generating gamma variables, ACM TOMS 26(3), 2000, pp. 363-372; below 1 by their section 6.
/// (Boost's takes four times as long, by tangents, and ranges are mostly this.)
double gamma(Dice& dice, double shape) {
    const double from_one = shape < 1 ? shape + 1 : shape;
    const double d = from_one - 1.0 / 3;
    const double c = 1 / std::sqrt(9 * d);
    for (;;) {
        const double x = normal(dice);
        const double root = 1 + c * x;
        if (root <= 0)
            continue;
        const double v = root * root * root;
        const double u = uniform(dice);
        const double x2 = x * x;
        if (u < 1 - 0.0331 * x2 * x2 || std::log(u) < 0.5 * x2 + d * (1 - v + std::log(v)))
            return shape < 1 ? d * v * std::pow(uniform(dice), 1 / shape) : d * v;
    }
}

double draw_one(Dice& dice, const StrengthLaw& law) {
    switch (law.kind) {
    case StrengthLaw::Kind::exact:
        return law.mean;
    case StrengthLaw::Kind::beta: {
        const double a = gamma(dice, law.a);
        const double b = gamma(dice, law.b);
        return a + b > 0 ? a / (a + b) : law.mean;
    }
    case StrengthLaw::Kind::log_normal:
        return law.mean * std::exp(law.a * normal(dice));
    case StrengthLaw::Kind::log_normal_odds: {
        if (law.mean <= 0 || law.mean >= 1)
            return law.mean;
        const double odds = law.mean / (1 - law.mean) * std::exp(law.a * normal(dice));
        return odds / (1 + odds);
    }
    case StrengthLaw::Kind::dirichlet:
        break;  // drawn by group
    }
    return law.mean;
}

/// The shares of one group stand together; their gammas are divided by the sum with the rest.
/// Returns the index after the group.
std::size_t draw_group(Dice& dice, const std::vector<StrengthLaw>& laws, std::size_t begin,
                       std::vector<double>& values) {
    double total = laws[begin].rest > 0 ? gamma(dice, laws[begin].rest) : 0;
    std::size_t end = begin;
    for (; end < laws.size() && laws[end].kind == StrengthLaw::Kind::dirichlet &&
           laws[end].b == laws[begin].b;
         ++end) {
        values[end] = laws[end].a > 0 ? gamma(dice, laws[end].a) : 0;
        total += values[end];
    }
    for (std::size_t i = begin; i < end; ++i)
        values[i] = total > 0 ? values[i] / total : laws[i].mean;
    return end;
}

}  // namespace

void redraw_some(const Network& network, std::uint64_t seed, std::uint32_t draw,
                 std::span<const StrengthIndex> wanted, std::vector<double>& values) {
    const std::uint64_t mixed = Dice::mixed(Dice::mixed(seed) + draw);
    std::size_t next = 0;  // behind the last group
    for (const StrengthIndex i : wanted) {
        if (i < next)
            continue;
        const StrengthLaw& law = network.strengths[i];
        Dice dice(Dice::mixed(mixed + i));
        if (law.kind == StrengthLaw::Kind::dirichlet)
            next = draw_group(dice, network.strengths, i, values);
        else
            values[i] = draw_one(dice, law);
    }
}

std::vector<double> redraw(const Network& network, std::uint64_t seed, std::uint32_t draw) {
    std::vector<StrengthIndex> all(network.strengths.size());
    std::iota(all.begin(), all.end(), StrengthIndex{0});
    std::vector<double> values(all.size());
    redraw_some(network, seed, draw, all, values);
    return values;
}

}  // namespace knockwell
