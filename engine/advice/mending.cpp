#include "advice/mending.hpp"

#include <algorithm>
#include <numeric>
#include <utility>

namespace knockwell {

double LastResort::of(double trouble, std::span<const double> left) const {
    double all = minutes * trouble;
    for (std::size_t c = 0; c < mending.size(); ++c)
        all += left[c] * mending[c];
    return all;
}

std::vector<double> quickest_of_each(std::size_t causes, std::span<const Mend> mends) {
    std::vector<double> quickest(causes, 0);
    for (const Mend& mend : mends)
        for (const Fix& fix : mend.fixes) {
            double& least = quickest[fix.cause.index()];
            if (fix.chance > 0 && (least == 0 || mend.minutes < least))
                least = mend.minutes;
        }
    return quickest;
}

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
                        std::span<const std::size_t> order, const LastResort& last) {
    Course course(shares);
    for (const std::size_t i : order)
        course.make(mends[i]);
    return course.minutes + last.of(course.trouble, course.left);
}

namespace {

// So few are tried in every order.
constexpr std::size_t few_enough = 8;

// The best of all orders, and of all places to stop: what is left after some of the mends does not
// hang on their order, so the best way on is worked out once for each set of them, backwards.
class AllOrders {
public:
    AllOrders(std::span<const double> shares, std::span<const Mend> mends,
              std::vector<std::size_t> few, const LastResort& last)
        : mends_(mends), few_(std::move(few)), next_(std::size_t{1} << few_.size(), few_.size()),
          left_(next_.size()) {
        std::vector<double> cost(next_.size());
        for (std::size_t made = next_.size(); made-- > 0;) {
            const Course after = course_after(shares, made);
            left_[made] = after.trouble;
            cost[made] = last.of(after.trouble, after.left);
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
        mending_.minutes = minutes_in_order(shares, mends, mending_.order, last);
        mending_.unmended = left_[made];
    }

    const Mending& best() const { return mending_; }

private:
    Course course_after(std::span<const double> shares, std::size_t made) const {
        Course course(shares);
        for (std::size_t i = 0; i < few_.size(); ++i)
            if ((made >> i & 1U) != 0)
                course.make(mends_[few_[i]]);
        return course;
    }

    std::span<const Mend> mends_;
    std::vector<std::size_t> few_;
    std::vector<std::size_t> next_;  // [set of those made] the one to make next, or none
    std::vector<double> left_;       // [set of those made] trouble
    Mending mending_;
};

// Whether a mend costs less than it saves of the last resort.
bool pays(const Course& course, const Mend& mend, double ends, const LastResort& last) {
    double saved = 0;
    for (const Fix& fix : mend.fixes)
        saved += course.left[fix.cause.index()] * fix.chance * last.saved(fix.cause.index());
    return mend.minutes * course.trouble + mend.in_vain * (course.trouble - ends) < saved;
}

}  // namespace

Mending mend_in_order(std::span<const double> shares, std::span<const Mend> mends,
                      const LastResort& last) {
    std::vector<std::size_t> helping;
    for (std::size_t i = 0; i < mends.size(); ++i)
        if (ends_trouble(shares, mends[i]) > 0)
            helping.push_back(i);
    if (helping.size() <= few_enough)
        return AllOrders(shares, mends, std::move(helping), last).best();
    Course course(shares);
    std::vector<bool> done(mends.size(), false);
    Mending mending;
    while (true) {
        std::size_t best = mends.size();
        double best_rate = 0;
        for (std::size_t i = 0; i < mends.size(); ++i) {
            if (done[i])
                continue;
            const Mend& mend = mends[i];
            const double ends = ends_trouble(course.left, mend);
            const double rate = rate_of(ends, course.trouble, mend.minutes, mend.in_vain);
            if (rate > best_rate && pays(course, mend, ends, last)) {
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
    mending.minutes = course.minutes + last.of(course.trouble, course.left);
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
