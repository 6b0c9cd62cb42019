#include "beliefs/making.hpp"

#include "beliefs/join_rows.hpp"
#include "beliefs/scale.hpp"

#include <algorithm>
#include <utility>

namespace knockwell {
namespace {

bool asks(const Ingredient& it) { return it.from.in == TablePlace::In::made; }

using Exponent = std::vector<std::int64_t>;

// So many factors in [2^-64, 1] stay inside the range of a double.
constexpr std::size_t factors_at_once = 8;

}  // namespace

template <class P>
const P* Making<P>::numbers(const TablePlace& place) const {
    switch (place.in) {
    case TablePlace::In::start:
        return sum_->variables[place.index].start.data();
    case TablePlace::In::after: {
        const std::vector<P>& after = sum_->variables[place.index].after;
        return after.empty() ? nullptr : after.data();
    }
    case TablePlace::In::link:
        return sum_->links[place.index].rows.data();
    case TablePlace::In::weight:
        return sum_->weights[place.index].table.data();
    case TablePlace::In::made:
        break;
    }
    return made_.data() + place.index;
}

template <class P>
void Making<P>::make(const SumOf<P>& sum) {
    sum_ = &sum;
    made_.resize(folding_.made);
    exponent_.assign(lanes_of<P>, 0);
    for (const Fold& fold : folding_.folds)
        make_fold(fold);
    for (const Merge& merge : folding_.merges)
        make_merge(merge);
}

template <class P>
void Making<P>::clear_slopes() {
    slope_.assign(folding_.made, P(0));
}

template <class P>
void Making<P>::unmake(std::vector<P>& shares, const std::vector<std::uint32_t>& share_at) {
    for (const Merge& merge : folding_.merges)
        unmake_merge(merge);
    for (std::size_t i = folding_.folds.size(); i-- > 0;)
        unmake_fold(folding_.folds[i], shares.data() + share_at[folding_.folds[i].var]);
}

// ---------------------------------------------------------------- tables of many rows

/// into = into joined with the ingredient, row by row; `into` holds as many rows as fit.
template <class P>
void Making<P>::join_rows(std::vector<P>& into, const Ingredient& it, std::uint32_t values,
                          const Join& join) {
    const P* table = numbers(it.from);
    if (!table)
        return;
    scratch_.resize(std::max<std::size_t>(scratch_.size(), values));
    for (std::size_t row = 0; row < into.size() / values; ++row) {
        P* at = into.data() + row * values;
        join_into(scratch_.data(), at, table + it.at(row) * values, values, join);
        std::copy_n(scratch_.data(), values, at);
    }
}

/// All of them joined into `rows` rows; kept inside the range of a double, with the powers of two
/// that were taken out counted in `exponent`, where it is asked for.
template <class P>
std::vector<P> Making<P>::joined(const std::vector<Ingredient>& all, std::size_t rows,
                                 std::uint32_t values, const Join& join, Exponent* exponent) {
    std::vector<P> into(rows * values);
    for (std::size_t row = 0; row < rows; ++row)
        neutral(into.data() + row * values, values);
    for (std::size_t i = 0; i < all.size(); ++i) {
        join_rows(into, all[i], values, join);
        if (i % factors_at_once == factors_at_once - 1)
            rescale(into, exponent);
    }
    return into;
}

/// Whatever was made elsewhere gets its slope: `by` with all the others joined, those before it
/// from the left, those behind it from the right, so that nothing is divided. Up to one factor a
/// table.
template <class P>
void Making<P>::slopes_of(const std::vector<Ingredient>& all, const std::vector<P>& by,
                          std::uint32_t values, const Join& join) {
    if (std::none_of(all.begin(), all.end(), asks))
        return;
    const std::size_t rows = by.size() / values;
    std::vector<std::vector<P>> behind(all.size() + 1);
    behind.back() = joined({}, rows, values, join, nullptr);
    for (std::size_t i = all.size(); i-- > 0;) {
        behind[i] = behind[i + 1];
        join_rows(behind[i], all[i], values, join);
        if (i % factors_at_once == 0)
            rescale(behind[i], nullptr);
    }
    std::vector<P> before = behind.back();
    std::vector<P> others(values);
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (asks(all[i]))
            for (std::size_t row = 0; row < rows; ++row) {
                join_into(others.data(), before.data() + row * values,
                          behind[i + 1].data() + row * values, values, join);
                slope_of_join(slope_.data() + all[i].from.index + all[i].at(row) * values,
                              others.data(), by.data() + row * values, values, join);
            }
        join_rows(before, all[i], values, join);
        if (i % factors_at_once == factors_at_once - 1)
            rescale(before, nullptr);
    }
}

template <class P>
void Making<P>::store(std::vector<P> table, std::uint32_t made) {
    rescale(table, &exponent_);
    std::copy(table.begin(), table.end(), made_.begin() + made);
}

// ---------------------------------------------------------------- merges

template <class P>
void Making<P>::make_merge(const Merge& merge) {
    store(joined(merge.from, merge.combinations, merge.values, merge.join, &exponent_), merge.made);
}

template <class P>
void Making<P>::unmake_merge(const Merge& merge) {
    const P* begin = slope_.data() + merge.made;
    const std::vector<P> by(begin, begin + std::size_t{merge.combinations} * merge.values);
    slopes_of(merge.from, by, merge.values, merge.join);
}

// ---------------------------------------------------------------- folds

/// Chances of the folded variable's values from its start and the links into it.
template <class P>
std::vector<P> Making<P>::own_chances(const Fold& fold, Exponent* exponent) {
    const SumVariableOf<P>& variable = sum_->variables[fold.var];
    std::vector<P> chances =
        joined(fold.in, fold.combinations, variable.values, variable.join, exponent);
    const std::vector<Ingredient> start{
        {{TablePlace::In::start, fold.var}, std::vector<std::size_t>(fold.combinations, 0)}};
    join_rows(chances, start.front(), variable.values, variable.join);
    return chances;
}

/// Everything else that multiplies a value.
template <class P>
std::vector<P> Making<P>::own_weights(const Fold& fold, Exponent* exponent) {
    const SumVariableOf<P>& variable = sum_->variables[fold.var];
    std::vector<P> weights =
        joined(fold.weights, std::size_t{fold.combinations} * variable.values, 1, {}, exponent);
    if (!variable.after.empty())
        for (std::size_t i = 0; i < weights.size(); ++i)
            weights[i] *= variable.after[i % variable.values];
    return weights;
}

template <class P>
void Making<P>::make_fold(const Fold& fold) {
    const std::size_t own = sum_->variables[fold.var].values;
    const std::vector<P> chances = own_chances(fold, &exponent_);
    const std::vector<P> weights = own_weights(fold, &exponent_);
    const std::vector<P> fired =
        joined(fold.out, fold.combinations * own, fold.values, fold.join, &exponent_);
    std::vector<P> table(std::size_t{fold.combinations} * fold.values);
    for (std::size_t i = 0; i < chances.size(); ++i) {
        const P chance = chances[i] * weights[i];
        for (std::size_t e = 0; e < fold.values; ++e)
            table[i / own * fold.values + e] += chance * fired[i * fold.values + e];
    }
    store(std::move(table), fold.made);
}

template <class P>
void Making<P>::unmake_fold(const Fold& fold, P* share) {
    const std::size_t own = sum_->variables[fold.var].values;
    const std::vector<P> chances = own_chances(fold, nullptr);
    const std::vector<P> weights = own_weights(fold, nullptr);
    const std::vector<P> fired =
        joined(fold.out, fold.combinations * own, fold.values, fold.join, nullptr);
    const std::size_t n = chances.size();
    std::vector<P> of_out(n * fold.values);
    std::vector<P> of_weights(n);
    std::vector<P> of_in(n);
    const P* by = slope_.data() + fold.made;
    for (std::size_t i = 0; i < n; ++i) {
        const P chance = chances[i] * weights[i];
        P worth = 0;
        for (std::size_t e = 0; e < fold.values; ++e) {
            const P slope = by[i / own * fold.values + e];
            worth += slope * fired[i * fold.values + e];
            of_out[i * fold.values + e] = chance * slope;
        }
        share[i % own] += chance * worth;
        of_weights[i] = chances[i] * worth;
        of_in[i] = weights[i] * worth;
    }
    slopes_of(fold.out, of_out, fold.values, fold.join);
    const SumVariableOf<P>& variable = sum_->variables[fold.var];
    if (!variable.after.empty())
        for (std::size_t i = 0; i < n; ++i)
            of_weights[i] *= variable.after[i % own];
    slopes_of(fold.weights, of_weights, 1, {});
    if (std::any_of(fold.in.begin(), fold.in.end(), asks)) {
        std::vector<Ingredient> in = fold.in;
        in.push_back(
            {{TablePlace::In::start, fold.var}, std::vector<std::size_t>(fold.combinations, 0)});
        slopes_of(in, of_in, variable.values, variable.join);
    }
}

template class Making<double>;
template class Making<Pack>;

}  // namespace knockwell
