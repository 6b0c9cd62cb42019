#include "advice/mending.hpp"

#include <algorithm>
#include <numeric>

namespace knockwell {

double ends_trouble(std::span<const double> shares, const Mend& mend) {
    double ends = 0;
    for (const Fix& fix : mend.fixes)
        ends += shares[fix.cause.index()] * fix.chance;
    return ends;
}

namespace {

// The trouble while one mend after the other is made.
class Course {
public:
    explicit Course(std::span<const double> shares) : left(shares.begin(), shares.end()) {}

    void make(const Mend& mend) {
        minutes += mend.minutes * trouble;
        for (const Fix& fix : mend.fixes) {
            double& share = left[fix.cause.index()];
            trouble -= share * fix.chance;
            share *= 1 - fix.chance;
        }
        trouble = std::max(trouble, 0.0);
    }

    std::vector<double> left;
    // What nothing listed explains stays until the last resort.
    double trouble = 1;
    double minutes = 0;
};

}  // namespace

double minutes_in_order(std::span<const double> shares, std::span<const Mend> mends,
                        std::span<const std::size_t> order, double last_resort) {
    Course course(shares);
    for (const std::size_t i : order)
        course.make(mends[i]);
    return course.minutes + last_resort * course.trouble;
}

Mending mend_in_order(std::span<const double> shares, std::span<const Mend> mends,
                      double last_resort) {
    Course course(shares);
    std::vector<bool> done(mends.size(), false);
    Mending mending;
    while (true) {
        std::size_t best = mends.size();
        double best_rate = course.trouble / last_resort;
        for (std::size_t i = 0; i < mends.size(); ++i) {
            if (done[i])
                continue;
            const double rate = ends_trouble(course.left, mends[i]) / mends[i].minutes;
            if (rate > best_rate) {
                best = i;
                best_rate = rate;
            }
        }
        if (best == mends.size())
            break;
        done[best] = true;
        mending.order.push_back(best);
        course.make(mends[best]);
    }
    mending.unmended = course.trouble;
    mending.minutes = course.minutes + last_resort * course.trouble;
    return mending;
}

std::vector<double> trouble_shares(std::span<const double> cause,
                                   std::span<const CauseId> explainers) {
    std::vector<double> shares(cause.size(), 0.0);
    for (const CauseId id : explainers)
        shares[id.index()] = cause[id.index()];
    const double sum = std::accumulate(shares.begin(), shares.end(), 0.0);
    if (sum > 1)
        for (double& share : shares)
            share /= sum;
    return shares;
}

}  // namespace knockwell
