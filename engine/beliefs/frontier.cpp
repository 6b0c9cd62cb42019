#include "beliefs/frontier.hpp"

#include "beliefs/join_rows.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>

namespace knockwell {
namespace {

// Entries are kept well inside the range of a double; a product of a few of them stays inside too.
constexpr int far_exponent = 200;

/// Divides a lane's entries by a power of two where they left the range; adds it to the exponent.
template <class P>
void rescale(P* begin, P* end, const P& most, std::vector<std::int64_t>* exponent) {
    for (std::size_t l = 0; l < lanes_of<P>; ++l) {
        const double m = lane(most, l);
        if (!(m > 0) || !std::isfinite(m))
            continue;
        const int power = std::ilogb(m);
        if (power > -far_exponent && power < far_exponent)
            continue;
        for (P* entry = begin; entry != end; ++entry)
            set_lane(*entry, l, std::ldexp(lane(*entry, l), -power));
        if (exponent)
            (*exponent)[l] += power;
    }
}

/// Calls act(offset) for every stretch of neighbouring entries in which the fixed digits are 0.
template <class Act>
void for_runs(const Operation& op, std::size_t base, Act act) {
    const auto& gaps = op.gaps;
    switch (gaps.size()) {
    case 0:
        act(base);
        return;
    case 1:
        for (std::size_t i = 0; i < gaps[0].count; ++i)
            act(base + i * gaps[0].stride);
        return;
    case 2:
        for (std::size_t j = 0; j < gaps[1].count; ++j)
            for (std::size_t i = 0; i < gaps[0].count; ++i)
                act(base + j * gaps[1].stride + i * gaps[0].stride);
        return;
    default:
        break;
    }
    std::vector<std::size_t> at(gaps.size(), 0);
    for (std::size_t g = 0; g < gaps.size();) {
        act(base);
        for (g = 0; g < gaps.size(); ++g) {
            base += gaps[g].stride;
            if (++at[g] < gaps[g].count)
                break;
            base -= gaps[g].stride * gaps[g].count;
            at[g] = 0;
        }
    }
}

template <class P>
bool changes_nothing(const P* row, std::uint32_t values) {
    if (!is_all(row[0], 1))
        return false;
    return std::all_of(row + 1, row + values, [](const P& x) { return is_all(x, 0); });
}

}  // namespace

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
Frontier<P>::Frontier(const Plan& plan) : plan_(plan), making_(plan.folding), share_(plan.shares) {}

template <class P>
bool Frontier<P>::run(const SumOf<P>& sum, bool back) {
    table_.resize(plan_.entries);
    making_.make(sum);
    total_ = {};
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
    const P* start = making_.numbers(op.numbers);
    const P* from = at(op.from);
    P* to = at(op.to);
    for (std::size_t a = op.values; a-- > 0;)
        for (std::size_t s = 0; s < op.stride; ++s)
            to[a * op.stride + s] = from[s] * start[a];
}

template <class P>
void Frontier<P>::link(const Operation& op) {
    if (op.to != op.from)
        std::copy_n(at(op.from), op.size, at(op.to));
    const P* rows = making_.numbers(op.numbers);
    P* table = at(op.to);
    for (std::size_t c = 0; c < op.offsets.size(); ++c) {
        const P* row = rows + c * op.values;
        if (changes_nothing(row, op.values))
            continue;
        if (op.values == 2) {
            const P stays = row[0];
            const P moves = row[1];
            const P both = row[0] + row[1];
            for_runs(op, op.offsets[c], [&](std::size_t offset) {
                P* low = table + offset;
                P* high = low + op.stride;
                for (std::size_t i = 0; i < op.run; ++i) {
                    high[i] = both * high[i] + moves * low[i];
                    low[i] *= stays;
                }
            });
            continue;
        }
        scratch_.resize(2 * std::size_t{op.values});
        for_runs(op, op.offsets[c], [&](std::size_t offset) {
            P* old = scratch_.data();
            P* joined = old + op.values;
            for (std::size_t i = 0; i < op.run; ++i) {
                for (std::uint32_t a = 0; a < op.values; ++a)
                    old[a] = table[offset + i + a * op.stride];
                join_into(joined, old, row, op.values, op.join);
                for (std::uint32_t a = 0; a < op.values; ++a)
                    table[offset + i + a * op.stride] = joined[a];
            }
        });
    }
}

template <class P>
void Frontier<P>::weigh(const Operation& op) {
    if (op.to != op.from)
        std::copy_n(at(op.from), op.size, at(op.to));
    const P* weights = making_.numbers(op.numbers);
    P* table = at(op.to);
    for (std::size_t c = 0; c < op.offsets.size(); ++c) {
        const P by = weights[c];
        if (is_all(by, 1))
            continue;
        for_runs(op, op.offsets[c], [&](std::size_t offset) {
            for (std::size_t i = 0; i < op.run; ++i)
                table[offset + i] *= by;
        });
    }
}

template <class P>
bool Frontier<P>::close(const Operation& op) {
    const P* after = making_.numbers(op.numbers);
    const P* from = at(op.from);
    P* to = at(op.to);
    const std::size_t block = op.stride * op.values;
    P most = 0;
    for (std::size_t outer = 0; outer < op.size / block; ++outer) {
        P* into = to + outer * op.stride;
        for (std::size_t a = 0; a < op.values; ++a) {
            const P* entry = from + outer * block + a * op.stride;
            const P by = after ? after[a] : P(1);
            for (std::size_t s = 0; s < op.stride; ++s)
                into[s] = a == 0 ? by * entry[s] : into[s] + by * entry[s];
        }
        for (std::size_t s = 0; s < op.stride; ++s)
            most = larger(most, into[s]);
    }
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
void Frontier<P>::unopen(const Operation& op) {
    const P* start = making_.numbers(op.numbers);
    if (op.gradient) {
        P* slope = making_.slopes(op.numbers);
        const P* from = at(op.from);
        for (std::size_t a = 0; a < op.values; ++a) {
            P sum = 0;
            for (std::size_t s = 0; s < op.stride; ++s)
                sum += from[s] * back_[a * op.stride + s];
            slope[a] += sum;
        }
    }
    for (std::size_t s = 0; s < op.stride; ++s) {
        P sum = 0;
        for (std::size_t a = 0; a < op.values; ++a)
            sum += start[a] * back_[a * op.stride + s];
        back_[s] = sum;
    }
}

template <class P>
void Frontier<P>::unlink(const Operation& op) {
    const P* rows = making_.numbers(op.numbers);
    const P* table = at(op.from);
    scratch_.resize(2 * std::size_t{op.values});
    P* old = scratch_.data();
    P* by = old + op.values;
    for (std::size_t c = 0; c < op.offsets.size(); ++c) {
        const P* row = rows + c * op.values;
        P* slope = op.gradient ? making_.slopes(op.numbers) + c * op.values : nullptr;
        if (!slope && changes_nothing(row, op.values))
            continue;
        if (op.values == 2) {
            const P stays = row[0];
            const P moves = row[1];
            const P both = row[0] + row[1];
            P kept = 0;
            P moved = 0;
            for_runs(op, op.offsets[c], [&](std::size_t offset) {
                P* low = back_.data() + offset;
                P* high = low + op.stride;
                if (slope) {
                    const P* f = table + offset;
                    for (std::size_t i = 0; i < op.run; ++i) {
                        const P was_high = f[op.stride + i] * high[i];
                        kept += f[i] * low[i] + was_high;
                        moved += f[i] * high[i] + was_high;
                    }
                }
                for (std::size_t i = 0; i < op.run; ++i) {
                    low[i] = stays * low[i] + moves * high[i];
                    high[i] *= both;
                }
            });
            if (slope) {
                slope[0] += kept;
                slope[1] += moved;
            }
            continue;
        }
        for_runs(op, op.offsets[c], [&](std::size_t offset) {
            for (std::size_t i = 0; i < op.run; ++i) {
                for (std::uint32_t a = 0; a < op.values; ++a)
                    by[a] = back_[offset + i + a * op.stride];
                if (slope) {
                    for (std::uint32_t a = 0; a < op.values; ++a)
                        old[a] = table[offset + i + a * op.stride];
                    slope_of_join(slope, old, by, op.values, op.join);
                }
                std::fill_n(old, op.values, P(0));
                slope_of_join(old, row, by, op.values, op.join);
                for (std::uint32_t a = 0; a < op.values; ++a)
                    back_[offset + i + a * op.stride] = old[a];
            }
        });
    }
}

template <class P>
void Frontier<P>::unweigh(const Operation& op) {
    const P* weights = making_.numbers(op.numbers);
    const P* table = at(op.from);
    for (std::size_t c = 0; c < op.offsets.size(); ++c) {
        const P by = weights[c];
        if (!op.gradient && is_all(by, 1))
            continue;
        P sum = 0;
        for_runs(op, op.offsets[c], [&](std::size_t offset) {
            if (op.gradient)
                for (std::size_t i = 0; i < op.run; ++i)
                    sum += table[offset + i] * back_[offset + i];
            for (std::size_t i = 0; i < op.run; ++i)
                back_[offset + i] *= by;
        });
        if (op.gradient)
            making_.slopes(op.numbers)[c] += sum;
    }
}

/// The share of each value, and the table before the digit was summed out.
template <class P>
void Frontier<P>::unclose(const Operation& op) {
    const P* after = making_.numbers(op.numbers);
    const P* from = at(op.from);
    const std::size_t block = op.stride * op.values;
    P* share = share_.data() + plan_.share_at[op.var];
    P most = 0;
    for (std::size_t a = 0; a < op.values; ++a) {
        const P by = after ? after[a] : P(1);
        P sum = 0;
        for (std::size_t outer = 0; outer < op.size / block; ++outer) {
            const P* f = from + outer * block + a * op.stride;
            const P* b = back_.data() + outer * op.stride;
            P* into = other_.data() + outer * block + a * op.stride;
            for (std::size_t s = 0; s < op.stride; ++s) {
                sum += f[s] * b[s];
                into[s] = by * b[s];
                most = larger(most, into[s]);
            }
        }
        share[a] = by * sum;
        if (op.gradient)
            making_.slopes(op.numbers)[a] += sum;
    }
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
