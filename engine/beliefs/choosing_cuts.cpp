#include "beliefs/choosing_cuts.hpp"

#include "beliefs/cutter.hpp"
#include "beliefs/join_rows.hpp"
#include "beliefs/parts.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

namespace knockwell {
namespace {

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

}  // namespace knockwell
