#include "beliefs/frontier.hpp"

#include <algorithm>
#include <cmath>

namespace knockwell {

template <class P>
void Scaled<P>::multiply(const P& by) {
    mantissa *= by;
    rescale(&mantissa, &mantissa + 1, mantissa, &exponent);
}

template <class P>
void Scaled<P>::add(const Scaled& other) {
    for (std::size_t l = 0; l < lanes_of<P>; ++l) {
        const double more = lane(other.mantissa, l);
        if (more == 0)
            continue;
        const double here = lane(mantissa, l);
        const std::int64_t to =
            here == 0 ? other.exponent[l] : std::max(exponent[l], other.exponent[l]);
        const auto at = [&](double x, std::int64_t from) {
            // Further apart than this the lesser is nothing beside the greater.
            return std::ldexp(x, static_cast<int>(std::max<std::int64_t>(from - to, -3000)));
        };
        set_lane(mantissa, l,
                 (here == 0 ? 0 : at(here, exponent[l])) + at(more, other.exponent[l]));
        exponent[l] = to;
    }
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
    : plan_(plan), steps_(with), making_(plan.folding, plan.slopes, with), table_(plan.entries),
      share_(plan.shares), scratch_(std::max(plan.room_of_a_link, 3 * plan.most_chances)),
      ones_(plan.most_opened, P(1)), nothing_(plan.most_opened, P(0)) {
    if (!nothing_.empty())
        nothing_.front() = 1;
}

template <class P>
const P* Frontier<P>::opened_with(const Operation& op) const {
    switch (op.with) {
    case OrderStep::With::ones:
        return ones_.data();
    case OrderStep::With::nothing:
        return nothing_.data();
    default:
        return making_.numbers(op.numbers);
    }
}

template <class P>
void Frontier<P>::want(std::span<const Var> variables) {
    making_.want(variables);
    wanted_.assign(plan_.share_at.size(), 0);
    for (const Var v : variables)
        wanted_[v] = 1;
}

template <class P>
bool Frontier<P>::run(bool back) {
    making_.make();
    total_.mantissa = 1;
    total_.exponent = making_.exponent();
    for (const Slot factor : plan_.folding.factors)
        total_.multiply(*making_.numbers(factor));
    if (!forward())
        return false;
    total_.multiply(*at(plan_.operations.empty() ? 0 : plan_.operations.back().to));
    if (is_all(total_.mantissa, 0))
        return false;
    if (back) {
        set_to_zero(share_.data(), share_.size());
        making_.clear_slopes();
        for (const Slot factor : plan_.folding.factors)
            *making_.slopes(factor) = 1;
        backward();
        making_.unmake(share_, plan_.share_at);
        settle_shares();
    }
    return true;
}

/// Every variable's shares sum to 1, whatever factor its tables carry.
template <class P>
void Frontier<P>::settle_shares() {
    for (std::size_t v = 0; v < plan_.share_at.size(); ++v) {
        if (!wanted_.empty() && wanted_[v] == 0)
            continue;
        const std::size_t begin = plan_.share_at[v];
        const std::size_t end =
            v + 1 < plan_.share_at.size() ? plan_.share_at[v + 1] : plan_.shares;
        P total = 0;
        for (std::size_t i = begin; i < end; ++i)
            total += share_[i];
        const P by = P(1) / positive_or_one(total);
        for (std::size_t i = begin; i < end; ++i)
            share_[i] *= by;
    }
}

// ---------------------------------------------------------------- forward

template <class P>
bool Frontier<P>::forward() {
    *at(0) = 1;
    for (const Operation& op : plan_.operations) {
        switch (op.kind) {
        case OrderStep::Kind::open:
            steps_.open(op, opened_with(op), at(op.from), at(op.to));
            break;
        case OrderStep::Kind::link:
            steps_.link(plan_, op, making_.numbers(op.numbers), at(op.from), at(op.to),
                        scratch_.data());
            break;
        case OrderStep::Kind::weigh:
            steps_.weigh(plan_, op, making_.numbers(op.numbers), at(op.from), at(op.to));
            break;
        case OrderStep::Kind::begin:
            *at(op.to) = 1;
            break;
        case OrderStep::Kind::meet:
            meet(op);
            break;
        case OrderStep::Kind::close:
            if (!close(op))
                return false;
            break;
        }
    }
    return true;
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
void Frontier<P>::backward() {
    back_.resize(plan_.largest);
    other_.resize(plan_.largest);
    back_[0] = 1;
    for (std::size_t i = plan_.operations.size(); i-- > 0;) {
        const Operation& op = plan_.operations[i];
        switch (op.kind) {
        case OrderStep::Kind::open:
            steps_.unopen(op, opened_with(op), at(op.from), back_.data(), slopes(op));
            break;
        case OrderStep::Kind::link:
            steps_.unlink(plan_, op, making_.numbers(op.numbers), at(op.from), back_.data(),
                          scratch_.data(), slopes(op));
            break;
        case OrderStep::Kind::weigh:
            steps_.unweigh(plan_, op, making_.numbers(op.numbers), at(op.from), back_.data(),
                           slopes(op));
            break;
        case OrderStep::Kind::begin:
            std::swap(back_, waiting_[--waits_]);
            break;
        case OrderStep::Kind::meet:
            unmeet(op);
            break;
        case OrderStep::Kind::close:
            unclose(op);
            break;
        }
    }
}

template <class P>
void Frontier<P>::meet(const Operation& op) {
    const Meeting& meeting = plan_.meetings[op.numbers];
    P* to = at(op.to);
    steps_.meet(plan_, op, at(op.from), at(meeting.other), to, scratch_.data());
    settle(to, op.size * meeting.fresh.count, &total_.exponent);
}

/// The derivative by the other table comes first on the way back; that by the one which waited is
/// kept until the other's beginning.
template <class P>
void Frontier<P>::unmeet(const Operation& op) {
    const Meeting& meeting = plan_.meetings[op.numbers];
    if (waits_ == waiting_.size())
        waiting_.emplace_back();
    Unset<P>& waits = waiting_[waits_++];
    waits.resize(plan_.largest);
    steps_.unmeet(plan_, op, at(op.from), at(meeting.other), back_.data(), waits.data(),
                  other_.data(), scratch_.data());
    std::swap(back_, other_);
    settle(back_.data(), meeting.other_size, nullptr);
    settle(waits.data(), op.size, nullptr);
}

/// Inside the range of a double again.
template <class P>
void Frontier<P>::settle(P* table, std::size_t size, Exponent<P>* exponent) const {
    P most = 0;
    steps_.largest(table, table + size, &most);
    rescale(table, table + size, most, exponent);
}

template <class P>
P* Frontier<P>::slopes(const Operation& op) {
    return op.gradient ? making_.slopes(op.numbers) : nullptr;
}

/// The share of each value, and the table before the digit was summed out.
template <class P>
void Frontier<P>::unclose(const Operation& op) {
    P most = 0;
    steps_.unclose(op, making_.numbers(op.numbers), at(op.from), back_.data(), other_.data(),
                   wanted_.empty() || wanted_[op.var] != 0 ? share_.data() + plan_.share_at[op.var]
                                                           : nullptr,
                   slopes(op), &most);
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

}  // namespace knockwell
