// Highway includes this file once for each set of instructions.
#undef HWY_TARGET_INCLUDE
// NOLINTNEXTLINE(cppcoreguidelines-macro-usage): asked for by Highway
#define HWY_TARGET_INCLUDE "beliefs/steps.cpp"
#include "beliefs/steps.hpp"

#include "beliefs/gather.hpp"
#include "beliefs/join_rows.hpp"

// Nothing here needs these two, and a processor is asked for fewer things without them.
// NOLINTBEGIN(cppcoreguidelines-macro-usage)
#ifndef HWY_DISABLE_F16C
#define HWY_DISABLE_F16C
#endif
#ifndef HWY_DISABLE_PCLMUL_AES
#define HWY_DISABLE_PCLMUL_AES
#endif
// NOLINTEND(cppcoreguidelines-macro-usage)
#include <hwy/foreach_target.h>  // IWYU pragma: keep
#include <hwy/highway.h>
// Behind the others: it is compiled for each set of instructions.
#include <hwy/contrib/math/math-inl.h>

#include <algorithm>
#include <cstddef>
#include <cstring>
#include <type_traits>
#include <vector>

HWY_BEFORE_NAMESPACE();
// NOLINTNEXTLINE(modernize-concat-nested-namespaces): the inner one is a macro
namespace knockwell {
namespace HWY_NAMESPACE {

// What these call must be inlined, so that it is compiled for the same instructions.

template <class P>
HWY_INLINE bool all_are(const P& x, double number) {
    bool all = true;
    for (std::size_t l = 0; l < lanes_of<P>; ++l)
        all = all && lane(x, l) == number;
    return all;
}

template <class P>
HWY_INLINE bool changes_nothing(const P* row, std::uint32_t values) {
    if (!all_are(row[0], 1))
        return false;
    for (std::uint32_t a = 1; a < values; ++a)
        if (!all_are(row[a], 0))
            return false;
    return true;
}

/// Calls act(offset) for every stretch of neighbouring entries in which the fixed digits are 0.
template <class Act>
HWY_INLINE void for_runs(const Plan& plan, const Operation& op, std::size_t base, Act act) {
    const Gap* gaps = plan.gaps.data() + op.gaps.first;
    switch (op.gaps.count) {
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
    std::vector<std::size_t> at(op.gaps.count, 0);
    for (std::size_t g = 0; g < at.size();) {
        act(base);
        for (g = 0; g < at.size(); ++g) {
            base += gaps[g].stride;
            if (++at[g] < gaps[g].count)
                break;
            base -= gaps[g].stride * gaps[g].count;
            at[g] = 0;
        }
    }
}

/// Whether eight neighbours hold a digit of two values whole; then act(LowDigit<stride>()).
template <class Act>
HWY_INLINE bool with_low_digit(std::size_t stride, Act act) {
    switch (stride) {
    case 1:
        act(LowDigit<1>());
        return true;
    case 2:
        act(LowDigit<2>());
        return true;
    case 4:
        act(LowDigit<4>());
        return true;
    default:
        return false;
    }
}

/// Whether a table is gone through by eight neighbours where a digit with this stride, of two
/// values, is one of them.
HWY_INLINE bool goes_by_eight(std::size_t stride, std::uint32_t values, std::size_t size) {
    return values == 2 && is_low(stride) && size % Pack::lanes == 0;
}

/// Whether a digit has two values, each for stretches of whole chunks.
template <class P>
HWY_INLINE bool goes_by_chunks(const Operation& op) {
    return op.values == 2 && op.stride % a_chunk<P> == 0;
}

template <class P>
void open(const Operation& op, const P* start, const P* from, P* to) {
    if (goes_by_chunks<P>(op)) {
        const Pack zero(start[0]);
        const Pack one(start[1]);
        for (std::size_t s = 0; s < op.stride; s += a_chunk<P>) {
            const Pack entry = chunk(from + s);
            put_chunk(to + s, zero * entry);
            put_chunk(to + op.stride + s, one * entry);
        }
        return;
    }
    for (std::size_t a = op.values; a-- > 0;) {
        const P by = start[a];
        P* into = to + a * op.stride;
        for (std::size_t s = 0; s < op.stride; ++s)
            into[s] = from[s] * by;
    }
}

template <class P>
HWY_INLINE void link_bit(const Plan& plan, const Operation& op, const P* row, std::size_t base,
                         const P* from, P* to) {
    const P stays = row[0];
    const P moves = row[1];
    const P both = row[0] + row[1];
    for_runs(plan, op, base, [&](std::size_t offset) HWY_ATTR {
        const P* low = from + offset;
        const P* high = low + op.stride;
        P* into_low = to + offset;
        P* into_high = into_low + op.stride;
        for (std::size_t i = 0; i < op.run; ++i) {
            const P was_low = low[i];
            into_high[i] = both * high[i] + moves * was_low;
            into_low[i] = stays * was_low;
        }
    });
}

/// Entries that a link or a weight leaves as they are, `values` blocks of them.
template <class P>
HWY_INLINE void carry_over(const Plan& plan, const Operation& op, std::size_t base,
                           std::size_t values, const P* from, P* to) {
    if (from == to)
        return;
    for_runs(plan, op, base, [&](std::size_t offset) HWY_ATTR {
        for (std::size_t a = 0; a < values; ++a) {
            const P* entry = from + offset + a * op.stride;
            P* into = to + offset + a * op.stride;
            for (std::size_t i = 0; i < op.run; ++i)
                into[i] = entry[i];
        }
    });
}

template <class P>
HWY_INLINE void link_rows(const Plan& plan, const Operation& op, const P* rows, const P* from,
                          P* to, P* scratch) {
    const std::size_t* offsets = plan.offsets.data() + op.offsets.first;
    for (std::size_t c = 0; c < op.offsets.count; ++c) {
        const P* row = rows + c * op.values;
        if (changes_nothing(row, op.values)) {
            carry_over(plan, op, offsets[c], op.values, from, to);
            continue;
        }
        if (op.values == 2) {
            link_bit(plan, op, row, offsets[c], from, to);
            continue;
        }
        for_runs(plan, op, offsets[c], [&](std::size_t offset) HWY_ATTR {
            P* old = scratch;
            P* joined = old + op.values;
            P* room = joined + op.values;
            for (std::size_t i = 0; i < op.run; ++i) {
                for (std::uint32_t a = 0; a < op.values; ++a)
                    old[a] = from[offset + i + a * op.stride];
                join_into(joined, old, row, op.values, op.join, room);
                for (std::uint32_t a = 0; a < op.values; ++a)
                    to[offset + i + a * op.stride] = joined[a];
            }
        });
    }
}

/// A link from one digit of two values to another, of which one or both are among eight neighbours:
/// both its rows at once.
struct LowLink {
    std::size_t source = 0, target = 0;  // strides
    std::size_t size = 0;
    const double* rows = nullptr;
    bool is = false;  // else it is another kind of link
};

HWY_INLINE LowLink low_link(const Plan& plan, const Operation& op, const double* rows) {
    LowLink it;
    if (op.values != 2 || op.offsets.count != 2 || op.size % Pack::lanes != 0)
        return it;
    it = {plan.offsets[op.offsets.first + 1], op.stride, op.size, rows, false};
    const auto fits = [](std::size_t s) { return is_low(s) || s % Pack::lanes == 0; };
    it.is = fits(it.source) && fits(it.target) && (is_low(it.source) || is_low(it.target));
    return it;
}

/// Calls act(first, end, stays, moves) for stretches of the table with their rows; without those
/// that change nothing where the table stays in its place.
template <class Act>
HWY_INLINE void for_low_rows(const LowLink& it, bool in_place, Act act) {
    const double* rows = it.rows;
    if (is_low(it.source)) {
        act(std::size_t{0}, it.size, by_digit(it.source, rows[0], rows[2]),
            by_digit(it.source, rows[1], rows[3]));
        return;
    }
    for (std::size_t first = 0; first < it.size; first += it.source) {
        const double* row = rows + (first / it.source) % 2 * 2;
        if (!in_place || row[0] != 1 || row[1] != 0)
            act(first, first + it.source, Pack(row[0]), Pack(row[1]));
    }
}

/// Entries whose target is among their neighbours: each keeps some, and gets some of the other.
HWY_INLINE void turn_eight(std::size_t target, std::size_t first, std::size_t end,
                           const Pack& keeps, const Pack& gets, const double* from, double* to) {
    with_low_digit(target, [&]<class Low>(Low) HWY_ATTR {
        for (std::size_t i = first; i < end; i += Pack::lanes) {
            const Pack entry = eight(from + i);
            put_eight(to + i, keeps * entry + gets * Low::swapped(entry));
        }
    });
}

/// Calls act(place of eight with the target at 0, its place at 1).
template <class Act>
HWY_INLINE void for_eights(const LowLink& it, Act act) {
    for (std::size_t outer = 0; outer < it.size; outer += 2 * it.target)
        for (std::size_t i = outer; i < outer + it.target; i += Pack::lanes)
            act(i, i + it.target);
}

HWY_INLINE void link_low(const LowLink& it, const double* from, double* to) {
    for_low_rows(it, from == to,
                 [&](std::size_t first, std::size_t end, const Pack& stays, const Pack& moves)
                     HWY_ATTR {
                         const Pack both = stays + moves;
                         if (is_low(it.target)) {
                             turn_eight(it.target, first, end, by_digit(it.target, stays, both),
                                        by_digit(it.target, 0, moves), from, to);
                             return;
                         }
                         for_eights(it, [&](std::size_t low, std::size_t high) HWY_ATTR {
                             const Pack was_low = eight(from + low);
                             put_eight(to + high, both * eight(from + high) + moves * was_low);
                             put_eight(to + low, stays * was_low);
                         });
                     });
}

HWY_INLINE void unlink_low(const LowLink& it, double* back) {
    for_low_rows(it, true,
                 [&](std::size_t first, std::size_t end, const Pack& stays, const Pack& moves)
                     HWY_ATTR {
                         const Pack both = stays + moves;
                         if (is_low(it.target)) {
                             turn_eight(it.target, first, end, by_digit(it.target, stays, both),
                                        by_digit(it.target, moves, 0), back, back);
                             return;
                         }
                         for_eights(it, [&](std::size_t low, std::size_t high) HWY_ATTR {
                             const Pack was_high = eight(back + high);
                             put_eight(back + low, stays * eight(back + low) + moves * was_high);
                             put_eight(back + high, both * was_high);
                         });
                     });
}

template <class P>
void link(const Plan& plan, const Operation& op, const P* rows, const P* from, P* to, P* scratch) {
    if constexpr (std::is_same_v<P, double>) {
        if (const LowLink low = low_link(plan, op, rows); low.is) {
            link_low(low, from, to);
            return;
        }
    }
    link_rows(plan, op, rows, from, to, scratch);
}

template <class P>
void weigh(const Plan& plan, const Operation& op, const P* weights, const P* from, P* to) {
    const std::size_t* offsets = plan.offsets.data() + op.offsets.first;
    for (std::size_t c = 0; c < op.offsets.count; ++c) {
        const P by = weights[c];
        if (all_are(by, 1)) {
            carry_over(plan, op, offsets[c], 1, from, to);
            continue;
        }
        for_runs(plan, op, offsets[c], [&](std::size_t offset) HWY_ATTR {
            for (std::size_t i = 0; i < op.run; ++i)
                to[offset + i] = from[offset + i] * by;
        });
    }
}

template <class P>
void close_digit(const Operation& op, const P* after, const P* from, P* to, P* most) {
    const std::size_t block = op.stride * op.values;
    Largest<P> largest;
    for (std::size_t outer = 0; outer < op.size / block; ++outer) {
        P* into = to + outer * op.stride;
        for (std::size_t a = 0; a < op.values; ++a) {
            const P* entry = from + outer * block + a * op.stride;
            const P by = after[a];
            if (a == 0)
                for (std::size_t s = 0; s < op.stride; ++s)
                    into[s] = by * entry[s];
            else
                for (std::size_t s = 0; s < op.stride; ++s)
                    into[s] += by * entry[s];
        }
        largest.take(into, op.stride);
    }
    *most = largest.largest();
}

template <class P>
HWY_INLINE void close_bit(const Operation& op, const P* after, const P* from, P* to, P* most) {
    const Pack zero(after[0]);
    const Pack one(after[1]);
    Pack largest = 0;
    for (std::size_t outer = 0; outer < op.size; outer += 2 * op.stride) {
        const P* low = from + outer;
        P* into = to + outer / 2;
        for (std::size_t s = 0; s < op.stride; s += a_chunk<P>) {
            const Pack sum = zero * chunk(low + s) + one * chunk(low + op.stride + s);
            put_chunk(into + s, sum);
            largest = larger(largest, sum);
        }
    }
    settle_largest(largest, *most);
}

HWY_INLINE void close_among_eight(const Operation& op, const double* after, const double* from,
                                  double* to, double* most) {
    with_low_digit(op.stride, [&]<class Low>(Low) HWY_ATTR {
        const Pack by = by_digit(op.stride, after[0], after[1]);
        Pack largest = 0;
        for (std::size_t i = 0; i < op.size; i += Pack::lanes) {
            const Pack four = Low::summed(by * eight(from + i));
            largest = larger(largest, four);
            std::memcpy(to + i / 2, &four, Low::half * sizeof(double));
        }
        settle_largest(largest, *most);
    });
}

template <class P>
void close(const Operation& op, const P* after, const P* from, P* to, P* most) {
    if (goes_by_chunks<P>(op)) {
        close_bit(op, after, from, to, most);
        return;
    }
    if constexpr (std::is_same_v<P, double>) {
        if (goes_by_eight(op.stride, op.values, op.size)) {
            close_among_eight(op, after, from, to, most);
            return;
        }
    }
    close_digit(op, after, from, to, most);
}

template <class P>
void unopen(const Operation& op, const P* start, const P* from, P* back, P* slope) {
    if (slope)
        for (std::size_t a = 0; a < op.values; ++a) {
            Products<P> sum;
            sum.add(from, back + a * op.stride, op.stride);
            slope[a] += sum.sum();
        }
    if (goes_by_chunks<P>(op)) {
        const Pack zero(start[0]);
        const Pack one(start[1]);
        for (std::size_t s = 0; s < op.stride; s += a_chunk<P>)
            put_chunk(back + s, zero * chunk(back + s) + one * chunk(back + op.stride + s));
        return;
    }
    for (std::size_t a = 0; a < op.values; ++a) {
        const P by = start[a];
        const P* entry = back + a * op.stride;
        for (std::size_t s = 0; s < op.stride; ++s)
            back[s] = a == 0 ? by * entry[s] : back[s] + by * entry[s];
    }
}

/// What the rows of a link between bits count, from the tables before it and behind it.
template <class P>
HWY_INLINE void slope_of_bit(const Plan& plan, const Operation& op, std::size_t base,
                             const P* table, const P* back, P* slope) {
    Products<P> low_low;
    Products<P> low_high;
    Products<P> high_high;
    for_runs(plan, op, base, [&](std::size_t offset) HWY_ATTR {
        const P* low = back + offset;
        const P* high = low + op.stride;
        low_low.add(table + offset, low, op.run);
        low_high.add(table + offset, high, op.run);
        high_high.add(table + offset + op.stride, high, op.run);
    });
    slope[0] += low_low.sum() + high_high.sum();
    slope[1] += low_high.sum() + high_high.sum();
}

template <class P>
HWY_INLINE void unlink_bit(const Plan& plan, const Operation& op, const P* row, std::size_t base,
                           P* back) {
    const P stays = row[0];
    const P moves = row[1];
    const P both = row[0] + row[1];
    for_runs(plan, op, base, [&](std::size_t offset) HWY_ATTR {
        P* low = back + offset;
        P* high = low + op.stride;
        for (std::size_t i = 0; i < op.run; ++i) {
            low[i] = stays * low[i] + moves * high[i];
            high[i] *= both;
        }
    });
}

template <class P>
HWY_INLINE void unlink_rows(const Plan& plan, const Operation& op, const P* rows, const P* table,
                            P* back, P* scratch, P* slopes) {
    P* old = scratch;
    P* by = old + op.values;
    P* room = by + op.values;
    const std::size_t* offsets = plan.offsets.data() + op.offsets.first;
    for (std::size_t c = 0; c < op.offsets.count; ++c) {
        const P* row = rows + c * op.values;
        P* slope = slopes ? slopes + c * op.values : nullptr;
        if (!slope && changes_nothing(row, op.values))
            continue;
        if (op.values == 2) {
            if (slope)
                slope_of_bit(plan, op, offsets[c], table, back, slope);
            unlink_bit(plan, op, row, offsets[c], back);
            continue;
        }
        for_runs(plan, op, offsets[c], [&](std::size_t offset) HWY_ATTR {
            for (std::size_t i = 0; i < op.run; ++i) {
                for (std::uint32_t a = 0; a < op.values; ++a)
                    by[a] = back[offset + i + a * op.stride];
                if (slope) {
                    for (std::uint32_t a = 0; a < op.values; ++a)
                        old[a] = table[offset + i + a * op.stride];
                    slope_of_join(slope, old, by, op.values, op.join, room);
                }
                for (std::uint32_t a = 0; a < op.values; ++a)
                    old[a] = P(0);
                slope_of_join(old, row, by, op.values, op.join, room);
                for (std::uint32_t a = 0; a < op.values; ++a)
                    back[offset + i + a * op.stride] = old[a];
            }
        });
    }
}

template <class P>
void unlink(const Plan& plan, const Operation& op, const P* rows, const P* table, P* back,
            P* scratch, P* slopes) {
    if constexpr (std::is_same_v<P, double>) {
        if (const LowLink low = low_link(plan, op, rows); low.is && !slopes) {
            unlink_low(low, back);
            return;
        }
    }
    unlink_rows(plan, op, rows, table, back, scratch, slopes);
}

template <class P>
void unweigh(const Plan& plan, const Operation& op, const P* weights, const P* table, P* back,
             P* slope) {
    const std::size_t* offsets = plan.offsets.data() + op.offsets.first;
    for (std::size_t c = 0; c < op.offsets.count; ++c) {
        const P by = weights[c];
        if (!slope && all_are(by, 1))
            continue;
        Products<P> sum;
        for_runs(plan, op, offsets[c], [&](std::size_t offset) HWY_ATTR {
            if (slope)
                sum.add(table + offset, back + offset, op.run);
            for (std::size_t i = 0; i < op.run; ++i)
                back[offset + i] *= by;
        });
        if (slope)
            slope[c] += sum.sum();
    }
}

template <class P>
void unclose_digit(const Operation& op, const P* after, const P* from, const P* back, P* wider,
                   P* share, P* slope, P* most) {
    const std::size_t block = op.stride * op.values;
    const bool summed = share != nullptr || slope != nullptr;
    Largest<P> largest;
    for (std::size_t a = 0; a < op.values; ++a) {
        const P by = after[a];
        Products<P> products;
        for (std::size_t outer = 0; outer < op.size / block; ++outer) {
            const P* f = from + outer * block + a * op.stride;
            const P* b = back + outer * op.stride;
            P* into = wider + outer * block + a * op.stride;
            if (summed)
                products.add(f, b, op.stride);
            for (std::size_t s = 0; s < op.stride; ++s)
                into[s] = by * b[s];
            largest.take(into, op.stride);
        }
        const P sum = products.sum();
        if (share)
            share[a] = by * sum;
        if (slope)
            slope[a] += sum;
    }
    *most = largest.largest();
}

template <class P>
HWY_INLINE void share_of(const P* after, std::size_t a, const P& sum, P* share, P* slope) {
    if (share)
        share[a] = after[a] * sum;
    if (slope)
        slope[a] += sum;
}

/// Summed: shares or slopes are asked for.
template <bool Summed, class P>
HWY_INLINE void unclose_bit(const Operation& op, const P* after, const P* from, const P* back,
                            P* wider, P* share, P* slope, P* most) {
    const Pack zero(after[0]);
    const Pack one(after[1]);
    Pack largest = 0;
    Pack of_zero = 0;
    Pack of_one = 0;
    for (std::size_t outer = 0; outer < op.size; outer += 2 * op.stride) {
        const P* f = from + outer;
        const P* b = back + outer / 2;
        P* into = wider + outer;
        for (std::size_t s = 0; s < op.stride; s += a_chunk<P>) {
            const Pack by = chunk(b + s);
            if (Summed) {
                of_zero += chunk(f + s) * by;
                of_one += chunk(f + op.stride + s) * by;
            }
            put_chunk(into + s, zero * by);
            put_chunk(into + op.stride + s, one * by);
            largest = larger(largest, by);
        }
    }
    // Of products with one number the largest is that of the largest.
    settle_largest(larger(zero * largest, one * largest), *most);
    if (!Summed)
        return;
    P sum;
    settle_sum(of_zero, sum);
    share_of(after, 0, sum, share, slope);
    settle_sum(of_one, sum);
    share_of(after, 1, sum, share, slope);
}

HWY_INLINE void unclose_among_eight(const Operation& op, const double* after, const double* from,
                                    const double* back, double* wider, double* share, double* slope,
                                    double* most) {
    Pack products = 0;
    with_low_digit(op.stride, [&]<class Low>(Low) HWY_ATTR {
        const Pack by = by_digit(op.stride, after[0], after[1]);
        Pack largest = 0;
        for (std::size_t i = 0; i < op.size; i += Pack::lanes) {
            const Pack b = Low::wide(back + i / 2);
            products += eight(from + i) * b;
            const Pack into = by * b;
            largest = larger(largest, into);
            put_eight(wider + i, into);
        }
        settle_largest(largest, *most);
    });
    share_of(after, 0, sum_of_lanes(products * by_digit(op.stride, 1, 0)), share, slope);
    share_of(after, 1, sum_of_lanes(products * by_digit(op.stride, 0, 1)), share, slope);
}

template <class P>
void unclose(const Operation& op, const P* after, const P* from, const P* back, P* wider, P* share,
             P* slope, P* most) {
    if (goes_by_chunks<P>(op)) {
        if (share || slope)
            unclose_bit<true>(op, after, from, back, wider, share, slope, most);
        else
            unclose_bit<false>(op, after, from, back, wider, share, slope, most);
        return;
    }
    if constexpr (std::is_same_v<P, double>) {
        if (goes_by_eight(op.stride, op.values, op.size)) {
            unclose_among_eight(op, after, from, back, wider, share, slope, most);
            return;
        }
    }
    unclose_digit(op, after, from, back, wider, share, slope, most);
}

/// Calls act(offset here, offset after, offset there) for every combination of what is complete in
/// both tables and of the other's own digits.
template <class Act>
HWY_INLINE void for_meetings(const Plan& plan, const Operation& op, const Meeting& meeting,
                             Act act) {
    const std::size_t* here = plan.offsets.data() + op.offsets.first;
    const std::size_t* shared = plan.offsets.data() + meeting.shared.first;
    const std::size_t* fresh = plan.offsets.data() + meeting.fresh.first;
    for (std::size_t n = 0; n < meeting.fresh.count; ++n)
        for (std::size_t s = 0; s < meeting.shared.count; ++s)
            act(here[s], n * op.size, fresh[n] + shared[s]);
}

/// The chances of each pair: that the other table, at `there`, adds what takes `from` to `to`, for
/// each value of its last digit. One digit after the other, but for the last, turns from what the
/// other has into what this one can become.
template <class P>
HWY_INLINE void weigh_pairs(const Plan& plan, const Meeting& meeting, const P* there, P* chances,
                            P* room) {
    const std::size_t* grows = plan.offsets.data() + meeting.grows.first;
    const std::size_t* bases = plan.offsets.data() + meeting.bases.first;
    const std::size_t turning = meeting.bases.count - 1;
    P* from = turning % 2 == 0 ? chances : room;
    P* to = from == chances ? room : chances;
    for (std::size_t i = 0; i < meeting.grows.count; ++i)
        from[i] = there[grows[i]];
    std::size_t outer = 1;
    std::size_t inner = meeting.grows.count;
    for (std::size_t d = 0; d < turning; ++d) {
        const std::size_t base = bases[d];
        inner /= base;
        P* out = to;
        for (std::size_t o = 0; o < outer; ++o) {
            const P* in = from + o * base * inner;
            for (std::size_t a = 0; a < base; ++a) {
                for (std::size_t i = 0; i < inner; ++i) {
                    P sum = in[i];
                    for (std::size_t b = 1; b <= a; ++b)
                        sum += in[b * inner + i];
                    out[i] = sum;
                }
                out += inner;
                for (std::size_t i = (a + 1) * inner; i < base * inner; ++i)
                    *out++ = in[i];
            }
        }
        outer *= base * (base + 1) / 2;
        std::swap(from, to);
    }
}

/// The other way: what every chance counts -> what every combination of the other table counts.
/// Uses `counts` up.
template <class P>
HWY_INLINE void unweigh_pairs(const Plan& plan, const Meeting& meeting, P* counts, P* there,
                              P* room) {
    const std::size_t* grows = plan.offsets.data() + meeting.grows.first;
    const std::size_t* bases = plan.offsets.data() + meeting.bases.first;
    P* from = counts;
    P* to = room;
    std::size_t outer = meeting.pairs.count;
    std::size_t inner = meeting.base;
    for (std::size_t d = meeting.bases.count - 1; d-- > 0;) {
        const std::size_t base = bases[d];
        outer /= base * (base + 1) / 2;
        const P* in = from;
        for (std::size_t o = 0; o < outer; ++o) {
            P* out = to + o * base * inner;
            for (std::size_t i = 0; i < base * inner; ++i)
                out[i] = P(0);
            for (std::size_t a = 0; a < base; ++a) {
                for (std::size_t i = 0; i < inner; ++i)
                    for (std::size_t b = 0; b <= a; ++b)
                        out[b * inner + i] += in[i];
                in += inner;
                for (std::size_t i = (a + 1) * inner; i < base * inner; ++i)
                    out[i] += *in++;
            }
        }
        inner *= base;
        std::swap(from, to);
    }
    for (std::size_t i = 0; i < meeting.grows.count; ++i)
        there[grows[i]] = from[i];
}

// The last digit of what grows in both tables has two values most often, or three. Where it is at
// a in this one, it is at a after the meeting if the other has it at a or below, and above a where
// the other has it there.

/// Adds what one pair makes of the entries `from`, `stride` apart.
template <class P>
struct MeetTwo {
    P sum0 = P(0), sum1 = P(0);
    HWY_INLINE void add(const P* from, std::size_t stride, const P* chance) {
        const P entry0 = from[0];
        const P entry1 = from[stride];
        sum0 += entry0 * chance[0];
        sum1 += entry0 * chance[1] + entry1 * (chance[0] + chance[1]);
    }
    HWY_INLINE void put(P* into, std::size_t stride) const {
        into[0] = sum0;
        into[stride] = sum1;
    }
};

template <class P>
struct MeetThree {
    P sum0 = P(0), sum1 = P(0), sum2 = P(0);
    HWY_INLINE void add(const P* from, std::size_t stride, const P* chance) {
        const P entry0 = from[0];
        const P entry1 = from[stride];
        const P upto1 = chance[0] + chance[1];
        sum0 += entry0 * chance[0];
        sum1 += entry0 * chance[1] + entry1 * upto1;
        sum2 += (entry0 + entry1) * chance[2] + from[2 * stride] * (upto1 + chance[2]);
    }
    HWY_INLINE void put(P* into, std::size_t stride) const {
        into[0] = sum0;
        into[stride] = sum1;
        into[2 * stride] = sum2;
    }
};

/// One entry of what does not grow, with all of what does.
template <class Last, class P>
HWY_INLINE void meet_entry(const Plan& plan, const Meeting& meeting, const P* from,
                           const P* chances, P* into) {
    const MeetPair* pair = plan.pairs.data() + meeting.by_to.first;
    const MeetPair* end = pair + meeting.by_to.count;
    while (pair != end) {
        const std::uint32_t to = pair->to;
        Last last;
        for (; pair != end && pair->to == to; ++pair)
            last.add(from + pair->from, meeting.stride, chances + pair->chance);
        last.put(into + to, meeting.stride);
    }
}

/// The same where the last digit has whatever base.
template <class P>
HWY_INLINE void meet_entry_of_many(const Plan& plan, const Meeting& meeting, const P* from,
                                   const P* chances, P* into) {
    const MeetPair* pairs = plan.pairs.data() + meeting.by_to.first;
    for (std::size_t i = 0; i < meeting.by_to.count; ++i) {
        const MeetPair& pair = pairs[i];
        P* sum = into + pair.to;
        if (i == 0 || pairs[i - 1].to != pair.to)
            for (std::uint32_t to = 0; to < meeting.base; ++to)
                sum[to * meeting.stride] = P(0);
        const P* chance = chances + pair.chance;
        P upto = P(0);
        for (std::uint32_t a = 0; a < meeting.base; ++a) {
            const P entry = from[pair.from + a * meeting.stride];
            upto += chance[a];
            sum[a * meeting.stride] += entry * upto;
            for (std::uint32_t to = a + 1; to < meeting.base; ++to)
                sum[to * meeting.stride] += entry * chance[to];
        }
    }
}

/// act(offset) for every entry of a meeting that starts at `at`.
template <class Act>
HWY_INLINE void for_entries(const Plan& plan, const Operation& op, std::size_t at, Act act) {
    for_runs(plan, op, at, [&](std::size_t offset) HWY_ATTR {
        for (std::size_t i = 0; i < op.run; ++i)
            act(offset + i);
    });
}

template <class P>
void meet(const Plan& plan, const Operation& op, const P* here, const P* other, P* to, P* scratch) {
    const Meeting& meeting = plan.meetings[op.numbers];
    P* room = scratch + meeting.chances;
    for_meetings(
        plan, op, meeting, [&](std::size_t at, std::size_t after, std::size_t there) HWY_ATTR {
            if (meeting.base == 1) {
                const P by = other[there];
                for_runs(plan, op, at, [&](std::size_t offset) HWY_ATTR {
                    const P* from = here + offset;
                    P* into = to + after + offset;
                    for (std::size_t i = 0; i < op.run; ++i)
                        into[i] = from[i] * by;
                });
                return;
            }
            weigh_pairs(plan, meeting, other + there, scratch, room);
            P* into = to + after;
            if (meeting.base == 2)
                for_entries(plan, op, at, [&](std::size_t offset) HWY_ATTR {
                    meet_entry<MeetTwo<P>>(plan, meeting, here + offset, scratch, into + offset);
                });
            else if (meeting.base == 3)
                for_entries(plan, op, at, [&](std::size_t offset) HWY_ATTR {
                    meet_entry<MeetThree<P>>(plan, meeting, here + offset, scratch, into + offset);
                });
            else
                for_entries(plan, op, at, [&](std::size_t offset) HWY_ATTR {
                    meet_entry_of_many(plan, meeting, here + offset, scratch, into + offset);
                });
        });
}

/// The first number is written, others are added.
template <bool First, class P>
HWY_INLINE void put_or_add(P& into, const P& number) {
    if (First)
        into = number;
    else
        into += number;
}

/// Takes the slopes of one pair, `stride` apart, to those by the entries and by its chances.
template <class P>
struct UnmeetTwo {
    P entry0, entry1;
    P sum0 = P(0), sum1 = P(0);
    HWY_INLINE UnmeetTwo(const P* from, std::size_t stride)
        : entry0(from[0]), entry1(from[stride]) {}
    template <bool First>
    HWY_INLINE void add(const P* slope, std::size_t stride, const P* chance, P* both) {
        const P by0 = slope[0];
        const P by1 = slope[stride];
        sum0 += by0 * chance[0] + by1 * chance[1];
        sum1 += by1 * (chance[0] + chance[1]);
        put_or_add<First>(both[0], by0 * entry0 + by1 * entry1);
        put_or_add<First>(both[1], by1 * (entry0 + entry1));
    }
    HWY_INLINE void put(P* into, std::size_t stride, bool add) const {
        into[0] = add ? into[0] + sum0 : sum0;
        into[stride] = add ? into[stride] + sum1 : sum1;
    }
};

template <class P>
struct UnmeetThree {
    P entry0, entry1, entry2;
    P sum0 = P(0), sum1 = P(0), sum2 = P(0);
    HWY_INLINE UnmeetThree(const P* from, std::size_t stride)
        : entry0(from[0]), entry1(from[stride]), entry2(from[2 * stride]) {}
    template <bool First>
    HWY_INLINE void add(const P* slope, std::size_t stride, const P* chance, P* both) {
        const P by0 = slope[0];
        const P by1 = slope[stride];
        const P by2 = slope[2 * stride];
        const P upto1 = chance[0] + chance[1];
        const P over = by2 * chance[2];
        sum0 += by0 * chance[0] + by1 * chance[1] + over;
        sum1 += by1 * upto1 + over;
        sum2 += by2 * (upto1 + chance[2]);
        const P entries = entry0 + entry1;
        const P top = by2 * entry2;
        put_or_add<First>(both[0], by0 * entry0 + by1 * entry1 + top);
        put_or_add<First>(both[1], by1 * entries + top);
        put_or_add<First>(both[2], by2 * (entries + entry2));
    }
    HWY_INLINE void put(P* into, std::size_t stride, bool add) const {
        into[0] = add ? into[0] + sum0 : sum0;
        into[stride] = add ? into[stride] + sum1 : sum1;
        into[2 * stride] = add ? into[2 * stride] + sum2 : sum2;
    }
};

/// As meet_entry; `both`: [chance] sum of entry times slope, of which this is the First. `add`: to
/// what stands in `into`.
template <class Last, bool First, class P>
HWY_INLINE void unmeet_entry(const Plan& plan, const Meeting& meeting, const P* from,
                             const P* slope, const P* chances, P* into, P* both, bool add) {
    const MeetPair* pair = plan.pairs.data() + meeting.pairs.first;
    const MeetPair* end = pair + meeting.pairs.count;
    while (pair != end) {
        const std::uint32_t at = pair->from;
        Last last(from + at, meeting.stride);
        for (; pair != end && pair->from == at; ++pair)
            last.template add<First>(slope + pair->to, meeting.stride, chances + pair->chance,
                                     both + pair->chance);
        last.put(into + at, meeting.stride, add);
    }
}

template <class P>
HWY_INLINE void unmeet_entry_of_many(const Plan& plan, const Meeting& meeting, const P* from,
                                     const P* slope, const P* chances, P* into, P* both, bool add) {
    const MeetPair* const begin = plan.pairs.data() + meeting.pairs.first;
    const MeetPair* const end = begin + meeting.pairs.count;
    for (const MeetPair* pair = begin; pair != end; ++pair) {
        if (!add && (pair == begin || pair[-1].from != pair->from))
            for (std::uint32_t a = 0; a < meeting.base; ++a)
                into[pair->from + a * meeting.stride] = P(0);
        const P* chance = chances + pair->chance;
        P* count = both + pair->chance;
        P upto = P(0);
        for (std::uint32_t a = 0; a < meeting.base; ++a) {
            const std::size_t source = pair->from + a * meeting.stride;
            const P own = slope[pair->to + a * meeting.stride];
            const P entry = from[source];
            upto += chance[a];
            P sum = own * upto;
            for (std::uint32_t to = 0; to <= a; ++to)
                count[to] += own * entry;
            for (std::uint32_t to = a + 1; to < meeting.base; ++to) {
                const P by = slope[pair->to + to * meeting.stride];
                sum += by * chance[to];
                count[to] += by * entry;
            }
            into[source] += sum;
        }
    }
}

/// All entries of a meeting at `at`, where the last digit has whatever base.
template <class P>
HWY_INLINE void unmeet_many(const Plan& plan, const Operation& op, const Meeting& meeting,
                            std::size_t at, const P* from, const P* slope, const P* chances,
                            P* into, P* both, bool add) {
    for (std::size_t i = 0; i < meeting.chances; ++i)
        both[i] = P(0);
    for_entries(plan, op, at, [&](std::size_t offset) HWY_ATTR {
        unmeet_entry_of_many(plan, meeting, from + offset, slope + offset, chances, into + offset,
                             both, add);
    });
}

/// The same where it has the base of Last.
template <class Last, class P>
HWY_INLINE void unmeet_entries(const Plan& plan, const Operation& op, const Meeting& meeting,
                               std::size_t at, const P* from, const P* slope, const P* chances,
                               P* into, P* both, bool add) {
    bool first = true;
    for_entries(plan, op, at, [&](std::size_t offset) HWY_ATTR {
        if (first)
            unmeet_entry<Last, true>(plan, meeting, from + offset, slope + offset, chances,
                                     into + offset, both, add);
        else
            unmeet_entry<Last, false>(plan, meeting, from + offset, slope + offset, chances,
                                      into + offset, both, add);
        first = false;
    });
}

/// Where nothing grows in both: what the other table's entry `by`, with which all were multiplied,
/// counts.
template <class P>
HWY_INLINE P unmultiply(const Plan& plan, const Operation& op, std::size_t at, const P* from,
                        const P* slope, const P& by, P* into, bool add) {
    P count = P(0);
    for_entries(plan, op, at, [&](std::size_t offset) HWY_ATTR {
        into[offset] = add ? into[offset] + slope[offset] * by : slope[offset] * by;
        count += slope[offset] * from[offset];
    });
    return count;
}

template <class P>
void unmeet(const Plan& plan, const Operation& op, const P* here, const P* other, const P* back,
            P* back_here, P* back_other, P* scratch) {
    const Meeting& meeting = plan.meetings[op.numbers];
    P* chances = scratch;
    P* both = chances + meeting.chances;
    P* room = both + meeting.chances;
    for_meetings(
        plan, op, meeting, [&](std::size_t at, std::size_t after, std::size_t there) HWY_ATTR {
            const P* slope = back + after;
            // Every entry here is met once with each combination of the other's own digits.
            const bool add = after != 0;
            if (meeting.base == 1) {
                back_other[there] =
                    unmultiply(plan, op, at, here, slope, other[there], back_here, add);
                return;
            }
            weigh_pairs(plan, meeting, other + there, chances, room);
            if (meeting.base == 2)
                unmeet_entries<UnmeetTwo<P>>(plan, op, meeting, at, here, slope, chances, back_here,
                                             both, add);
            else if (meeting.base == 3)
                unmeet_entries<UnmeetThree<P>>(plan, op, meeting, at, here, slope, chances,
                                               back_here, both, add);
            else
                unmeet_many(plan, op, meeting, at, here, slope, chances, back_here, both, add);
            unweigh_pairs(plan, meeting, both, back_other + there, room);
        });
}

template <class P>
void largest(const P* begin, const P* end, P* most) {
    Largest<P> of;
    of.take(begin, static_cast<std::size_t>(end - begin));
    *most = of.largest();
}

namespace hn = hwy::HWY_NAMESPACE;
using Doubles = hn::ScalableTag<double>;

/// Of chances; 0 outside of 0..1.
HWY_INLINE hn::Vec<Doubles> entropy(hn::Vec<Doubles> x) {
    const Doubles d;
    const auto one = hn::Set(d, 1.0);
    const auto between = hn::And(hn::Gt(x, hn::Zero(d)), hn::Lt(x, one));
    const auto q = hn::Sub(one, x);
    // Outside of 0..1 a number of which there is a logarithm stands in.
    const auto a = hn::Mul(x, hn::Log2(d, hn::IfThenElse(between, x, one)));
    const auto b = hn::Mul(q, hn::Log2(d, hn::IfThenElse(between, q, one)));
    return hn::IfThenElseZero(between, hn::Neg(hn::Add(a, b)));
}

void entropies(double* p, std::size_t count) {
    const Doubles d;
    const std::size_t lanes = hn::Lanes(d);
    std::size_t i = 0;
    for (; i + lanes <= count; i += lanes)
        hn::StoreU(entropy(hn::LoadU(d, p + i)), d, p + i);
    if (i == count)
        return;
    std::array<double, 64> rest{};
    for (std::size_t j = i; j < count; ++j)
        rest[j - i] = p[j];
    hn::StoreU(entropy(hn::LoadU(d, rest.data())), d, rest.data());
    for (std::size_t j = i; j < count; ++j)
        p[j] = rest[j - i];
}

double mixed_entropy(double x, const double* a, double y, const double* b, std::size_t count) {
    const Doubles d;
    const auto by_x = hn::Set(d, x);
    const auto by_y = hn::Set(d, y);
    const std::size_t lanes = hn::Lanes(d);
    auto sum = hn::Zero(d);
    std::size_t i = 0;
    for (; i + lanes <= count; i += lanes)
        sum = hn::Add(sum, entropy(hn::MulAdd(by_x, hn::LoadU(d, a + i),
                                              hn::Mul(by_y, hn::LoadU(d, b + i)))));
    if (i < count) {
        const auto here = hn::FirstN(d, count - i);
        sum = hn::Add(sum, entropy(hn::MulAdd(by_x, hn::MaskedLoad(here, d, a + i),
                                              hn::Mul(by_y, hn::MaskedLoad(here, d, b + i)))));
    }
    return hn::GetLane(hn::SumOfLanes(d, sum));
}

// In making_steps.cpp.
template <class P>
void make(MakingRoom<P>& room);
template <class P>
void unmake(MakingRoom<P>& room, P* shares, const std::uint32_t* share_at);

template <class P>
const Steps<P>* all_of_them() {
    static constexpr Steps<P> steps{open<P>,   link<P>,   weigh<P>,   close<P>,   meet<P>,
                                    unopen<P>, unlink<P>, unweigh<P>, unclose<P>, unmeet<P>,
                                    make<P>,   unmake<P>, largest<P>, entropies,  mixed_entropy};
    return &steps;
}

// NOLINTNEXTLINE(misc-use-internal-linkage): reached through the table below
const Steps<double>* steps_of_one() { return all_of_them<double>(); }
// NOLINTNEXTLINE(misc-use-internal-linkage)
const Steps<Pack>* steps_of_eight() { return all_of_them<Pack>(); }

}  // namespace HWY_NAMESPACE
}  // namespace knockwell
HWY_AFTER_NAMESPACE();

#if HWY_ONCE
namespace knockwell {
namespace {

/// One set of instructions that the steps are compiled for.
struct Compiled {
    const char* instructions = "";
    bool here = false;  // this processor has it
    const Steps<double>* (*of_one)() = nullptr;
    const Steps<Pack>* (*of_eight)() = nullptr;
};

/// Those that this processor has, best first. Highway could choose as well, but its shared library
/// measures the clock whenever a program is started, for some 6 ms; so only its headers are used.
std::vector<Compiled> compiled() {
    std::vector<Compiled> all;
#if HWY_ARCH_X86
    // As in Highway's set_macros-inl.h.
    const bool sse4 = __builtin_cpu_supports("sse4.2") != 0;
    const bool avx2 = sse4 && __builtin_cpu_supports("avx2") != 0 &&
                      __builtin_cpu_supports("fma") != 0 && __builtin_cpu_supports("bmi") != 0 &&
                      __builtin_cpu_supports("bmi2") != 0;
    const bool avx512 =
        avx2 && __builtin_cpu_supports("avx512f") != 0 && __builtin_cpu_supports("avx512vl") != 0 &&
        __builtin_cpu_supports("avx512dq") != 0 && __builtin_cpu_supports("avx512bw") != 0;
    all.push_back({"AVX3", avx512, HWY_CHOOSE_AVX3(steps_of_one), HWY_CHOOSE_AVX3(steps_of_eight)});
    all.push_back({"AVX2", avx2, HWY_CHOOSE_AVX2(steps_of_one), HWY_CHOOSE_AVX2(steps_of_eight)});
    all.push_back({"SSE4", sse4, HWY_CHOOSE_SSE4(steps_of_one), HWY_CHOOSE_SSE4(steps_of_eight)});
#endif
    // What every processor of this kind has.
    all.push_back(
        {"any", true, &HWY_STATIC_DISPATCH(steps_of_one), &HWY_STATIC_DISPATCH(steps_of_eight)});
    all.erase(
        std::remove_if(all.begin(), all.end(),
                       [](const Compiled& one) { return !one.here || one.of_eight == nullptr; }),
        all.end());
    return all;
}

}  // namespace

template <>
const Steps<double>& steps() {
    static const Steps<double>& chosen = *compiled().front().of_one();
    return chosen;
}

template <>
const Steps<Pack>& steps() {
    static const Steps<Pack>& chosen = *compiled().front().of_eight();
    return chosen;
}

std::vector<NamedSteps> all_steps() {
    std::vector<NamedSteps> all;
    for (const Compiled& one : compiled())
        all.push_back({one.instructions, one.of_eight()});
    return all;
}

}  // namespace knockwell
#endif
