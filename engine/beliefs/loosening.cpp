#include "beliefs/loosening.hpp"

#include "beliefs/cutter.hpp"
#include "beliefs/join_rows.hpp"
#include "beliefs/whole.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace knockwell {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

/// A run from above, with what each number of it counts.
class FromAbove {
public:
    FromAbove(const Cutter& cutter, const Plan& plan) : cutter_(cutter), frontier_(plan) {}

    bool run(const Sum& sum) {
        std::copy(sum.numbers.begin(), sum.numbers.end(), frontier_.numbers());
        frontier_.all_changed();
        total_ = {};
        if (!frontier_.run() || !(sum.factor > 0))
            return false;
        total_ = frontier_.total();
        total_.multiply(sum.factor);
        return true;
    }
    [[nodiscard]] const Scaled<double>& total() const { return total_; }
    [[nodiscard]] double share(Var var, std::size_t value) const {
        return frontier_.share(var, value);
    }

    /// Each value's m goes half of the way to where it is as probable in its variable as among the
    /// rows.
    void balance(const Sum& sum, const CutLinks& links, std::vector<Cut>& cuts) const {
        std::vector<std::vector<double>> next;
        for (const auto& [l, link] : links) {
            const std::vector<double> row = link.stand_in(From::above);
            const std::vector<std::vector<double>> made =
                link.made_by(row, shares_of_row(sum, l, link, row, links));
            for (std::size_t c = 0; c < link.cuts().size(); ++c)
                move(made[c], cuts[static_cast<std::size_t>(link.cuts()[c] - cuts.data())], next);
        }
        std::size_t i = 0;
        for (const auto& [l, link] : links)
            for (const Cut* cut : link.cuts())
                cuts[static_cast<std::size_t>(cut - cuts.data())].above = std::move(next[i++]);
    }

private:
    void move(const std::vector<double>& made, const Cut& cut,
              std::vector<std::vector<double>>& next) const {
        constexpr double hardly = 1e-12;
        constexpr double farthest = 4;
        std::vector<double>& times = next.emplace_back(cut.above);
        for (std::size_t a = 0; a < times.size(); ++a)
            times[a] *= std::clamp(
                std::sqrt((made[a] + hardly) / (frontier_.share(cut.source, a) + hardly)),
                1 / farthest, farthest);
        const double first = times.front();
        for (double& one : times)
            one /= first;
    }

    /// What every number of a row that stands in has in the sum, as it is compared; they sum to 1.
    [[nodiscard]] std::vector<double> shares_of_row(const Sum& sum, std::uint32_t l,
                                                    const CutLink& link,
                                                    const std::vector<double>& row,
                                                    const CutLinks& links) const {
        const SumLink& was = cutter_.sum().shape.links[l];
        std::vector<double> worth(row.size(), 0.0);
        if (link.left().empty())
            slope_in_start(sum.shape.variables[was.target], was.target, l, links, worth);
        else
            for (std::size_t n = 0; n < row.size(); ++n)
                worth[n] = frontier_.slope(place_of(sum, l, links) + static_cast<Slot>(n));
        link.weigh(worth);
        for (std::size_t n = 0; n < row.size(); ++n)
            worth[n] *= row[n];
        make_sum_one(worth);
        return worth;
    }

    /// Where the rows of a link stand that kept some sources.
    [[nodiscard]] static Slot place_of(const Sum& sum, std::uint32_t l, const CutLinks& links) {
        std::size_t gone = 0;
        for (const auto& [other, link] : links)
            gone += other < l && link.left().empty() ? 1U : 0U;
        return sum.shape.links[l - gone].rows;
    }

    /// Of a link that lost all its sources: its row went into the start of the target.
    void slope_in_start(const SumVariable& it, Var target, std::uint32_t l, const CutLinks& links,
                        std::vector<double>& worth) const {
        const std::vector<double> others = cutter_.grown(target, [&](std::uint32_t other) {
            const auto found = links.find(other);
            if (other == l || found == links.end() || !found->second.left().empty())
                return std::vector<double>{};
            std::vector<double> row = found->second.stand_in(From::above);
            found->second.take_apart(row);
            return row;
        });
        std::vector<double> by(it.values);
        for (std::uint32_t a = 0; a < it.values; ++a)
            by[a] = frontier_.slope(it.start + a);
        std::vector<double> room(room_of(it.join));
        slope_of_join(worth.data(), others.data(), by.data(), it.values, it.join, room.data());
    }

    const Cutter& cutter_;
    Frontier<double> frontier_;
    Scaled<double> total_;
};

/// What two runs say of one variable; `below` counts for nothing where its sum is 0.
void narrow(Var v, const FromAbove& above, const Whole<double>& below, double below_over_above,
            std::vector<Enclosed::Bounds>& bounds) {
    const std::size_t values = bounds.size();
    std::vector<double> most(values);
    std::vector<double> least(values);
    for (std::size_t a = 0; a < values; ++a) {
        most[a] = above.share(v, a);
        least[a] = below_over_above > 0 ? below_over_above * below.share(v, a) : 0;
    }
    for (std::size_t a = 0; a < values; ++a) {
        // Not 1 minus this one: what is left can be far below the last digit of 1.
        double others_most = 0;
        double others_least = 0;
        for (std::size_t b = 0; b < values; ++b)
            if (b != a) {
                others_most += most[b];
                others_least += least[b];
            }
        Enclosed::Bounds& it = bounds[a];
        if (least[a] > 0)
            it.low = std::max(it.low, least[a] / (least[a] + others_most));
        if (most[a] + others_least > 0)
            it.high = std::min(it.high, most[a] / (most[a] + others_least));
    }
}

}  // namespace

Sum loosened(const Sum& sum, std::span<const Var> asked, std::span<const Cut> cuts, From from) {
    const Cutter cutter(sum, asked);
    return cutter.cut(cutter.links(cuts), from);
}

Enclosed enclosed(const Sum& sum, std::span<const Var> asked, std::vector<Cut> cuts, int rounds) {
    Enclosed all{{-infinity, infinity}, {}, {}};
    for (const Var v : asked)
        all.shares.emplace_back(sum.shape.variables[v].values);
    const Cutter cutter(sum, asked);
    const CutLinks links = cutter.links(cuts);
    const Sum low = cutter.cut(links, From::below);
    PlanCache plans;
    const SumParts parts = parts_of(low, plans);
    Whole<double> below(low.shape, parts);
    const bool any = below.run(low);
    if (any)
        all.log_sum.low = below.total().log(0);
    for (Var v = 0; any && v < sum.shape.variables.size(); ++v) {
        std::vector<double>& chance = all.guess.emplace_back(sum.shape.variables[v].values);
        for (std::size_t a = 0; a < chance.size(); ++a)
            chance[a] = below.share(v, a);
    }
    const Plan plan = plan_with_slopes(low.shape, static_cast<Slot>(low.numbers.size()));
    FromAbove above(cutter, plan);
    for (int round = 0; round < rounds; ++round) {
        const Sum high = cutter.cut(links, From::above);
        if (!above.run(high)) {
            all.log_sum.high = -infinity;
            return all;
        }
        all.log_sum.high = std::min(all.log_sum.high, above.total().log(0));
        for (std::size_t i = 0; i < asked.size(); ++i)
            narrow(asked[i], above, below, any ? ratio(below.total(), 0, above.total(), 0) : 0,
                   all.shares[i]);
        above.balance(high, links, cuts);
    }
    return all;
}

}  // namespace knockwell
