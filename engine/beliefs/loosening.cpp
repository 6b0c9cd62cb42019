#include "beliefs/loosening.hpp"

#include "beliefs/join_rows.hpp"
#include "beliefs/whole.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numeric>
#include <utility>

namespace knockwell {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

void make_sum_one(std::vector<double>& chances) {
    const double sum = std::accumulate(chances.begin(), chances.end(), 0.0);
    for (double& chance : chances)
        chance = sum > 0 ? chance / sum : 1 / static_cast<double>(chances.size());
}

void join_to(std::vector<double>& to, const double* row, const Join& join) {
    const std::vector<double> was = to;
    std::vector<double> room(room_of(join));
    join_into(to.data(), was.data(), row, static_cast<std::uint32_t>(to.size()), join, room.data());
}

// ---------------------------------------------------------------- cutting

/// What does not change with the cuts.
class Cutter {
public:
    Cutter(const Sum& sum, std::span<const Var> asked)
        : sum_(sum), into_(sum.shape.variables.size()), looked_at_(sum.shape.variables.size(), 0) {
        for (const Var v : asked)
            looked_at_[v] = 1;
        for (std::uint32_t l = 0; l < sum.shape.links.size(); ++l) {
            into_[sum.shape.links[l].target].push_back(l);
            for (const Var v : sum.shape.sources(sum.shape.links[l]))
                looked_at_[v] = 1;
        }
        for (const SumWeight& weight : sum.shape.weights)
            for (const Var v : sum.shape.on(weight))
                looked_at_[v] = 1;
    }

    /// The links that are cut, by number.
    [[nodiscard]] std::map<std::uint32_t, CutLink> links(std::span<const Cut> cuts) const {
        std::map<std::uint32_t, std::vector<const Cut*>> of;
        for (const Cut& cut : cuts)
            of[cut.link].push_back(&cut);
        std::map<std::uint32_t, CutLink> links;
        for (auto& [link, these] : of)
            links.emplace(link, link_of(link, std::move(these)));
        return links;
    }

    [[nodiscard]] CutLink link_of(std::uint32_t link, std::vector<const Cut*> cuts) const {
        const Var target = sum_.shape.links[link].target;
        return {sum_, link, std::move(cuts), Comparison(sum_, target, looked_at_[target] == 0)};
    }

    [[nodiscard]] Sum cut(const std::map<std::uint32_t, CutLink>& links, From from) const {
        const Shape& shape = sum_.shape;
        Sum out;
        out.factor = sum_.factor;
        for (const SumVariable& it : shape.variables)
            (void)out.add(std::span(sum_.numbers).subspan(it.start, it.values), it.join);
        for (Var v = 0; v < shape.variables.size(); ++v)
            for (std::uint32_t a = 0; a < shape.variables[v].values; ++a)
                out.numbers[out.shape.variables[v].after + a] =
                    sum_.numbers[shape.variables[v].after + a];
        for (std::uint32_t l = 0; l < shape.links.size(); ++l)
            put(l, links, from, out);
        for (const SumWeight& it : shape.weights) {
            const std::span<const Var> on = shape.on(it);
            out.weigh(on, std::span(sum_.numbers).subspan(it.table, shape.combinations(on)));
        }
        put_requirements(links, out);
        return out;
    }

    /// What a variable is before anything multiplies it, where one row of every link is known.
    template <class RowOf>
    [[nodiscard]] std::vector<double> grown(Var var, RowOf row_of) const {
        const SumVariable& it = sum_.shape.variables[var];
        const double* start = sum_.numbers.data() + it.start;
        std::vector<double> chances(start, start + it.values);
        for (const std::uint32_t l : into_[var])
            if (const std::vector<double> row = row_of(l); !row.empty())
                join_to(chances, row.data(), it.join);
        return chances;
    }

    [[nodiscard]] const Sum& sum() const { return sum_; }

private:
    void put(std::uint32_t l, const std::map<std::uint32_t, CutLink>& links, From from,
             Sum& out) const {
        const SumLink& it = sum_.shape.links[l];
        const std::span<const Var> sources = sum_.shape.sources(it);
        const auto found = links.find(l);
        if (found == links.end()) {
            const std::size_t count =
                sum_.shape.combinations(sources) * sum_.shape.variables[it.target].values;
            out.link(it.target, sources, std::span(sum_.numbers).subspan(it.rows, count));
            return;
        }
        std::vector<double> row = found->second.stand_in(from);
        found->second.take_apart(row);
        out.link(it.target, found->second.left(), row);
        for (const Cut* cut : found->second.cuts())
            for (std::size_t a = 0; a < cut->times(from).size(); ++a)
                out.numbers[out.shape.variables[cut->source].after + a] *= cut->times(from)[a];
    }

    /// What stands in for a row may add where the row adds nothing.
    void put_requirements(const std::map<std::uint32_t, CutLink>& links, Sum& out) const {
        for (const Requirement& it : sum_.shape.requirements)
            if (std::none_of(into_[it.var].begin(), into_[it.var].end(),
                             [&](std::uint32_t l) { return links.contains(l); }))
                out.shape.requirements.push_back(it);
    }

    const Sum& sum_;
    std::vector<std::vector<std::uint32_t>> into_;  // [variable] links
    std::vector<std::uint8_t> looked_at_;           // [variable] asked, or by a link or a weight
};

// ---------------------------------------------------------------- choosing

/// The value where a function that falls and then rises is least (golden section, J. Kiefer, Proc.
/// AMS 4(3), 1953).
template <class Function>
double least_at(double low, double high, const Function& f) {
    constexpr double golden = 0.6180339887498949;  // (sqrt 5 - 1) / 2
    constexpr int steps = 20;
    double a = high - golden * (high - low);
    double b = low + golden * (high - low);
    double at_a = f(a);
    double at_b = f(b);
    for (int i = 0; i < steps; ++i)
        if (at_a < at_b) {
            high = std::exchange(b, a);
            at_b = at_a;
            a = high - golden * (high - low);
            at_a = f(a);
        } else {
            low = std::exchange(a, b);
            at_a = at_b;
            b = low + golden * (high - low);
            at_b = f(b);
        }
    return at_a < at_b ? a : b;
}

/// Prices cuts by a guess at everything but what hangs on the link itself.
class Pricer {
public:
    Pricer(const Cutter& cutter, const Guess& guess)
        : cutter_(cutter), guess_(guess), knows_links_(!guess.empty()) {
        const Shape& shape = cutter.sum().shape;
        // Sources before targets: they are added in that order.
        for (Var v = 0; !knows_links_ && v < shape.variables.size(); ++v) {
            const SumVariable& it = shape.variables[v];
            guess_.push_back(cutter.grown(v, [&](std::uint32_t l) { return mean_row(l); }));
            for (std::uint32_t a = 0; a < it.values; ++a)
                guess_[v][a] *= cutter.sum().numbers[it.after + a];
            make_sum_one(guess_[v]);
        }
    }

    /// Sets m; returns how far apart the sides come, as a logarithm.
    double price(Cut& cut) const {
        std::vector<double> chance = guess_[cut.source];
        cut.above.assign(chance.size(), 1.0);
        cut.below = cut.above;
        const CutLink link = cutter_.link_of(cut.link, {&cut});
        const std::vector<double> worth = worth_of(cut.link, link);
        if (knows_links_)
            take_out(link, worth, chance);
        return best(From::above, cut, link, worth, chance) +
               best(From::below, cut, link, worth, chance);
    }

private:
    /// The best m of one side; returns how much that side is off.
    static double best(From from, Cut& cut, const CutLink& link, const std::vector<double>& worth,
                       const std::vector<double>& chance) {
        constexpr double far = 9;  // e^9 is as good as any number
        const double sign = from == From::above ? 1 : -1;
        std::vector<double>& times = cut.times(from);
        const auto off = [&] {
            const std::vector<double> row = link.stand_in(from);
            return sign * std::log(dot(row, worth) * dot(chance, times));
        };
        for (std::size_t a = 1; a < chance.size(); ++a) {
            const double before = off();
            times[a] = std::exp(least_at(-far, far, [&](double log) {
                times[a] = std::exp(log);
                return off();
            }));
            if (!(off() < before))
                times[a] = 1;
        }
        return off() - sign * std::log(dot(link.mean({&chance}), worth));
    }

    /// What the link itself has done to the chances of its source.
    static void take_out(const CutLink& link, const std::vector<double>& worth,
                         std::vector<double>& chance) {
        std::vector<double> one(chance.size(), 0.0);
        for (std::size_t a = 0; a < chance.size(); ++a) {
            one[a] = 1;
            const double done = dot(link.mean({&one}), worth);
            chance[a] = done > 0 ? chance[a] / done : 0;
            one[a] = 0;
        }
        make_sum_one(chance);
    }

    static double dot(const std::vector<double>& a, const std::vector<double>& b) {
        return std::inner_product(a.begin(), a.end(), b.begin(), 0.0);
    }

    /// Chance of every combination of some variables, the first slowest.
    [[nodiscard]] std::vector<double> together(std::span<const Var> vars) const {
        std::vector<double> chances{1.0};
        for (const Var v : vars) {
            std::vector<double> next;
            for (const double chance : chances)
                for (const double of_value : guess_[v])
                    next.push_back(chance * of_value);
            chances = std::move(next);
        }
        return chances;
    }

    [[nodiscard]] std::vector<double> mean_row(std::uint32_t l) const {
        const SumLink& link = cutter_.sum().shape.links[l];
        const std::size_t values = cutter_.sum().shape.variables[link.target].values;
        const std::vector<double> chances = together(cutter_.sum().shape.sources(link));
        std::vector<double> row(values, 0.0);
        for (std::size_t i = 0; i < chances.size(); ++i)
            for (std::size_t e = 0; e < values; ++e)
                row[e] += chances[i] * cutter_.sum().numbers[link.rows + i * values + e];
        return row;
    }

    /// What each number of the row that stands in counts, as it is compared.
    [[nodiscard]] std::vector<double> worth_of(std::uint32_t l, const CutLink& link) const {
        const Var target = cutter_.sum().shape.links[l].target;
        const SumVariable& it = cutter_.sum().shape.variables[target];
        const std::vector<double> rest = cutter_.grown(target, [&](std::uint32_t other) {
            return other == l ? std::vector<double>{} : mean_row(other);
        });
        std::vector<double> one(it.values, 0.0);
        std::vector<double> room(room_of(it.join));
        slope_of_join(one.data(), rest.data(), cutter_.sum().numbers.data() + it.after, it.values,
                      it.join, room.data());
        std::vector<double> worth;
        for (const double chance : together(link.left()))
            for (const double of_number : one)
                worth.push_back(chance * of_number);
        link.weigh(worth);
        return worth;
    }

    const Cutter& cutter_;
    Guess guess_;
    bool knows_links_;  // what a variable adds to others is in its chances already
};

// ---------------------------------------------------------------- balancing

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
    void balance(const Sum& sum, const std::map<std::uint32_t, CutLink>& links,
                 std::vector<Cut>& cuts) const {
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
    [[nodiscard]] std::vector<double>
    shares_of_row(const Sum& sum, std::uint32_t l, const CutLink& link,
                  const std::vector<double>& row,
                  const std::map<std::uint32_t, CutLink>& links) const {
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
    [[nodiscard]] static Slot place_of(const Sum& sum, std::uint32_t l,
                                       const std::map<std::uint32_t, CutLink>& links) {
        std::size_t gone = 0;
        for (const auto& [other, link] : links)
            gone += other < l && link.left().empty() ? 1U : 0U;
        return sum.shape.links[l - gone].rows;
    }

    /// Of a link that lost all its sources: its row went into the start of the target.
    void slope_in_start(const SumVariable& it, Var target, std::uint32_t l,
                        const std::map<std::uint32_t, CutLink>& links,
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

namespace {

/// Every link's sources, cut, the tightest first.
std::vector<Cut> priced_cuts(const Sum& sum, const Cutter& cutter, const Guess& guess) {
    const Pricer pricer(cutter, guess);
    std::vector<std::pair<double, Cut>> priced;
    for (std::uint32_t l = 0; l < sum.shape.links.size(); ++l)
        for (const Var source : sum.shape.sources(sum.shape.links[l])) {
            Cut cut{l, source, {}, {}};
            const double price = pricer.price(cut);
            priced.emplace_back(price, std::move(cut));
        }
    std::stable_sort(priced.begin(), priced.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first; });
    std::vector<Cut> cuts;
    for (auto& [price, cut] : priced)
        cuts.push_back(std::move(cut));
    return cuts;
}

/// Without cuts that were not needed, as far as `looks` go: the dearest are looked at first, half
/// of all at once, then quarters, and so on.
template <class Enough>
void thin(std::vector<Cut>& cuts, std::size_t looks, Enough enough) {
    for (std::size_t size = (cuts.size() + 1) / 2; size > 0; size = size == 1 ? 0 : (size + 1) / 2)
        for (std::size_t end = cuts.size(); end > 0 && looks > 0; --looks) {
            const std::size_t begin = end > size ? end - size : 0;
            std::vector<Cut> fewer = cuts;
            fewer.erase(fewer.begin() + static_cast<std::ptrdiff_t>(begin),
                        fewer.begin() + static_cast<std::ptrdiff_t>(end));
            if (enough(fewer))
                cuts = std::move(fewer);
            end = begin;
        }
}

}  // namespace

std::optional<std::vector<Cut>> cuts_for(const Sum& sum, std::span<const Var> asked,
                                         double operations, const Guess& guess) {
    // What a look at the cost takes, for each link (measured with networks of 2,400 and of 300).
    constexpr double a_look = 1000;
    constexpr double runs_in_looks = 40;
    const Cutter cutter(sum, asked);
    const auto enough = [&](std::span<const Cut> cuts) {
        return rough_cost(cutter.cut(cutter.links(cuts), From::above)) <= operations;
    };
    if (enough({}))
        return std::vector<Cut>{};
    std::vector<Cut> cuts = priced_cuts(sum, cutter, guess);
    if (!enough(cuts))
        return std::nullopt;
    std::size_t too_few = 0;
    std::size_t many = cuts.size();
    while (many - too_few > 1) {
        const std::size_t middle = (too_few + many) / 2;
        (enough(std::span(cuts).first(middle)) ? many : too_few) = middle;
    }
    cuts.resize(many);
    thin(cuts,
         static_cast<std::size_t>(runs_in_looks * operations /
                                  (a_look * static_cast<double>(sum.shape.links.size()))),
         enough);
    return cuts;
}

Enclosed enclosed(const Sum& sum, std::span<const Var> asked, std::vector<Cut> cuts, int rounds) {
    Enclosed all{{-infinity, infinity}, {}, {}};
    for (const Var v : asked)
        all.shares.emplace_back(sum.shape.variables[v].values);
    const Cutter cutter(sum, asked);
    const std::map<std::uint32_t, CutLink> links = cutter.links(cuts);
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
