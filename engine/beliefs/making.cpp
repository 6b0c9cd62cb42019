#include "beliefs/making.hpp"

#include "beliefs/join_rows.hpp"

#include <algorithm>
#include <span>
#include <utility>

namespace knockwell {
namespace {

// So many factors in [2^-64, 1] stay inside the range of a double.
constexpr std::size_t factors_at_once = 8;

}  // namespace

template <class P>
Making<P>::Making(const Folding& folding, bool slopes)
    : folding_(folding), first_slope_(slopes ? 0 : folding.first_made), numbers_(folding.end),
      slope_(folding.end - first_slope_), exponent_(folding.steps.size()),
      dirty_(exponent_.size(), 1) {
    lay_out();
    std::size_t room = 0;
    for (const SumVariable& variable : folding.given)
        room = std::max(room, room_of(variable.join));
    room_.resize(room);
}

/// Whether it is a variable by itself with one link, whose rows were given.
template <class P>
bool Making<P>::is_lone(const Fold& fold) const {
    return first_slope_ != 0 && fold.combinations == 1 && fold.in.count == 0 &&
           fold.weights.count == 0 && fold.out.count == 1 &&
           !asks(folding_.ingredients[fold.out.first]);
}

/// Whether the rows of its links out stand somewhere as they are.
template <class P>
bool Making<P>::is_plain(const Fold& fold) const {
    return fold.out.count == 1 && folding_.ingredients[fold.out.first].row == nowhere;
}

template <class P>
void Making<P>::lay_out() {
    std::size_t end = 0;
    for (const Fold& fold : folding_.folds) {
        Mixed at;
        if (!is_lone(fold)) {
            const std::size_t n = std::size_t{fold.combinations} * folding_.given[fold.var].values;
            at = {end, end + n, end + 2 * n};
            end += 2 * n + (is_plain(fold) ? 0 : n * fold.values);
        }
        mixed_at_.push_back(at);
    }
    mixed_.resize(end);
}

// ---------------------------------------------------------------- what is made again

/// Which step each made table goes into, and which variable each given number belongs to: only
/// needed where numbers change.
template <class P>
void Making<P>::find_users() {
    user_.assign(folding_.end, nowhere);
    const auto use = [&](const Slice& slice, std::size_t step) {
        for (const Ingredient& it : slice.of(folding_.ingredients))
            user_[it.from] = static_cast<std::uint32_t>(step);
    };
    step_of_.assign(folding_.given.size(), nowhere);
    for (std::uint32_t i = 0; i < folding_.steps.size(); ++i) {
        const FoldStep& step = folding_.steps[i];
        if (step.merge) {
            use(folding_.merges[step.index].from, i);
            continue;
        }
        const Fold& fold = folding_.folds[step.index];
        step_of_[fold.var] = i;
        use(fold.in, i);
        use(fold.weights, i);
        use(fold.out, i);
    }
    owner_.assign(folding_.first_made, nowhere);
    for (Var v = 0; v < folding_.given.size(); ++v)
        for (std::uint32_t a = 0; a < folding_.given[v].values; ++a)
            owner_[folding_.given[v].start + a] = owner_[folding_.given[v].after + a] = v;
}

template <class P>
Slot Making<P>::made_by(std::uint32_t step) const {
    const FoldStep& it = folding_.steps[step];
    return it.merge ? folding_.merges[it.index].made : folding_.folds[it.index].made;
}

template <class P>
std::size_t Making<P>::made_size(const FoldStep& step) const {
    const auto size = [](const auto& it) { return std::size_t{it.combinations} * it.values; };
    return step.merge ? size(folding_.merges[step.index]) : size(folding_.folds[step.index]);
}

template <class P>
void Making<P>::dirty(std::uint32_t step) {
    while (step != nowhere && std::exchange(dirty_[step], std::uint8_t{1}) == 0) {
        step = user_[made_by(step)];
    }
}

template <class P>
void Making<P>::changed(Slot number) {
    if (owner_.empty() && folding_.first_made > 0)
        find_users();
    const Var owner = owner_[number];
    if (owner == nowhere) {
        all_changed();  // a number of some row: seldom, so it is not looked for
    } else if (step_of_[owner] != nowhere) {
        dirty(step_of_[owner]);
    } else {
        dirty(user_[folding_.given[owner].start]);
        dirty(user_[folding_.given[owner].after]);
    }
}

template <class P>
void Making<P>::all_changed() {
    std::fill(dirty_.begin(), dirty_.end(), std::uint8_t{1});
}

template <class P>
void Making<P>::make() {
    for (std::size_t i = 0; i < folding_.steps.size(); ++i) {
        if (std::exchange(dirty_[i], std::uint8_t{0}) == 0)
            continue;
        const FoldStep& step = folding_.steps[i];
        exponent_[i] = {};
        if (step.merge)
            make_merge(folding_.merges[step.index], exponent_[i]);
        else
            make_fold(step.index, exponent_[i]);
    }
}

template <class P>
Exponent<P> Making<P>::exponent() const {
    Exponent<P> all{};
    for (const Exponent<P>& of : exponent_)
        for (std::size_t l = 0; l < lanes_of<P>; ++l)
            all[l] += of[l];
    return all;
}

template <class P>
void Making<P>::want(std::span<const Var> variables) {
    find_users();
    wanted_.assign(folding_.steps.size(), 0);
    // Whatever a table went into lies before it on the way back.
    for (const Var v : variables)
        for (std::uint32_t i = step_of_[v]; i != nowhere && wanted_[i] == 0; i = user_[made_by(i)])
            wanted_[i] = 1;
}

template <class P>
void Making<P>::clear_slopes() {
    std::fill(slope_.begin(), slope_.end(), P(0));
}

template <class P>
void Making<P>::unmake(std::vector<P>& shares, const std::vector<std::uint32_t>& share_at) {
    for (std::size_t i = folding_.steps.size(); i-- > 0;) {
        if (!wanted_.empty() && wanted_[i] == 0)
            continue;
        const FoldStep& step = folding_.steps[i];
        // Through many tables a slope would leave the range of a double.
        P* by = slopes(made_by(static_cast<std::uint32_t>(i)));
        rescale(by, by + made_size(step), nullptr);
        if (step.merge) {
            const Merge& merge = folding_.merges[step.index];
            slopes_of(merge.from.of(folding_.ingredients), slopes(merge.made), merge.combinations,
                      merge.values, merge.join);
        } else {
            unmake_fold(step.index, shares.data() + share_at[folding_.folds[step.index].var]);
        }
    }
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
        join_into(joined_.data(), into, table + row(it, r) * values, values, join, room_.data());
        std::copy_n(joined_.data(), values, into);
    }
}

/// All of them joined; kept inside the range of a double, with the powers of two that were taken
/// out counted in `exponent`.
template <class P>
void Making<P>::join_all(P* into, std::span<const Ingredient> all, std::size_t rows,
                         std::uint32_t values, const Join& join, Exponent<P>& exponent) {
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
                          behind_.data() + (i + 1) * size + r * values, values, join, room_.data());
                slope_of_join(slopes(all[i].from) + row(all[i], r) * values, others_.data(),
                              by + r * values, values, join, room_.data());
            }
        }
        join_table(before_.data(), rows, all[i], values, join);
        if (i % factors_at_once == factors_at_once - 1)
            rescale(before_.data(), before_.data() + size, nullptr);
    }
}

template <class P>
void Making<P>::make_merge(const Merge& merge, Exponent<P>& exponent) {
    P* made = numbers_.data() + merge.made;
    join_all(made, merge.from.of(folding_.ingredients), merge.combinations, merge.values,
             merge.join, exponent);
    rescale(made, made + std::size_t{merge.combinations} * merge.values, &exponent);
}

// ---------------------------------------------------------------- folds

template <class P>
void Making<P>::mix(const Fold& fold, const Mixed& mixed, Exponent<P>& exponent) {
    const SumVariable& own = folding_.given[fold.var];
    const std::size_t all = std::size_t{fold.combinations} * own.values;
    P* chances = mixed_.data() + mixed.chances;
    join_all(chances, fold.in.of(folding_.ingredients), fold.combinations, own.values, own.join,
             exponent);
    join_start(chances, fold.combinations, own);
    P* weights = mixed_.data() + mixed.weights;
    join_all(weights, fold.weights.of(folding_.ingredients), all, 1, {}, exponent);
    const P* after = numbers(own.after);
    for (std::size_t i = 0; i < all; i += own.values)
        for (std::uint32_t a = 0; a < own.values; ++a)
            weights[i + a] *= after[a];
    if (!is_plain(fold))
        join_all(mixed_.data() + mixed.fired, fold.out.of(folding_.ingredients), all, fold.values,
                 fold.join, exponent);
}

template <class P>
void Making<P>::join_start(P* into, std::size_t rows, const SumVariable& variable) {
    const P* start = numbers(variable.start);
    joined_.resize(std::max<std::size_t>(joined_.size(), variable.values));
    for (std::size_t r = 0; r < rows; ++r) {
        P* at = into + r * variable.values;
        join_into(joined_.data(), at, start, variable.values, variable.join, room_.data());
        std::copy_n(joined_.data(), variable.values, at);
    }
}

template <class P>
void Making<P>::make_lone(const Fold& fold, Exponent<P>& exponent) {
    const SumVariable& own = folding_.given[fold.var];
    const P* row = numbers(folding_.ingredients[fold.out.first].from);
    P* table = numbers_.data() + fold.made;
    std::fill_n(table, fold.values, P(0));
    for (std::uint32_t a = 0; a < own.values; ++a, row += fold.values) {
        const P chance = numbers_[own.start + a] * numbers_[own.after + a];
        for (std::uint32_t e = 0; e < fold.values; ++e)
            table[e] += chance * row[e];
    }
    rescale(table, table + fold.values, &exponent);
}

template <class P>
void Making<P>::unmake_lone(const Fold& fold, P* share) {
    const SumVariable& own = folding_.given[fold.var];
    const P* row = numbers(folding_.ingredients[fold.out.first].from);
    const P* by = slopes(fold.made);
    for (std::uint32_t a = 0; a < own.values; ++a, row += fold.values) {
        P worth = 0;
        for (std::uint32_t e = 0; e < fold.values; ++e)
            worth += by[e] * row[e];
        share[a] += numbers_[own.start + a] * numbers_[own.after + a] * worth;
    }
}

/// Rows of a fold's links out, joined.
template <class P>
const P* Making<P>::fired_of(const Fold& fold, const Mixed& mixed) const {
    return is_plain(fold) ? numbers(folding_.ingredients[fold.out.first].from)
                          : mixed_.data() + mixed.fired;
}

template <class P>
void Making<P>::make_fold(std::size_t which, Exponent<P>& exponent) {
    const Fold& fold = folding_.folds[which];
    if (is_lone(fold)) {
        make_lone(fold, exponent);
        return;
    }
    const std::uint32_t own = folding_.given[fold.var].values;
    const Mixed& mixed = mixed_at_[which];
    mix(fold, mixed, exponent);
    const P* chances = mixed_.data() + mixed.chances;
    const P* weights = mixed_.data() + mixed.weights;
    const P* fired = fired_of(fold, mixed);
    P* table = numbers_.data() + fold.made;
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

template <class P>
void Making<P>::unmake_fold(std::size_t which, P* share) {
    const Fold& fold = folding_.folds[which];
    if (is_lone(fold)) {
        unmake_lone(fold, share);
        return;
    }
    const SumVariable& variable = folding_.given[fold.var];
    const std::uint32_t own = variable.values;
    const Mixed& mixed = mixed_at_[which];
    const P* chances = mixed_.data() + mixed.chances;
    const P* weights = mixed_.data() + mixed.weights;
    const P* fired = fired_of(fold, mixed);
    const std::size_t n = std::size_t{fold.combinations} * own;
    of_out_.resize(n * fold.values);
    of_weights_.resize(n);
    of_in_.resize(n);
    const P* by = slopes(fold.made);
    for (std::size_t c = 0, i = 0; c < fold.combinations; ++c)
        for (std::uint32_t a = 0; a < own; ++a, ++i) {
            const P chance = chances[i] * weights[i];
            P worth = 0;
            for (std::size_t e = 0; e < fold.values; ++e) {
                const P slope = by[c * fold.values + e];
                worth += slope * fired[i * fold.values + e];
                of_out_[i * fold.values + e] = chance * slope;
            }
            share[a] += chance * worth;
            of_weights_[i] = chances[i] * worth;
            of_in_[i] = weights[i] * worth;
        }
    if (first_slope_ == 0)
        unmake_own(fold);
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

/// By the variable's own start, and by what multiplies its values.
template <class P>
void Making<P>::unmake_own(const Fold& fold) {
    const SumVariable& own = folding_.given[fold.var];
    const std::size_t all = of_in_.size();
    Exponent<P> unused{};
    std::vector<P> others(all);
    join_all(others.data(), fold.in.of(folding_.ingredients), fold.combinations, own.values,
             own.join, unused);
    P* start = slopes(own.start);
    for (std::size_t first = 0; first < all; first += own.values)
        slope_of_join(start, others.data() + first, of_in_.data() + first, own.values, own.join,
                      room_.data());
    join_all(others.data(), fold.weights.of(folding_.ingredients), all, 1, {}, unused);
    P* after = slopes(own.after);
    for (std::size_t i = 0; i < all; ++i)
        after[i % own.values] += of_weights_[i] * others[i];
}

/// By the rows of the links in, to which the start is one more to join.
template <class P>
void Making<P>::unmake_links_in(const Fold& fold) {
    const std::span<const Ingredient> in = fold.in.of(folding_.ingredients);
    if (std::none_of(in.begin(), in.end(), [&](const Ingredient& it) { return asks(it); }))
        return;
    const SumVariable& own = folding_.given[fold.var];
    const P* start = numbers(own.start);
    std::fill(of_weights_.begin(), of_weights_.end(), P(0));
    for (std::size_t first = 0; first < of_in_.size(); first += own.values)
        slope_of_join(of_weights_.data() + first, start, of_in_.data() + first, own.values,
                      own.join, room_.data());
    slopes_of(in, of_weights_.data(), fold.combinations, own.values, own.join);
}

template class Making<double>;
template class Making<Pack>;

}  // namespace knockwell
