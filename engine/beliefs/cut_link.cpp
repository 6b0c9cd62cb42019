#include "beliefs/cut_link.hpp"

#include <algorithm>
#include <functional>
#include <limits>
#include <utility>

namespace knockwell {

// ---------------------------------------------------------------- comparing

Comparison::Comparison(const Sum& sum, Var target, bool nothing_else_looks)
    : values_(sum.shape.variables[target].values) {
    const SumVariable& it = sum.shape.variables[target];
    const double* after = sum.numbers.data() + it.after;
    if (!nothing_else_looks || it.join.digits != 1)
        return;
    if (std::is_sorted(after, after + values_))
        how_ = How::at_least;
    else if (std::is_sorted(after, after + values_, std::greater<>()))
        how_ = How::at_most;
}

void Comparison::add_up(double* row) const {
    if (how_ == How::at_least)
        for (std::size_t e = values_ - 1; e-- > 0;)
            row[e] += row[e + 1];
    else if (how_ == How::at_most)
        for (std::size_t e = 1; e < values_; ++e)
            row[e] += row[e - 1];
}

void Comparison::take_apart(double* row) const {
    if (how_ == How::at_least)
        for (std::size_t e = 0; e + 1 < values_; ++e)
            row[e] = std::max(0.0, row[e] - row[e + 1]);
    else if (how_ == How::at_most)
        for (std::size_t e = values_ - 1; e > 0; --e)
            row[e] = std::max(0.0, row[e] - row[e - 1]);
}

void Comparison::weigh(double* worth) const {
    if (how_ == How::at_least)
        for (std::size_t e = values_ - 1; e > 0; --e)
            worth[e] -= worth[e - 1];
    else if (how_ == How::at_most)
        for (std::size_t e = 0; e + 1 < values_; ++e)
            worth[e] -= worth[e + 1];
    for (std::size_t e = 0; e < values_; ++e)
        worth[e] = std::max(0.0, worth[e]);  // but for a rounding they are
}

// ---------------------------------------------------------------- one link

CutLink::CutLink(const Sum& sum, std::uint32_t link, std::vector<const Cut*> cuts,
                 Comparison compared)
    : compared_(compared), cuts_(std::move(cuts)) {
    const SumLink& it = sum.shape.links[link];
    const std::span<const Var> sources = sum.shape.sources(it);
    values_ = sum.shape.variables[it.target].values;
    combinations_ = sum.shape.combinations(sources);
    for (const Var v : sources)
        if (std::none_of(cuts_.begin(), cuts_.end(),
                         [&](const Cut* cut) { return cut->source == v; }))
            left_.push_back(v);
    others_ = sum.shape.combinations(left_);
    const double* rows = sum.numbers.data() + it.rows;
    rows_.assign(rows, rows + combinations_ * values_);
    other_.assign(combinations_, 0);
    given_.assign(combinations_ * cuts_.size(), 0);
    for (std::size_t i = 0; i < combinations_; ++i) {
        compared_.add_up(rows_.data() + i * values_);
        place(sum.shape, sources, i);
    }
}

/// Which values a combination stands for.
void CutLink::place(const Shape& shape, std::span<const Var> sources, std::size_t combination) {
    std::size_t rest = combination;
    std::size_t stride = 1;
    for (std::size_t s = sources.size(); s-- > 0;) {
        const std::size_t values = shape.variables[sources[s]].values;
        const auto cut = std::find_if(cuts_.begin(), cuts_.end(),
                                      [&](const Cut* one) { return one->source == sources[s]; });
        if (cut != cuts_.end()) {
            given_[combination * cuts_.size() + static_cast<std::size_t>(cut - cuts_.begin())] =
                rest % values;
        } else {
            other_[combination] += stride * (rest % values);
            stride *= values;
        }
        rest /= values;
    }
}

double CutLink::times(std::size_t combination, From from) const {
    double product = 1;
    for (std::size_t c = 0; c < cuts_.size(); ++c)
        product *= cuts_[c]->times(from)[given(combination, c)];
    return product;
}

std::vector<double> CutLink::stand_in(From from) const {
    std::vector<double> row(others_ * values_,
                            from == From::above ? 0 : std::numeric_limits<double>::infinity());
    for (std::size_t i = 0; i < combinations_; ++i) {
        const double by = times(i, from);
        for (std::size_t e = 0; e < values_; ++e) {
            double& it = row[other_[i] * values_ + e];
            const double here = rows_[i * values_ + e] / by;
            it = from == From::above ? std::max(it, here) : std::min(it, here);
        }
    }
    return row;
}

void CutLink::take_apart(std::vector<double>& row) const {
    for (std::size_t o = 0; o < others_; ++o)
        compared_.take_apart(row.data() + o * values_);
}

void CutLink::weigh(std::vector<double>& worth) const {
    for (std::size_t o = 0; o < others_; ++o)
        compared_.weigh(worth.data() + o * values_);
}

std::vector<std::vector<double>> CutLink::made_by(const std::vector<double>& row,
                                                  const std::vector<double>& share) const {
    constexpr double equal = 1 - 1e-9;
    const auto makes = [&](std::size_t i, std::size_t e) {
        return rows_[i * values_ + e] / times(i, From::above) >=
               equal * row[other_[i] * values_ + e];
    };
    std::vector<double> makers(row.size(), 0.0);
    for (std::size_t i = 0; i < combinations_; ++i)
        for (std::size_t e = 0; e < values_; ++e)
            if (makes(i, e))
                makers[other_[i] * values_ + e] += 1;
    std::vector<std::vector<double>> made;
    for (const Cut* cut : cuts_)
        made.emplace_back(cut->above.size(), 0.0);
    for (std::size_t i = 0; i < combinations_; ++i)
        for (std::size_t e = 0; e < values_; ++e)
            if (makes(i, e))
                for (std::size_t c = 0; c < cuts_.size(); ++c) {
                    const std::size_t n = other_[i] * values_ + e;
                    made[c][given(i, c)] += share[n] / makers[n];
                }
    return made;
}

std::vector<double> CutLink::mean(const std::vector<const std::vector<double>*>& chance) const {
    std::vector<double> row(others_ * values_, 0.0);
    for (std::size_t i = 0; i < combinations_; ++i) {
        double by = 1;
        for (std::size_t c = 0; c < cuts_.size(); ++c)
            by *= (*chance[c])[given(i, c)];
        for (std::size_t e = 0; e < values_; ++e)
            row[other_[i] * values_ + e] += by * rows_[i * values_ + e];
    }
    return row;
}

}  // namespace knockwell
