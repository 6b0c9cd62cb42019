#include "beliefs/frontier.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>

namespace knockwell {

template <class P>
void Scaled<P>::multiply(const P& by) {
    mantissa *= by;
    rescale(&mantissa, &mantissa + 1, mantissa, &exponent);
}

template <class P>
double Scaled<P>::log(std::size_t l) const {
    return std::log(lane(mantissa, l)) + static_cast<double>(exponent[l]) * std::log(2.0);
}

template <class P, class Q>
double ratio(const Scaled<P>& a, std::size_t lane_a, const Scaled<Q>& b, std::size_t lane_b) {
    const std::int64_t exponent =
        std::clamp<std::int64_t>(a.exponent[lane_a] - b.exponent[lane_b], -5000, 5000);
    return std::ldexp(lane(a.mantissa, lane_a) / lane(b.mantissa, lane_b),
                      static_cast<int>(exponent));
}

// ---------------------------------------------------------------- the whole

template <class P>
Frontier<P>::Frontier(const Plan& plan, const Steps<P>& with)
    : plan_(plan), steps_(with), making_(plan.folding), share_(plan.shares) {}

template <class P>
bool Frontier<P>::run(const SumOf<P>& sum, bool back) {
    table_.resize(plan_.entries);
    making_.make(sum);
    total_ = {};
    total_.exponent = making_.exponent();
    total_.multiply(sum.factor);
    for (const TablePlace& factor : plan_.folding.factors)
        total_.multiply(*making_.numbers(factor));
    if (back) {
        std::fill(share_.begin(), share_.end(), P(0));
        making_.clear_slopes();
        for (const TablePlace& factor : plan_.folding.factors)
            *making_.slopes(factor) = 1;
    }
    for (std::size_t begin = 0; begin < plan_.operations.size();) {
        std::size_t end = begin;
        while (plan_.operations[end].kind != OrderStep::Kind::next_component)
            ++end;
        if (!forward(begin, end))
            return false;
        if (back)
            backward(begin, end);
        begin = end + 1;
    }
    if (is_all(total_.mantissa, 0))
        return false;
    if (back) {
        making_.unmake(share_, plan_.share_at);
        settle_shares();
    }
    return true;
}

/// Every variable's shares sum to 1, whatever factor its component's tables carry.
template <class P>
void Frontier<P>::settle_shares() {
    for (std::size_t v = 0; v < plan_.share_at.size(); ++v) {
        const std::size_t begin = plan_.share_at[v];
        const std::size_t end =
            v + 1 < plan_.share_at.size() ? plan_.share_at[v + 1] : plan_.shares;
        for (std::size_t l = 0; l < lanes_of<P>; ++l) {
            double total = 0;
            for (std::size_t i = begin; i < end; ++i)
                total += lane(share_[i], l);
            for (std::size_t i = begin; i < end && total > 0; ++i)
                set_lane(share_[i], l, lane(share_[i], l) / total);
        }
    }
}

// ---------------------------------------------------------------- forward

template <class P>
bool Frontier<P>::forward(std::size_t begin, std::size_t end) {
    *at(0) = 1;
    for (std::size_t i = begin; i < end; ++i) {
        const Operation& op = plan_.operations[i];
        switch (op.kind) {
        case OrderStep::Kind::open:
            open(op);
            break;
        case OrderStep::Kind::link:
            link(op);
            break;
        case OrderStep::Kind::weigh:
            weigh(op);
            break;
        case OrderStep::Kind::close:
            if (!close(op))
                return false;
            break;
        case OrderStep::Kind::next_component:
            break;
        }
    }
    total_.multiply(*at(plan_.operations[end].from));
    return true;
}

template <class P>
void Frontier<P>::open(const Operation& op) {
    steps_.open(op, making_.numbers(op.numbers), at(op.from), at(op.to));
}

template <class P>
void Frontier<P>::link(const Operation& op) {
    keep_old(op);
    scratch_.resize(std::max(scratch_.size(), 2 * std::size_t{op.values}));
    steps_.link(op, making_.numbers(op.numbers), at(op.to), scratch_.data());
}

template <class P>
void Frontier<P>::weigh(const Operation& op) {
    keep_old(op);
    steps_.weigh(op, making_.numbers(op.numbers), at(op.to));
}

/// Where the way back needs the table as it was, the step works on a copy.
template <class P>
void Frontier<P>::keep_old(const Operation& op) {
    if (op.to != op.from)
        std::copy_n(at(op.from), op.size, at(op.to));
}

template <class P>
bool Frontier<P>::close(const Operation& op) {
    P most = 0;
    P* to = at(op.to);
    steps_.close(op, making_.numbers(op.numbers), at(op.from), to, &most);
    if (is_all(most, 0))
        return false;
    rescale(to, to + op.size / op.values, most, &total_.exponent);
    return true;
}

// ---------------------------------------------------------------- backward

template <class P>
void Frontier<P>::backward(std::size_t begin, std::size_t end) {
    back_.resize(plan_.largest);
    other_.resize(plan_.largest);
    back_[0] = 1;
    for (std::size_t i = end; i-- > begin;) {
        const Operation& op = plan_.operations[i];
        switch (op.kind) {
        case OrderStep::Kind::open:
            unopen(op);
            break;
        case OrderStep::Kind::link:
            unlink(op);
            break;
        case OrderStep::Kind::weigh:
            unweigh(op);
            break;
        case OrderStep::Kind::close:
            unclose(op);
            break;
        case OrderStep::Kind::next_component:
            break;
        }
    }
}

template <class P>
P* Frontier<P>::slopes(const Operation& op) {
    return op.gradient ? making_.slopes(op.numbers) : nullptr;
}

template <class P>
void Frontier<P>::unopen(const Operation& op) {
    steps_.unopen(op, making_.numbers(op.numbers), at(op.from), back_.data(), slopes(op));
}

template <class P>
void Frontier<P>::unlink(const Operation& op) {
    steps_.unlink(op, making_.numbers(op.numbers), at(op.from), back_.data(), scratch_.data(),
                  slopes(op));
}

template <class P>
void Frontier<P>::unweigh(const Operation& op) {
    steps_.unweigh(op, making_.numbers(op.numbers), at(op.from), back_.data(), slopes(op));
}

/// The share of each value, and the table before the digit was summed out.
template <class P>
void Frontier<P>::unclose(const Operation& op) {
    P most = 0;
    steps_.unclose(op, making_.numbers(op.numbers), at(op.from), back_.data(), other_.data(),
                   share_.data() + plan_.share_at[op.var], slopes(op), &most);
    std::swap(back_, other_);
    rescale(back_.data(), back_.data() + op.size, most, nullptr);
}

template struct Scaled<double>;
template struct Scaled<Pack>;
template class Frontier<double>;
template class Frontier<Pack>;
template double ratio(const Scaled<double>&, std::size_t, const Scaled<double>&, std::size_t);
template double ratio(const Scaled<Pack>&, std::size_t, const Scaled<double>&, std::size_t);
template double ratio(const Scaled<Pack>&, std::size_t, const Scaled<Pack>&, std::size_t);

// ---------------------------------------------------------------- one set of numbers

Shares shares_of(const Sum& sum, const Plan& plan) {
    Shares shares;
    Frontier<double> frontier(plan);
    shares.possible = frontier.run(sum);
    if (!shares.possible)
        return shares;
    shares.log_sum = frontier.total().log(0);
    for (Var v = 0; v < sum.variables.size(); ++v) {
        std::vector<double>& of = shares.value.emplace_back();
        for (std::uint32_t a = 0; a < sum.variables[v].values; ++a)
            of.push_back(frontier.share(v, a));
    }
    return shares;
}

double log_sum_of(const Sum& sum, const Plan& plan) {
    Frontier<double> frontier(plan);
    return frontier.run_forward(sum) ? frontier.total().log(0)
                                     : -std::numeric_limits<double>::infinity();
}

}  // namespace knockwell
