#include "advice/mending.hpp"

#include <algorithm>
#include <numeric>
#include <utility>

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
        minutes += mend.in_vain * trouble;
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

namespace {

// So few are tried in every order.
constexpr std::size_t few_enough = 8;

// The best of all orders, and of all places to stop: what is left after some of the mends does not
// hang on their order, so the best way on is worked out once for each set of them, backwards.
class AllOrders {
public:
    AllOrders(std::span<const double> shares, std::span<const Mend> mends,
              std::vector<std::size_t> few, double last_resort)
        : mends_(mends), few_(std::move(few)), next_(std::size_t{1} << few_.size(), few_.size()),
          left_(next_.size()) {
        std::vector<double> cost(next_.size());
        for (std::size_t made = next_.size(); made-- > 0;) {
            left_[made] = left_after(shares, made);
            cost[made] = last_resort * left_[made];
            for (std::size_t i = 0; i < few_.size(); ++i) {
                if ((made >> i & 1U) != 0)
                    continue;
                const std::size_t then = made | std::size_t{1} << i;
                const Mend& mend = mends_[few_[i]];
                const double on =
                    mend.minutes * left_[made] + mend.in_vain * left_[then] + cost[then];
                if (on < cost[made]) {
                    cost[made] = on;
                    next_[made] = i;
                }
            }
        }
        std::size_t made = 0;
        for (; next_[made] != few_.size(); made |= std::size_t{1} << next_[made])
            mending_.order.push_back(few_[next_[made]]);
        mending_.minutes = minutes_in_order(shares, mends, mending_.order, last_resort);
        mending_.unmended = left_[made];
    }

    const Mending& best() const { return mending_; }

private:
    double left_after(std::span<const double> shares, std::size_t made) const {
        Course course(shares);
        for (std::size_t i = 0; i < few_.size(); ++i)
            if ((made >> i & 1U) != 0)
                course.make(mends_[few_[i]]);
        return course.trouble;
    }

    std::span<const Mend> mends_;
    std::vector<std::size_t> few_;
    std::vector<std::size_t> next_;  // [set of those made] the one to make next, or none
    std::vector<double> left_;       // [set of those made] trouble
    Mending mending_;
};

}  // namespace

Mending mend_in_order(std::span<const double> shares, std::span<const Mend> mends,
                      double last_resort) {
    std::vector<std::size_t> helping;
    for (std::size_t i = 0; i < mends.size(); ++i)
        if (ends_trouble(shares, mends[i]) > 0)
            helping.push_back(i);
    if (helping.size() <= few_enough)
        return AllOrders(shares, mends, std::move(helping), last_resort).best();
    Course course(shares);
    std::vector<bool> done(mends.size(), false);
    Mending mending;
    while (true) {
        std::size_t best = mends.size();
        double best_rate = 0;
        for (std::size_t i = 0; i < mends.size(); ++i) {
            if (done[i])
                continue;
            const double in_vain = mends[i].in_vain;
            const double rate = ends_trouble(course.left, mends[i]) / (mends[i].minutes + in_vain);
            if (rate > std::max(best_rate, course.trouble / (last_resort + in_vain))) {
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
