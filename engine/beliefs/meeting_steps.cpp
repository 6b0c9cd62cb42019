// Highway includes this file once for each set of instructions.
#undef HWY_TARGET_INCLUDE
// NOLINTNEXTLINE(cppcoreguidelines-macro-usage): asked for by Highway
#define HWY_TARGET_INCLUDE "beliefs/meeting_steps.cpp"
#include "beliefs/runs.hpp"

#include <hwy/foreach_target.h>  // IWYU pragma: keep
#include <hwy/highway.h>

#include <cstddef>
#include <utility>

HWY_BEFORE_NAMESPACE();
// NOLINTNEXTLINE(modernize-concat-nested-namespaces): the inner one is a macro
namespace knockwell {
namespace HWY_NAMESPACE {

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

// For steps.cpp, which chooses among the sets.
template void meet(const Plan&, const Operation&, const double*, const double*, double*, double*);
template void meet(const Plan&, const Operation&, const Pack*, const Pack*, Pack*, Pack*);
template void unmeet(const Plan&, const Operation&, const double*, const double*, const double*,
                     double*, double*, double*);
template void unmeet(const Plan&, const Operation&, const Pack*, const Pack*, const Pack*, Pack*,
                     Pack*, Pack*);

}  // namespace HWY_NAMESPACE
}  // namespace knockwell
HWY_AFTER_NAMESPACE();
