#include "advice/ahead.hpp"

#include <algorithm>
#include <numeric>
#include <set>

namespace knockwell {
namespace {

// The trouble that is left on one way through looks and repairs; shares are not scaled, so that
// their sum is the chance to come this way.
struct Left {
    std::vector<double> shares;
    double unlisted = 0;
    std::vector<bool> made;  // [mend]

    double sum() const { return std::accumulate(shares.begin(), shares.end(), unlisted); }
};

// [mend] the others that mend a cause of its.
std::vector<std::vector<std::size_t>> touched_in(const Outlook& outlook) {
    std::vector<std::set<std::size_t>> menders(outlook.shares.size());
    for (std::size_t m = 0; m < outlook.mends.size(); ++m)
        for (const Fix& fix : outlook.mends[m])
            menders[fix.cause.index()].insert(m);
    std::vector<std::vector<std::size_t>> touched;
    for (std::size_t m = 0; m < outlook.mends.size(); ++m) {
        std::set<std::size_t> others;
        for (const Fix& fix : outlook.mends[m])
            others.merge(std::set(menders[fix.cause.index()]));
        others.erase(m);
        touched.emplace_back(others.begin(), others.end());
    }
    return touched;
}

class Lookout {
public:
    explicit Lookout(const Outlook& outlook) : it_(&outlook), touched_(touched_in(outlook)) {}

    Left start() const {
        return {it_->shares, it_->unlisted, std::vector<bool>(it_->mends.size(), false)};
    }

    // V with nothing looked at any more: the repair that ends most a minute, while it pays.
    double mending(Left left, std::span<const double> fares) const {
        double minutes = 0;
        double sum = left.sum();
        std::vector<Ends> ends(left.made.size());
        for (std::size_t m = 0; m < ends.size(); ++m)
            if (!left.made[m])
                ends[m] = ends_of(left, m);
        while (true) {
            std::size_t best = ends.size();
            double best_rate = 0;
            for (std::size_t m = 0; m < ends.size(); ++m) {
                const Ends& it = ends[m];
                const double rate = rate_of(it.chance, sum, fares[m], in_vain(m));
                if (rate > best_rate &&
                    fares[m] * sum + in_vain(m) * (sum - it.chance) < it.saved) {
                    best = m;
                    best_rate = rate;
                }
            }
            if (best == ends.size())
                return minutes + it_->last_resort.of(sum, left.shares);
            minutes += fares[best] * sum;
            make(left, best);
            ends[best] = {};
            for (const std::size_t m : touched_[best])
                if (!left.made[m])
                    ends[m] = ends_of(left, m);
            sum = left.sum();
            minutes += in_vain(best) * sum;
        }
    }

    // Minutes of the look and of what follows, mending at once after it.
    double look_then_mend(const Left& left, std::size_t look, double fare,
                          std::span<const double> then) const {
        double minutes = fare * left.sum();
        for (std::size_t o = 0; o < it_->looks[look].outcome.size(); ++o)
            minutes += mending(seen(left, look, o), then);
        return minutes;
    }

    // V with one look more, at once or after the next repair.
    double once_more(const Left& left, const Fares& from, std::size_t but) const {
        double least = mending(left, from.mends);
        if (left.sum() <= 0)
            return least;
        for (std::size_t look = 0; look < it_->looks.size(); ++look)
            if (look != but)
                least = std::min(least,
                                 look_then_mend(left, look, from.looks[look],
                                                cheaper(from.mends, it_->after_look[look].mends)));
        return least;
    }

    double look_first(std::size_t look) const {
        const Left now = start();
        double minutes = it_->here.looks[look] * now.sum();
        for (std::size_t o = 0; o < it_->looks[look].outcome.size(); ++o)
            minutes += once_more(seen(now, look, o), it_->after_look[look], look);
        return minutes;
    }

    double mend_first(std::size_t mend, bool look_then) const {
        Left left = start();
        double minutes = it_->here.mends[mend] * left.sum();
        make(left, mend);
        minutes += in_vain(mend) * left.sum();
        const Fares& from = it_->here;
        return minutes +
               (look_then ? once_more(left, from, it_->looks.size()) : mending(left, from.mends));
    }

private:
    double in_vain(std::size_t mend) const { return it_->in_vain.empty() ? 0 : it_->in_vain[mend]; }

    // With what chance a repair ends the trouble, and the minutes of the last resort that it saves.
    struct Ends {
        double chance = 0;
        double saved = 0;
    };

    Ends ends_of(const Left& left, std::size_t mend) const {
        Ends all;
        for (const Fix& fix : it_->mends[mend]) {
            const double chance = left.shares[fix.cause.index()] * fix.chance;
            all.chance += chance;
            all.saved += chance * it_->last_resort.saved(fix.cause.index());
        }
        return all;
    }

    void make(Left& left, std::size_t mend) const {
        for (const Fix& fix : it_->mends[mend])
            left.shares[fix.cause.index()] *= 1 - fix.chance;
        left.made[mend] = true;
    }

    Left seen(const Left& left, std::size_t look, std::size_t outcome) const {
        Left after = left;
        const Showing& showing = it_->looks[look];
        for (std::size_t c = 0; c < after.shares.size(); ++c)
            after.shares[c] *= showing.outcome[outcome][c];
        after.unlisted *= showing.unlisted[outcome];
        return after;
    }

    // What two looks have opened is open for the repair.
    static std::vector<double> cheaper(std::span<const double> a, std::span<const double> b) {
        std::vector<double> least(a.begin(), a.end());
        for (std::size_t i = 0; i < least.size(); ++i)
            least[i] = std::min(least[i], b[i]);
        return least;
    }

    const Outlook* it_;
    std::vector<std::vector<std::size_t>> touched_;  // [mend]
};

std::vector<std::size_t> best_of(const std::vector<double>& minutes, std::size_t most) {
    std::vector<std::size_t> order(minutes.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return minutes[a] < minutes[b]; });
    order.resize(std::min(order.size(), most));
    return order;
}

}  // namespace

Ahead look_ahead(const Outlook& outlook, std::size_t closely) {
    const Lookout lookout(outlook);
    const Left now = lookout.start();
    Ahead ahead;
    ahead.at_once = lookout.mending(now, outlook.here.mends);
    for (std::size_t look = 0; look < outlook.looks.size(); ++look)
        ahead.looks.push_back(lookout.look_then_mend(now, look, outlook.here.looks[look],
                                                     outlook.after_look[look].mends));
    for (std::size_t mend = 0; mend < outlook.mends.size(); ++mend)
        ahead.mends.push_back(lookout.mend_first(mend, false));
    ahead.alone = ahead.looks;
    for (const std::size_t look : best_of(ahead.looks, closely))
        ahead.looks[look] = std::min(ahead.looks[look], lookout.look_first(look));
    for (const std::size_t mend : best_of(ahead.mends, closely))
        ahead.mends[mend] = std::min(ahead.mends[mend], lookout.mend_first(mend, true));
    return ahead;
}

}  // namespace knockwell
