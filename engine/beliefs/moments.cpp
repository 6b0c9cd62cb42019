#include "beliefs/moments.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <numbers>
#include <vector>

namespace knockwell {
namespace {

// A coefficient that is added up and multiplied so often is off by less than this share of what
// the absolute values come to.
constexpr double of_rounding = 64 * std::numeric_limits<double>::epsilon();

// Chances nearer to each other than this are one chance.
constexpr double one_chance = 1e-9;

// So near to an end a slope can still be taken.
constexpr double from_the_end = 1e-12;

using Points = std::vector<double>;
using Row = std::array<double, most_moments + 1>;

/// sum_n of[n] t^n, with what the absolute values of its making come to.
class Polynomial {
public:
    /// a + b t, each made of numbers of this size.
    static Polynomial line(double a, double b, double size_a, double size_b) {
        Polynomial it;
        it.of_ = {a, b};
        it.size_ = {size_a, size_b};
        it.degree_ = 1;
        return it;
    }

    /// Times a + b t.
    void times(double a, double b) {
        for (std::size_t n = ++degree_; n > 0; --n) {
            of_[n] = a * of_[n] + b * of_[n - 1];
            size_[n] = std::abs(a) * size_[n] + std::abs(b) * size_[n - 1];
        }
        of_[0] *= a;
        size_[0] *= std::abs(a);
    }

    /// Its mean is no more than this away from...
    [[nodiscard]] double off(const Moments& moments) const {
        double sum = 0;
        for (std::size_t n = 0; n <= degree_; ++n)
            sum += size_[n] * (of_rounding * moments.mean[n] + moments.off[n]);
        return sum;
    }
    /// ... this.
    [[nodiscard]] double mean(const Moments& moments) const {
        double sum = 0;
        for (std::size_t n = 0; n <= degree_; ++n)
            sum += of_[n] * moments.mean[n];
        return sum;
    }

private:
    Row of_{}, size_{};
    std::size_t degree_ = 0;
};

/// The curve over t, with its slope there.
class Height {
public:
    Height(const Moments& moments, const Curve& curve, double t) {
        const double stretch = moments.most - moments.least;
        const double p = moments.least + stretch * t;
        const double rest = 1 - moments.most + stretch * (1 - t);
        if (curve.of != Curve::Of::alarm)
            add(p);
        if (curve.of == Curve::Of::both)
            take_off(rest);
        if (curve.of == Curve::Of::alarm)
            take_alarm(rest, curve.alarm);
        slope_ *= stretch;
    }
    [[nodiscard]] double is() const { return is_; }
    [[nodiscard]] double slope() const { return slope_; }

private:
    static constexpr double per_bit = std::numbers::log2e;
    void add(double p) {
        if (p <= 0)
            return;
        is_ += -p * std::log2(p);
        slope_ += -std::log2(p) - per_bit;
    }
    void take_off(double rest) {
        if (rest <= 0)
            return;
        is_ += -rest * std::log2(rest);
        slope_ += std::log2(rest) + per_bit;
    }
    void take_alarm(double rest, double alarm) {
        if (rest <= 0 || alarm <= 0)
            return;
        // Each by itself is what the other makes of their sum.
        const double sum = rest + alarm;
        is_ += -rest * std::log2(rest / sum) - alarm * std::log2(alarm / sum);
        slope_ += std::log2(rest / sum);
    }
    double is_ = 0, slope_ = 0;
};

struct Estimate {
    double mean = 0, off = 0;
    void add(const Polynomial& polynomial, const Moments& moments) {
        mean += polynomial.mean(moments);
        off += polynomial.off(moments);
    }
};

/// Times ((t - t_j) / (at - t_j))^2 for each point but `at` itself.
void times_others(Polynomial& polynomial, const Points& points, double at) {
    for (const double other : points)
        if (other != at)
            for (int twice = 0; twice < 2; ++twice)
                polynomial.times(-other / (at - other), 1 / (at - other));
}

/// Mean of the polynomial that meets the curve at the points with its slope, and where asked at
/// both ends (Hermite's interpolation, point by point).
Estimate mean_through(const Moments& moments, const Curve& curve, const Points& points, bool ends) {
    Estimate estimate;
    for (const double at : points) {
        const Height height(moments, curve, at);
        // What else is 1 at this point, and how steep it is there.
        double steep = ends ? 1 / at - 1 / (1 - at) : 0;
        double size = ends ? 1 / at + 1 / (1 - at) : 0;
        for (const double other : points)
            if (other != at) {
                steep += 2 / (at - other);
                size += 2 / std::abs(at - other);
            }
        const double tilt = height.slope() - steep * height.is();
        const double size_tilt = std::abs(height.slope()) + 4 + size * (height.is() + 4);
        Polynomial term = Polynomial::line(height.is() - tilt * at, tilt,
                                           height.is() + 4 + size_tilt * at, size_tilt);
        times_others(term, points, at);
        if (ends) {
            term.times(0, 1 / at);
            term.times(1 / (1 - at), -1 / (1 - at));
        }
        estimate.add(term, moments);
    }
    for (const double end : ends ? Points{0, 1} : Points{}) {
        const double is = Height(moments, curve, end).is();
        Polynomial term = end == 0 ? Polynomial::line(is, -is, is + 4, is + 4)
                                   : Polynomial::line(0, is, 0, is + 4);
        times_others(term, points, end);
        estimate.add(term, moments);
    }
    return estimate;
}

/// Polynomials orthogonal under the moments, one degree after the other, and where they are 0.
class Orthogonal {
public:
    explicit Orthogonal(const Row& mean) : mean_(mean) { is_[0] = 1; }

    /// Of the next degree n; takes the moments up to 2 n - 1. Each point lies between two of the
    /// degree before. False where the moments are those of fewer points.
    bool next() {
        const double square = times_itself(0);
        if (!(square > 0))
            return false;
        const double a = times_itself(1) / square;
        const double b = degree_ == 0 ? 0 : square / square_before_;
        Row is{};
        for (std::size_t n = 0; n <= degree_ + 1; ++n)
            is[n] = (n > 0 ? is_[n - 1] : 0) - a * is_[n] - b * before_[n];
        before_ = is_;
        is_ = is;
        square_before_ = square;
        ++degree_;
        Points walls{0};
        walls.insert(walls.end(), points_.begin(), points_.end());
        walls.push_back(1);
        points_.clear();
        for (std::size_t i = 0; i + 1 < walls.size(); ++i)
            points_.push_back(
                std::clamp(zero_between(walls[i], walls[i + 1]), from_the_end, 1 - from_the_end));
        // Two in one place would be no points to meet the curve at.
        return std::adjacent_find(points_.begin(), points_.end(), std::greater_equal<>()) ==
               points_.end();
    }
    [[nodiscard]] const Points& points() const { return points_; }

private:
    /// E[t^more P(t)^2]
    [[nodiscard]] double times_itself(std::size_t more) const {
        double sum = 0;
        for (std::size_t i = 0; i <= degree_; ++i)
            for (std::size_t j = 0; j <= degree_; ++j)
                sum += is_[i] * is_[j] * mean_[i + j + more];
        return sum;
    }

    [[nodiscard]] double at(double t) const {
        double sum = 0;
        for (std::size_t n = degree_ + 1; n-- > 0;)
            sum = sum * t + is_[n];
        return sum;
    }

    /// Where rounding hides the change of sign, the end that is nearer to it.
    [[nodiscard]] double zero_between(double from, double to) const {
        const double start = at(from);
        const double end = at(to);
        if ((start < 0) == (end < 0))
            return std::abs(start) < std::abs(end) ? from : to;
        for (int i = 0; i < 40; ++i) {
            const double middle = (from + to) / 2;
            ((at(middle) < 0) == (start < 0) ? from : to) = middle;
        }
        return (from + to) / 2;
    }

    Row mean_;
    Row is_{}, before_{};  // coefficients of this degree and of the one before
    double square_before_ = 1;
    std::size_t degree_ = 0;
    Points points_;
};

/// E[t^n t (1 - t)]: what the Lobatto rule is a Gauss rule of.
Row between_the_ends(const Moments& moments) {
    Row mean{};
    for (std::size_t n = 0; n + 2 <= moments.count; ++n)
        mean[n] = moments.mean[n + 1] - moments.mean[n + 2];
    return mean;
}

double upper_bound(const Moments& moments, const Curve& curve) {
    // An alarm is no more than 1.
    const double top = curve.of == Curve::Of::one    ? std::numbers::log2e / std::numbers::e
                       : curve.of == Curve::Of::both ? 1
                                                     : 2;
    double best = (moments.mean[0] + moments.off[0]) * top;
    Orthogonal gauss(moments.mean);
    for (std::size_t n = 1; 2 * n - 1 <= moments.count && gauss.next(); ++n) {
        const Estimate it = mean_through(moments, curve, gauss.points(), false);
        if (it.mean + it.off < best)
            best = it.mean + it.off;
    }
    return best;
}

double lower_bound(const Moments& moments, const Curve& curve) {
    double best = 0;
    Orthogonal lobatto(between_the_ends(moments));
    for (std::size_t n = 0; 2 * n + 1 <= moments.count && (n == 0 || lobatto.next()); ++n) {
        const Estimate it = mean_through(moments, curve, lobatto.points(), true);
        if (it.mean - it.off > best)
            best = it.mean - it.off;
    }
    return best;
}

}  // namespace

Range mean_entropy(const Moments& moments, const Curve& curve) {
    if (moments.most - moments.least < one_chance) {
        const auto [low, high] =
            std::minmax({Height(moments, curve, 0).is(), Height(moments, curve, 1).is()});
        return {std::max(0.0, low * (moments.mean[0] - moments.off[0]) - of_rounding),
                high * (moments.mean[0] + moments.off[0]) + of_rounding};
    }
    const double high = upper_bound(moments, curve);
    return {std::min(lower_bound(moments, curve), high), high};
}

}  // namespace knockwell
