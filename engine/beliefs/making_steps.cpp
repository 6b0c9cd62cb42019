// Highway includes this file once for each set of instructions.
#undef HWY_TARGET_INCLUDE
// NOLINTNEXTLINE(cppcoreguidelines-macro-usage): asked for by Highway
#define HWY_TARGET_INCLUDE "beliefs/making_steps.cpp"
#include "beliefs/join_rows.hpp"
#include "beliefs/making.hpp"

#include <hwy/foreach_target.h>  // IWYU pragma: keep
#include <hwy/highway.h>

#include <algorithm>
#include <span>
#include <utility>
#include <vector>

HWY_BEFORE_NAMESPACE();
// NOLINTNEXTLINE(modernize-concat-nested-namespaces): the inner one is a macro
namespace knockwell {
namespace HWY_NAMESPACE {

/// The steps of one folding.
template <class P>
class Maker {
public:
    explicit Maker(MakingRoom<P>& room) : room_(room), folding_(room.folding) {}

    void make() {
        for (std::size_t i = 0; i < folding_.steps.size(); ++i) {
            if (std::exchange(room_.dirty[i], std::uint8_t{0}) == 0)
                continue;
            const FoldStep& step = folding_.steps[i];
            room_.exponent[i] = {};
            if (step.merge)
                make_merge(folding_.merges[step.index], room_.exponent[i]);
            else
                make_fold(step.index, room_.exponent[i]);
        }
    }

    void unmake(P* shares, const std::uint32_t* share_at) {
        for (std::size_t i = folding_.steps.size(); i-- > 0;) {
            if (!room_.wanted.empty() && room_.wanted[i] == 0)
                continue;
            const FoldStep& step = folding_.steps[i];
            // Through many tables a slope would leave the range of a double.
            P* by = slopes(room_.made_by(step));
            rescale(by, by + made_size(step), nullptr);
            if (step.merge) {
                const Merge& merge = folding_.merges[step.index];
                slopes_of(merge.from.of(folding_.ingredients), by, merge.combinations, merge.values,
                          merge.join);
            } else {
                unmake_fold(step.index, shares + share_at[folding_.folds[step.index].var]);
            }
        }
    }

private:
    // So many factors in [2^-64, 1] stay inside the range of a double.
    static constexpr std::size_t factors_at_once = 8;

    [[nodiscard]] const P* numbers(Slot place) const { return room_.numbers.data() + place; }
    [[nodiscard]] P* slopes(Slot made) { return room_.slope.data() + (made - room_.first_slope); }
    [[nodiscard]] std::size_t row(const Ingredient& it, std::size_t entry) const {
        return it.row == nowhere ? entry : folding_.rows[it.row + entry];
    }
    [[nodiscard]] std::size_t made_size(const FoldStep& step) const {
        const auto size = [](const auto& it) { return std::size_t{it.combinations} * it.values; };
        return step.merge ? size(folding_.merges[step.index]) : size(folding_.folds[step.index]);
    }

    using Mixed = typename MakingRoom<P>::Mixed;

    // ---------------------------------------------------------------- tables of many rows

    /// into = into joined with the ingredient, row by row.
    void join_table(P* into, std::size_t rows, const Ingredient& it, std::uint32_t values,
                    const Join& join) {
        const P* table = numbers(it.from);
        if (values == 2) {
            for (std::size_t r = 0; r < rows; ++r, into += 2) {
                const P* by = table + 2 * row(it, r);
                const P was = into[0];
                into[0] = was * by[0];
                into[1] = into[1] * (by[0] + by[1]) + was * by[1];
            }
            return;
        }
        if (values == 1) {
            for (std::size_t r = 0; r < rows; ++r)
                into[r] *= table[row(it, r)];
            return;
        }
        P* both = room_for(values, room_.joined);
        for (std::size_t r = 0; r < rows; ++r, into += values) {
            // NOLINTNEXTLINE(readability-suspicious-call-argument): what is joined stands in `into`
            join_into(both, into, table + row(it, r) * values, values, join, room_.join.data());
            std::copy_n(both, values, into);
        }
    }

    /// Room for so many numbers, of which nothing is said.
    static P* room_for(std::size_t n, std::vector<P>& room) {
        if (room.size() < n)
            room.resize(n);
        return room.data();
    }

    /// All of them joined; kept inside the range of a double, with the powers of two that were
    /// taken out counted in `exponent`.
    void join_all(P* into, std::span<const Ingredient> all, std::size_t rows, std::uint32_t values,
                  const Join& join, Exponent<P>& exponent) {
        const std::size_t size = rows * values;
        std::size_t first = 0;
        if (!all.empty() && all.front().row == nowhere) {
            std::copy_n(numbers(all.front().from), size, into);
            first = 1;
        } else {
            for (std::size_t r = 0; r < rows; ++r)
                neutral(into + r * values, values);
        }
        for (std::size_t i = first; i < all.size(); ++i) {
            join_table(into, rows, all[i], values, join);
            if (i % factors_at_once == factors_at_once - 1)
                rescale(into, into + size, &exponent);
        }
    }

    /// Whatever was made elsewhere gets its slope: `by` with all the others joined, those before it
    /// from the left, those behind it from the right, so that nothing is divided. Up to one factor
    /// a table.
    void slopes_of(std::span<const Ingredient> all, const P* by, std::size_t rows,
                   std::uint32_t values, const Join& join) {
        if (std::none_of(all.begin(), all.end(),
                         [&](const Ingredient& it) { return room_.asks(it); }))
            return;
        if (rows == 1 && values == 2) {
            slopes_of_bits(all, by);
            return;
        }
        const std::size_t size = rows * values;
        P* behind = room_for((all.size() + 1) * size, room_.behind);
        const auto clear = [&](P* table) {
            for (std::size_t r = 0; r < rows; ++r)
                neutral(table + r * values, values);
        };
        clear(behind + all.size() * size);
        for (std::size_t i = all.size(); i-- > 1;) {
            P* here = behind + i * size;
            std::copy_n(here + size, size, here);
            join_table(here, rows, all[i], values, join);
            if (i % factors_at_once == 0)
                rescale(here, here + size, nullptr);
        }
        P* before = room_for(size, room_.before);
        clear(before);
        P* others = room_for(values, room_.others);
        for (std::size_t i = 0; i < all.size(); ++i) {
            if (room_.asks(all[i])) {
                for (std::size_t r = 0; r < rows; ++r) {
                    join_into(others, before + r * values, behind + (i + 1) * size + r * values,
                              values, join, room_.join.data());
                    slope_of_join(slopes(all[i].from) + row(all[i], r) * values, others,
                                  by + r * values, values, join, room_.join.data());
                }
            }
            join_table(before, rows, all[i], values, join);
            if (i % factors_at_once == factors_at_once - 1)
                rescale(before, before + size, nullptr);
        }
    }

    /// to = from joined with a row, of two values.
    static void join_bits(P* to, const P* from, const P* by) {
        const P none = from[0];
        to[1] = from[1] * (by[0] + by[1]) + none * by[1];
        to[0] = none * by[0];
    }

    /// The same of one row of two values: a sign with the causes that only it shows.
    void slopes_of_bits(std::span<const Ingredient> all, const P* by) {
        const auto row_of = [&](std::size_t i) { return 2 * row(all[i], 0); };
        P* behind = room_for(2 * (all.size() + 1), room_.behind);
        neutral(behind + 2 * all.size(), 2);
        for (std::size_t i = all.size(); i-- > 1;) {
            P* here = behind + 2 * i;
            join_bits(here, here + 2, numbers(all[i].from) + row_of(i));
            if (i % factors_at_once == 0)
                rescale(here, here + 2, nullptr);
        }
        P* before = room_for(2, room_.before);
        neutral(before, 2);
        for (std::size_t i = 0; i < all.size(); ++i) {
            if (room_.asks(all[i])) {
                const P* right = behind + 2 * (i + 1);
                const P none = before[0] * right[0];
                const P some = before[1] * right[0] + (before[0] + before[1]) * right[1];
                P* slope = slopes(all[i].from) + row_of(i);
                slope[0] += none * by[0] + some * by[1];
                slope[1] += (none + some) * by[1];
            }
            join_bits(before, before, numbers(all[i].from) + row_of(i));
            if (i % factors_at_once == factors_at_once - 1)
                rescale(before, before + 2, nullptr);
        }
    }

    void make_merge(const Merge& merge, Exponent<P>& exponent) {
        P* made = room_.numbers.data() + merge.made;
        join_all(made, merge.from.of(folding_.ingredients), merge.combinations, merge.values,
                 merge.join, exponent);
        rescale(made, made + std::size_t{merge.combinations} * merge.values, &exponent);
    }

    // ---------------------------------------------------------------- folds

    void mix(const Fold& fold, const Mixed& mixed, Exponent<P>& exponent) {
        const SumVariable& own = folding_.given[fold.var];
        const std::size_t all = std::size_t{fold.combinations} * own.values;
        P* chances = room_.mixed.data() + mixed.chances;
        join_all(chances, fold.in.of(folding_.ingredients), fold.combinations, own.values, own.join,
                 exponent);
        join_start(chances, fold.combinations, own);
        P* weights = room_.mixed.data() + mixed.weights;
        join_all(weights, fold.weights.of(folding_.ingredients), all, 1, {}, exponent);
        const P* after = numbers(own.after);
        for (std::size_t i = 0; i < all; i += own.values)
            for (std::uint32_t a = 0; a < own.values; ++a)
                weights[i + a] *= after[a];
        if (!room_.is_plain(fold))
            join_all(room_.mixed.data() + mixed.fired, fold.out.of(folding_.ingredients), all,
                     fold.values, fold.join, exponent);
    }

    void join_start(P* into, std::size_t rows, const SumVariable& variable) {
        const P* start = numbers(variable.start);
        room_.joined.resize(std::max<std::size_t>(room_.joined.size(), variable.values));
        for (std::size_t r = 0; r < rows; ++r) {
            P* at = into + r * variable.values;
            join_into(room_.joined.data(), at, start, variable.values, variable.join,
                      room_.join.data());
            std::copy_n(room_.joined.data(), variable.values, at);
        }
    }

    void make_lone(const Fold& fold, Exponent<P>& exponent) {
        const SumVariable& own = folding_.given[fold.var];
        const P* row = numbers(folding_.ingredients[fold.out.first].from);
        P* table = room_.numbers.data() + fold.made;
        if (own.values == 2 && fold.values == 2) {
            const P absent = room_.numbers[own.start] * room_.numbers[own.after];
            const P there = room_.numbers[own.start + 1] * room_.numbers[own.after + 1];
            table[0] = absent * row[0] + there * row[2];
            table[1] = absent * row[1] + there * row[3];
            rescale(table, table + 2, larger(table[0], table[1]), &exponent);
            return;
        }
        std::fill_n(table, fold.values, P(0));
        for (std::uint32_t a = 0; a < own.values; ++a, row += fold.values) {
            const P chance = room_.numbers[own.start + a] * room_.numbers[own.after + a];
            for (std::uint32_t e = 0; e < fold.values; ++e)
                table[e] += chance * row[e];
        }
        rescale(table, table + fold.values, &exponent);
    }

    void unmake_lone(const Fold& fold, P* share) {
        const SumVariable& own = folding_.given[fold.var];
        const P* row = numbers(folding_.ingredients[fold.out.first].from);
        const P* by = slopes(fold.made);
        for (std::uint32_t a = 0; a < own.values; ++a, row += fold.values) {
            P worth = 0;
            for (std::uint32_t e = 0; e < fold.values; ++e)
                worth += by[e] * row[e];
            share[a] += room_.numbers[own.start + a] * room_.numbers[own.after + a] * worth;
        }
    }

    /// Rows of a fold's links out, joined.
    const P* fired_of(const Fold& fold, const Mixed& mixed) const {
        return room_.is_plain(fold) ? numbers(folding_.ingredients[fold.out.first].from)
                                    : room_.mixed.data() + mixed.fired;
    }

    void make_fold(std::size_t which, Exponent<P>& exponent) {
        const Fold& fold = folding_.folds[which];
        if (room_.is_lone(fold)) {
            make_lone(fold, exponent);
            return;
        }
        const std::uint32_t own = folding_.given[fold.var].values;
        const Mixed& mixed = room_.mixed_at[which];
        mix(fold, mixed, exponent);
        const P* chances = room_.mixed.data() + mixed.chances;
        const P* weights = room_.mixed.data() + mixed.weights;
        const P* fired = fired_of(fold, mixed);
        P* table = room_.numbers.data() + fold.made;
        const std::size_t size = std::size_t{fold.combinations} * fold.values;
        std::fill_n(table, size, P(0));
        for (std::size_t c = 0, i = 0; c < fold.combinations; ++c)
            for (std::uint32_t a = 0; a < own; ++a, ++i) {
                const P chance = chances[i] * weights[i];
                for (std::size_t e = 0; e < fold.values; ++e)
                    table[c * fold.values + e] += chance * fired[i * fold.values + e];
            }
        rescale(table, table + size, &exponent);
    }

    void unmake_fold(std::size_t which, P* share) {
        const Fold& fold = folding_.folds[which];
        if (room_.is_lone(fold)) {
            unmake_lone(fold, share);
            return;
        }
        const SumVariable& variable = folding_.given[fold.var];
        const std::uint32_t own = variable.values;
        const Mixed& mixed = room_.mixed_at[which];
        const P* chances = room_.mixed.data() + mixed.chances;
        const P* weights = room_.mixed.data() + mixed.weights;
        const P* fired = fired_of(fold, mixed);
        const std::size_t n = std::size_t{fold.combinations} * own;
        P* of_out = room_for(n * fold.values, room_.of_out);
        P* of_weights = room_for(n, room_.of_weights);
        P* of_in = room_for(n, room_.of_in);
        const P* by = slopes(fold.made);
        for (std::size_t c = 0, i = 0; c < fold.combinations; ++c)
            for (std::uint32_t a = 0; a < own; ++a, ++i) {
                const P chance = chances[i] * weights[i];
                P worth = 0;
                for (std::size_t e = 0; e < fold.values; ++e) {
                    const P slope = by[c * fold.values + e];
                    worth += slope * fired[i * fold.values + e];
                    of_out[i * fold.values + e] = chance * slope;
                }
                share[a] += chance * worth;
                of_weights[i] = chances[i] * worth;
                of_in[i] = weights[i] * worth;
            }
        if (room_.first_slope == 0)
            unmake_own(fold);
        slopes_of(fold.out.of(folding_.ingredients), of_out, n, fold.values, fold.join);
        if (fold.weights.count > 0) {
            const P* after = numbers(variable.after);
            for (std::size_t i = 0; i < n; ++i)
                of_weights[i] *= after[i % own];
            slopes_of(fold.weights.of(folding_.ingredients), of_weights, n, 1, {});
        }
        if (fold.in.count > 0)
            unmake_links_in(fold);
    }

    /// By the variable's own start, and by what multiplies its values.
    void unmake_own(const Fold& fold) {
        const SumVariable& own = folding_.given[fold.var];
        const std::size_t all = std::size_t{fold.combinations} * own.values;
        Exponent<P> unused{};
        std::vector<P> others(all);
        join_all(others.data(), fold.in.of(folding_.ingredients), fold.combinations, own.values,
                 own.join, unused);
        P* start = slopes(own.start);
        for (std::size_t first = 0; first < all; first += own.values)
            slope_of_join(start, others.data() + first, room_.of_in.data() + first, own.values,
                          own.join, room_.join.data());
        join_all(others.data(), fold.weights.of(folding_.ingredients), all, 1, {}, unused);
        P* after = slopes(own.after);
        for (std::size_t i = 0; i < all; ++i)
            after[i % own.values] += room_.of_weights[i] * others[i];
    }

    /// By the rows of the links in, to which the start is one more to join.
    void unmake_links_in(const Fold& fold) {
        const std::span<const Ingredient> in = fold.in.of(folding_.ingredients);
        if (std::none_of(in.begin(), in.end(),
                         [&](const Ingredient& it) { return room_.asks(it); }))
            return;
        const SumVariable& own = folding_.given[fold.var];
        const P* start = numbers(own.start);
        P* of_start = room_.of_weights.data();
        const std::size_t all = std::size_t{fold.combinations} * own.values;
        std::fill_n(of_start, all, P(0));
        for (std::size_t first = 0; first < all; first += own.values)
            slope_of_join(of_start + first, start, room_.of_in.data() + first, own.values, own.join,
                          room_.join.data());
        slopes_of(in, of_start, fold.combinations, own.values, own.join);
    }

    MakingRoom<P>& room_;
    const Folding& folding_;
};

template <class P>
void make(MakingRoom<P>& room) {
    Maker<P>(room).make();
}

template <class P>
void unmake(MakingRoom<P>& room, P* shares, const std::uint32_t* share_at) {
    Maker<P>(room).unmake(shares, share_at);
}

// For steps.cpp, which chooses among the sets.
template void make(MakingRoom<double>&);
template void make(MakingRoom<Pack>&);
template void unmake(MakingRoom<double>&, double*, const std::uint32_t*);
template void unmake(MakingRoom<Pack>&, Pack*, const std::uint32_t*);

}  // namespace HWY_NAMESPACE
}  // namespace knockwell
HWY_AFTER_NAMESPACE();
