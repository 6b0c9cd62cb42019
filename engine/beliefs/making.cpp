#include "beliefs/making.hpp"

#include "beliefs/join_rows.hpp"

#include <algorithm>

namespace knockwell {
namespace {

bool asks(const Ingredient& it) { return it.from.in == TablePlace::In::made; }

/// The small tables that one combination of a fold's neighbours needs.
template <class P>
class FoldRow {
public:
    FoldRow(std::uint32_t own, std::uint32_t target) : chance(own), one_(own), two_(own) {
        fired.resize(std::size_t{own} * target);
        row_.resize(target);
    }

    std::vector<P> chance;  // [own value] with everything that multiplies it
    std::vector<P> fired;   // [own value][value of the target]

    /// Start and links into the variable, joined.
    template <class Numbers>
    void own_chance(const Fold& fold, std::size_t combination, std::uint32_t own, const Join& join,
                    const P* start, Numbers numbers) {
        std::copy(start, start + own, one_.begin());
        for (const Ingredient& in : fold.in) {
            join_into(two_.data(), one_.data(), numbers(in.from) + in.at(combination) * own, own,
                      join);
            std::swap(one_, two_);
        }
        chance = one_;
    }
    template <class Numbers>
    void weigh(const Fold& fold, std::size_t combination, std::uint32_t own, const P* after,
               Numbers numbers) {
        for (std::uint32_t a = 0; a < own; ++a) {
            if (after)
                chance[a] *= after[a];
            for (const Ingredient& weight : fold.weights)
                chance[a] *= numbers(weight.from)[weight.at(combination * own + a)];
        }
    }
    template <class Numbers>
    void fire(const Fold& fold, std::size_t combination, std::uint32_t own, Numbers numbers) {
        for (std::uint32_t a = 0; a < own; ++a) {
            P* into = fired.data() + std::size_t{a} * fold.values;
            neutral(into, fold.values);
            for (const Ingredient& out : fold.out) {
                const P* row = numbers(out.from) + out.at(combination * own + a) * fold.values;
                join_into(row_.data(), into, row, fold.values, fold.join);
                std::copy(row_.begin(), row_.end(), into);
            }
        }
    }

private:
    std::vector<P> one_, two_, row_;
};

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

template <class P>
void Making<P>::make_fold(const Fold& fold) {
    const SumVariableOf<P>& variable = sum_->variables[fold.var];
    const std::uint32_t own = variable.values;
    const auto at = [this](const TablePlace& place) { return numbers(place); };
    FoldRow<P> row(own, fold.values);
    for (std::size_t k = 0; k < fold.combinations; ++k) {
        row.own_chance(fold, k, own, variable.join, variable.start.data(), at);
        row.weigh(fold, k, own, variable.after.empty() ? nullptr : variable.after.data(), at);
        row.fire(fold, k, own, at);
        P* into = made_.data() + fold.made + k * fold.values;
        std::fill(into, into + fold.values, P(0));
        for (std::uint32_t a = 0; a < own; ++a)
            for (std::uint32_t e = 0; e < fold.values; ++e)
                into[e] += row.chance[a] * row.fired[std::size_t{a} * fold.values + e];
    }
}

template <class P>
void Making<P>::make_merge(const Merge& merge) {
    scratch_.resize(std::max<std::size_t>(scratch_.size(), merge.values));
    for (std::size_t k = 0; k < merge.combinations; ++k) {
        P* into = made_.data() + merge.made + k * merge.values;
        neutral(into, merge.values);
        for (const Ingredient& it : merge.from) {
            const P* table = numbers(it.from);
            if (!table)
                continue;
            join_into(scratch_.data(), into, table + std::size_t{it.at(k)} * merge.values,
                      merge.values, merge.join);
            std::copy_n(scratch_.data(), merge.values, into);
        }
    }
}

/// Whoever went into a merge gets the slope with all the others joined: what is before it from the
/// left, what is behind it from the right, so that nothing is divided.
template <class P>
void Making<P>::unmake_merge(const Merge& merge) {
    if (std::none_of(merge.from.begin(), merge.from.end(), asks))
        return;
    const std::size_t n = merge.from.size();
    const std::uint32_t values = merge.values;
    std::vector<P> behind((n + 1) * values);
    std::vector<P> before(values), joined(values);
    for (std::size_t k = 0; k < merge.combinations; ++k) {
        const P* by = slope_.data() + merge.made + k * values;
        neutral(behind.data() + n * values, values);
        for (std::size_t i = n; i-- > 0;) {
            const P* table = numbers(merge.from[i].from);
            P* into = behind.data() + i * values;
            if (table)
                join_into(into, behind.data() + (i + 1) * values,
                          table + std::size_t{merge.from[i].at(k)} * values, values, merge.join);
            else
                std::copy_n(behind.data() + (i + 1) * values, values, into);
        }
        neutral(before.data(), values);
        for (std::size_t i = 0; i < n; ++i) {
            const Ingredient& it = merge.from[i];
            const P* table = numbers(it.from);
            if (!table)
                continue;
            const std::size_t row = std::size_t{it.at(k)} * values;
            if (asks(it)) {
                join_into(joined.data(), before.data(), behind.data() + (i + 1) * values, values,
                          merge.join);
                slope_of_join(slope_.data() + it.from.index + row, joined.data(), by, values,
                              merge.join);
            }
            join_into(joined.data(), before.data(), table + row, values, merge.join);
            std::swap(before, joined);
        }
    }
}

/// How the sum depends on each link that the folded variable sends to its target.
template <class P>
void Making<P>::slopes_of_out(const Fold& fold, std::size_t combination,
                              const std::vector<P>& chance, const P* by) {
    std::vector<P> others(fold.values), joined(fold.values);
    for (std::size_t i = 0; i < fold.out.size(); ++i) {
        if (!asks(fold.out[i]))
            continue;
        for (std::size_t a = 0; a < chance.size(); ++a) {
            const std::size_t at = combination * chance.size() + a;
            neutral(others.data(), fold.values);
            others[0] = chance[a];
            for (std::size_t j = 0; j < fold.out.size(); ++j) {
                if (j == i)
                    continue;
                const Ingredient& out = fold.out[j];
                join_into(joined.data(), others.data(),
                          numbers(out.from) + std::size_t{out.at(at)} * fold.values, fold.values,
                          fold.join);
                std::swap(others, joined);
            }
            slope_of_join(slope_.data() + fold.out[i].from.index +
                              std::size_t{fold.out[i].at(at)} * fold.values,
                          others.data(), by, fold.values, fold.join);
        }
    }
}

/// ... on each weight on the folded variable. `own`: its chances before any weight.
template <class P>
void Making<P>::slopes_of_weights(const Fold& fold, std::size_t combination,
                                  const std::vector<P>& own, const std::vector<P>& worth) {
    for (std::size_t i = 0; i < fold.weights.size(); ++i) {
        if (!asks(fold.weights[i]))
            continue;
        for (std::size_t a = 0; a < own.size(); ++a) {
            const std::size_t at = combination * own.size() + a;
            P product = own[a] * worth[a];
            for (std::size_t j = 0; j < fold.weights.size(); ++j)
                if (j != i)
                    product *= numbers(fold.weights[j].from)[fold.weights[j].at(at)];
            slope_[fold.weights[i].from.index + fold.weights[i].at(at)] += product;
        }
    }
}

/// ... and on each link into it. `worth`: of every value, with everything that multiplies it.
template <class P>
void Making<P>::slopes_of_in(const Fold& fold, std::size_t combination,
                             const std::vector<P>& worth) {
    const SumVariableOf<P>& variable = sum_->variables[fold.var];
    const std::uint32_t own = variable.values;
    std::vector<P> others(own), joined(own);
    for (std::size_t i = 0; i < fold.in.size(); ++i) {
        if (!asks(fold.in[i]))
            continue;
        others = variable.start;
        for (std::size_t j = 0; j < fold.in.size(); ++j) {
            if (j == i)
                continue;
            join_into(joined.data(), others.data(),
                      numbers(fold.in[j].from) + std::size_t{fold.in[j].at(combination)} * own, own,
                      variable.join);
            std::swap(others, joined);
        }
        slope_of_join(slope_.data() + fold.in[i].from.index +
                          std::size_t{fold.in[i].at(combination)} * own,
                      others.data(), worth.data(), own, variable.join);
    }
}

template <class P>
void Making<P>::unmake_fold(const Fold& fold, P* share) {
    const SumVariableOf<P>& variable = sum_->variables[fold.var];
    const std::uint32_t own = variable.values;
    const P* after = variable.after.empty() ? nullptr : variable.after.data();
    const auto at = [this](const TablePlace& place) { return numbers(place); };
    FoldRow<P> row(own, fold.values);
    std::vector<P> worth(own);
    for (std::size_t k = 0; k < fold.combinations; ++k) {
        const P* by = slope_.data() + fold.made + k * fold.values;
        row.own_chance(fold, k, own, variable.join, variable.start.data(), at);
        std::vector<P> before_weights = row.chance;
        row.weigh(fold, k, own, after, at);
        row.fire(fold, k, own, at);
        for (std::uint32_t a = 0; a < own; ++a) {
            worth[a] = 0;
            for (std::uint32_t e = 0; e < fold.values; ++e)
                worth[a] += by[e] * row.fired[std::size_t{a} * fold.values + e];
            share[a] += row.chance[a] * worth[a];
        }
        slopes_of_out(fold, k, row.chance, by);
        for (std::uint32_t a = 0; a < own; ++a) {
            if (after)
                before_weights[a] *= after[a];
        }
        slopes_of_weights(fold, k, before_weights, worth);
        for (std::uint32_t a = 0; a < own; ++a) {
            if (after)
                worth[a] *= after[a];
            for (const Ingredient& weight : fold.weights)
                worth[a] *= numbers(weight.from)[weight.at(k * own + a)];
        }
        slopes_of_in(fold, k, worth);
    }
}

template class Making<double>;
template class Making<Pack>;

}  // namespace knockwell
