// Highway includes this file once for each set of instructions.
#undef HWY_TARGET_INCLUDE
// NOLINTNEXTLINE(cppcoreguidelines-macro-usage): asked for by Highway
#define HWY_TARGET_INCLUDE "beliefs/steps.cpp"
#include "beliefs/steps.hpp"

#include "beliefs/gather.hpp"
#include "beliefs/join_rows.hpp"
#include "beliefs/runs.hpp"

#include <hwy/foreach_target.h>  // IWYU pragma: keep
#include <hwy/highway.h>
// Behind the others: it is compiled for each set of instructions.
#include <hwy/contrib/math/math-inl.h>

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstring>
#include <type_traits>
#include <vector>

HWY_BEFORE_NAMESPACE();
// NOLINTNEXTLINE(modernize-concat-nested-namespaces): the inner one is a macro
namespace knockwell {
namespace HWY_NAMESPACE {

// What these call must be inlined, so that it is compiled for the same instructions.

#if HWY_MAX_BYTES >= 64
/// Eight neighbours as one vector of the machine: half as many instructions as a Pack's two halves.
struct Chunk {
    using Vector [[gnu::vector_size(Pack::lanes * sizeof(double))]] = double;
    Vector v;

    HWY_INLINE explicit Chunk(const Vector& x) : v(x) {}
    HWY_INLINE explicit Chunk(const Pack& x) : v() { std::memcpy(&v, &x, sizeof v); }
    HWY_INLINE explicit Chunk(double x) : v{x, x, x, x, x, x, x, x} {}
    HWY_INLINE Chunk& operator+=(const Chunk& o) {
        v += o.v;
        return *this;
    }
    friend HWY_INLINE Chunk operator+(const Chunk& a, const Chunk& b) { return Chunk(a.v + b.v); }
    friend HWY_INLINE Chunk operator*(const Chunk& a, const Chunk& b) { return Chunk(a.v * b.v); }
};
HWY_INLINE Chunk larger(const Chunk& a, const Chunk& b) { return Chunk(a.v < b.v ? b.v : a.v); }
HWY_INLINE Pack as_pack(const Chunk& of) {
    Pack all;
    std::memcpy(static_cast<void*>(&all), &of.v, sizeof of.v);
    return all;
}
HWY_INLINE Chunk chunk(const void* at) {
    Chunk all(0.0);
    std::memcpy(&all.v, at, sizeof all.v);
    return all;
}
HWY_INLINE void put_chunk(void* at, const Chunk& all) { std::memcpy(at, &all.v, sizeof all.v); }
#else
using Chunk = Pack;
HWY_INLINE Pack as_pack(const Pack& of) { return of; }
HWY_INLINE Pack chunk(const double* at) { return eight(at); }
HWY_INLINE Pack chunk(const Pack* at) { return *at; }
HWY_INLINE void put_chunk(double* at, const Pack& all) { put_eight(at, all); }
HWY_INLINE void put_chunk(Pack* at, const Pack& all) { *at = all; }
#endif

/// What was gathered chunk by chunk, for each entry that goes its own way.
HWY_INLINE void settle_sum(const Chunk& chunks, double& to) { to = sum_of_lanes(as_pack(chunks)); }
HWY_INLINE void settle_sum(const Chunk& chunks, Pack& to) { to = as_pack(chunks); }
HWY_INLINE void settle_largest(const Chunk& chunks, double& to) {
    to = largest_lane(as_pack(chunks));
}
HWY_INLINE void settle_largest(const Chunk& chunks, Pack& to) { to = as_pack(chunks); }

template <class P>
HWY_INLINE bool changes_nothing(const P* row, std::uint32_t values) {
    if (!is_all(row[0], 1))
        return false;
    for (std::uint32_t a = 1; a < values; ++a)
        if (!is_all(row[a], 0))
            return false;
    return true;
}

/// act(LowDigit<stride>()) for a low stride.
template <class Act>
HWY_INLINE void with_low_digit(std::size_t stride, Act act) {
    switch (stride) {
    case 1:
        act(LowDigit<1>());
        break;
    case 2:
        act(LowDigit<2>());
        break;
    case 4:
        act(LowDigit<4>());
        break;
    default:
        break;
    }
}

/// Whether a digit has two values, both among eight neighbours.
HWY_INLINE bool goes_by_eight(const Operation& op) {
    return op.values == 2 && is_low(op.stride) && op.size % Pack::lanes == 0;
}

/// Whether a digit has two values, each for stretches of whole chunks.
template <class P>
HWY_INLINE bool goes_by_chunks(const Operation& op) {
    return op.values == 2 && op.stride % a_chunk<P> == 0;
}

template <class P>
void open(const Operation& op, const P* start, const P* from, P* to) {
    if (goes_by_chunks<P>(op)) {
        const Chunk zero(start[0]);
        const Chunk one(start[1]);
        for (std::size_t s = 0; s < op.stride; s += a_chunk<P>) {
            const Chunk entry = chunk(from + s);
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
    if (op.run % a_chunk<P> == 0) {
        const Chunk stays(row[0]);
        const Chunk moves(row[1]);
        const Chunk both = stays + moves;
        for_runs(plan, op, base, [&](std::size_t offset) HWY_ATTR {
            const P* low = from + offset;
            P* into = to + offset;
            for (std::size_t i = 0; i < op.run; i += a_chunk<P>) {
                const Chunk was_low = chunk(low + i);
                put_chunk(into + op.stride + i,
                          both * chunk(low + op.stride + i) + moves * was_low);
                put_chunk(into + i, stays * was_low);
            }
        });
        return;
    }
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
        if (is_all(by, 1)) {
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
    const Chunk zero(after[0]);
    const Chunk one(after[1]);
    Chunk largest(0.0);
    for (std::size_t outer = 0; outer < op.size; outer += 2 * op.stride) {
        const P* low = from + outer;
        P* into = to + outer / 2;
        for (std::size_t s = 0; s < op.stride; s += a_chunk<P>) {
            const Chunk sum = zero * chunk(low + s) + one * chunk(low + op.stride + s);
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
        Pack::Half largest{};
        for (std::size_t i = 0; i < op.size; i += Pack::lanes) {
            const Pack::Half sum = Low::summed(by * eight(from + i));
            largest = largest < sum ? sum : largest;
            put_four(to + i / 2, sum);
        }
        *most = largest_lane({largest, largest});
    });
}

template <class P>
void close(const Operation& op, const P* after, const P* from, P* to, P* most) {
    if (goes_by_chunks<P>(op)) {
        close_bit(op, after, from, to, most);
        return;
    }
    if constexpr (std::is_same_v<P, double>) {
        if (goes_by_eight(op)) {
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
        const Chunk zero(start[0]);
        const Chunk one(start[1]);
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
    if (op.run % a_chunk<P> == 0) {
        const Chunk stays(row[0]);
        const Chunk moves(row[1]);
        const Chunk both = stays + moves;
        for_runs(plan, op, base, [&](std::size_t offset) HWY_ATTR {
            P* low = back + offset;
            P* high = low + op.stride;
            for (std::size_t i = 0; i < op.run; i += a_chunk<P>) {
                const Chunk was_high = chunk(high + i);
                put_chunk(low + i, stays * chunk(low + i) + moves * was_high);
                put_chunk(high + i, both * was_high);
            }
        });
        return;
    }
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
        if (!slope && is_all(by, 1))
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
    const Chunk zero(after[0]);
    const Chunk one(after[1]);
    Chunk largest(0.0);
    Chunk of_zero(0.0);
    Chunk of_one(0.0);
    for (std::size_t outer = 0; outer < op.size; outer += 2 * op.stride) {
        const P* f = from + outer;
        const P* b = back + outer / 2;
        P* into = wider + outer;
        for (std::size_t s = 0; s < op.stride; s += a_chunk<P>) {
            const Chunk by = chunk(b + s);
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
    P sum = 0;
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
            const Pack b = Low::wide(four(back + i / 2));
            products += eight(from + i) * b;
            const Pack into = by * b;
            largest = larger(largest, into);
            put_eight(wider + i, into);
        }
        *most = largest_lane(largest);
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
        if (goes_by_eight(op)) {
            unclose_among_eight(op, after, from, back, wider, share, slope, most);
            return;
        }
    }
    unclose_digit(op, after, from, back, wider, share, slope, most);
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

// In meeting_steps.cpp and making_steps.cpp.
template <class P>
void meet(const Plan& plan, const Operation& op, const P* here, const P* other, P* to, P* scratch);
template <class P>
void unmeet(const Plan& plan, const Operation& op, const P* here, const P* other, const P* back,
            P* back_here, P* back_other, P* scratch);
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
