#include "beliefs/making.hpp"

#include "beliefs/join_rows.hpp"

#include <algorithm>

namespace knockwell {
namespace {

// So many factors in [2^-64, 1] stay inside the range of a double.
constexpr std::size_t factors_at_once = 8;

}  // namespace

template <class P>
void Making<P>::make() {
    exponent_ = {};
    for (const Fold& fold : folding_.folds)
        make_fold(fold);
    for (const Merge& merge : folding_.merges)
        make_merge(merge);
}

template <class P>
void Making<P>::clear_slopes() {
    std::fill(slope_.begin(), slope_.end(), P(0));
}

template <class P>
void Making<P>::unmake(std::vector<P>& shares, const std::vector<std::uint32_t>& share_at) {
    for (const Merge& merge : folding_.merges)
        slopes_of(merge.from.of(folding_.ingredients), slopes(merge.made), merge.combinations,
                  merge.values, merge.join);
    for (std::size_t i = folding_.folds.size(); i-- > 0;)
        unmake_fold(folding_.folds[i], shares.data() + share_at[folding_.folds[i].var]);
}

// ---------------------------------------------------------------- tables of many rows

/// into = into joined with the ingredient, row by row.
template <class P>
void Making<P>::join_table(P* into, std::size_t rows, const Ingredient& it, std::uint32_t values,
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
    joined_.resize(std::max<std::size_t>(joined_.size(), values));
    for (std::size_t r = 0; r < rows; ++r, into += values) {
        join_into(joined_.data(), into, table + row(it, r) * values, values, join);
        std::copy_n(joined_.data(), values, into);
    }
}

/// All of them joined; kept inside the range of a double, with the powers of two that were taken
/// out counted in `exponent`, where it is asked for.
template <class P>
void Making<P>::join_all(std::vector<P>& into, std::span<const Ingredient> all, std::size_t rows,
                         std::uint32_t values, const Join& join, Exponent<P>* exponent) {
    into.resize(rows * values);
    for (std::size_t r = 0; r < rows; ++r)
        neutral(into.data() + r * values, values);
    for (std::size_t i = 0; i < all.size(); ++i) {
        join_table(into.data(), rows, all[i], values, join);
        if (i % factors_at_once == factors_at_once - 1)
            rescale(into.data(), into.data() + into.size(), exponent);
    }
}

/// Whatever was made elsewhere gets its slope: `by` with all the others joined, those before it
/// from the left, those behind it from the right, so that nothing is divided. Up to one factor a
/// table.
template <class P>
void Making<P>::slopes_of(std::span<const Ingredient> all, const P* by, std::size_t rows,
                          std::uint32_t values, const Join& join) {
    if (std::none_of(all.begin(), all.end(), [&](const Ingredient& it) { return asks(it); }))
        return;
    const std::size_t size = rows * values;
    behind_.resize((all.size() + 1) * size);
    const auto clear = [&](P* table) {
        for (std::size_t r = 0; r < rows; ++r)
            neutral(table + r * values, values);
    };
    clear(behind_.data() + all.size() * size);
    for (std::size_t i = all.size(); i-- > 1;) {
        P* here = behind_.data() + i * size;
        std::copy_n(here + size, size, here);
        join_table(here, rows, all[i], values, join);
        if (i % factors_at_once == 0)
            rescale(here, here + size, nullptr);
    }
    before_.resize(size);
    clear(before_.data());
    others_.resize(std::max<std::size_t>(others_.size(), values));
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (asks(all[i])) {
            for (std::size_t r = 0; r < rows; ++r) {
                join_into(others_.data(), before_.data() + r * values,
                          behind_.data() + (i + 1) * size + r * values, values, join);
                slope_of_join(slopes(all[i].from) + row(all[i], r) * values, others_.data(),
                              by + r * values, values, join);
            }
        }
        join_table(before_.data(), rows, all[i], values, join);
        if (i % factors_at_once == factors_at_once - 1)
            rescale(before_.data(), before_.data() + size, nullptr);
    }
}

template <class P>
void Making<P>::settle(P* table, std::size_t size) {
    rescale(table, table + size, &exponent_);
}

template <class P>
void Making<P>::make_merge(const Merge& merge) {
    join_all(before_, merge.from.of(folding_.ingredients), merge.combinations, merge.values,
             merge.join, &exponent_);
    P* made = numbers_.data() + merge.made;
    std::copy(before_.begin(), before_.end(), made);
    settle(made, before_.size());
}

// ---------------------------------------------------------------- folds

/// What goes into a fold, joined: rows of its links in with its start, whatever weighs its values,
/// rows of its links out.
template <class P>
void Making<P>::mix(const Fold& fold, Exponent<P>* exponent) {
    const SumVariable& own = folding_.given[fold.var];
    const std::size_t all = std::size_t{fold.combinations} * own.values;
    join_all(chances_, fold.in.of(folding_.ingredients), fold.combinations, own.values, own.join,
             exponent);
    join_start(chances_, fold.combinations, own);
    join_all(weights_, fold.weights.of(folding_.ingredients), all, 1, {}, exponent);
    const P* after = numbers(own.after);
    for (std::size_t i = 0; i < all; ++i)
        weights_[i] *= after[i % own.values];
    join_all(fired_, fold.out.of(folding_.ingredients), all, fold.values, fold.join, exponent);
}

template <class P>
void Making<P>::join_start(std::vector<P>& into, std::size_t rows, const SumVariable& variable) {
    const P* start = numbers(variable.start);
    joined_.resize(std::max<std::size_t>(joined_.size(), variable.values));
    for (std::size_t r = 0; r < rows; ++r) {
        P* at = into.data() + r * variable.values;
        join_into(joined_.data(), at, start, variable.values, variable.join);
        std::copy_n(joined_.data(), variable.values, at);
    }
}

template <class P>
void Making<P>::make_fold(const Fold& fold) {
    const std::uint32_t own = folding_.given[fold.var].values;
    mix(fold, &exponent_);
    P* table = numbers_.data() + fold.made;
    const std::size_t size = std::size_t{fold.combinations} * fold.values;
    std::fill_n(table, size, P(0));
    for (std::size_t c = 0, i = 0; c < fold.combinations; ++c)
        for (std::uint32_t a = 0; a < own; ++a, ++i) {
            const P chance = chances_[i] * weights_[i];
            for (std::size_t e = 0; e < fold.values; ++e)
                table[c * fold.values + e] += chance * fired_[i * fold.values + e];
        }
    settle(table, size);
}

template <class P>
void Making<P>::unmake_fold(const Fold& fold, P* share) {
    const SumVariable& variable = folding_.given[fold.var];
    const std::uint32_t own = variable.values;
    mix(fold, nullptr);
    const std::size_t n = chances_.size();
    of_out_.resize(n * fold.values);
    of_weights_.resize(n);
    of_in_.resize(n);
    const P* by = slopes(fold.made);
    for (std::size_t c = 0, i = 0; c < fold.combinations; ++c)
        for (std::uint32_t a = 0; a < own; ++a, ++i) {
            const P chance = chances_[i] * weights_[i];
            P worth = 0;
            for (std::size_t e = 0; e < fold.values; ++e) {
                const P slope = by[c * fold.values + e];
                worth += slope * fired_[i * fold.values + e];
                of_out_[i * fold.values + e] = chance * slope;
            }
            share[a] += chance * worth;
            of_weights_[i] = chances_[i] * worth;
            of_in_[i] = weights_[i] * worth;
        }
    slopes_of(fold.out.of(folding_.ingredients), of_out_.data(), n, fold.values, fold.join);
    if (fold.weights.count > 0) {
        const P* after = numbers(variable.after);
        for (std::size_t i = 0; i < n; ++i)
            of_weights_[i] *= after[i % own];
        slopes_of(fold.weights.of(folding_.ingredients), of_weights_.data(), n, 1, {});
    }
    if (fold.in.count > 0)
        unmake_links_in(fold);
}

/// By the rows of the links in, to which the start is one more to join.
template <class P>
void Making<P>::unmake_links_in(const Fold& fold) {
    const SumVariable& own = folding_.given[fold.var];
    const P* start = numbers(own.start);
    std::fill(of_weights_.begin(), of_weights_.end(), P(0));
    for (std::size_t first = 0; first < of_in_.size(); first += own.values)
        slope_of_join(of_weights_.data() + first, start, of_in_.data() + first, own.values,
                      own.join);
    slopes_of(fold.in.of(folding_.ingredients), of_weights_.data(), fold.combinations, own.values,
              own.join);
}

template class Making<double>;
template class Making<Pack>;

}  // namespace knockwell
