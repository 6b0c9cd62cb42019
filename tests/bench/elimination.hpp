// bench/elimination.hpp
//
// Plain bucket elimination over bits, in numbers of any kind: a reference that knows nothing of
// causes, triggers or folding. For comparisons of digits and of time.
//
// Given    tables over bits
// Wanted   the sum of their product over all bits, and how much of it has each bit set
// Idea     bits are taken out one by one, each with the product of what it stands in; the way back
//          is the derivative of the sum by each table that was made
// Order    min-fill, the lowest number among equals
// Source   R. Dechter, Bucket elimination, Artificial Intelligence 113, 1999, pp. 41-85; the way
//          back after A. Darwiche, A differential approach to inference in Bayesian networks, JACM
//          50(3), 2003, pp. 280-305
#pragma once
#include <algorithm>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace knockwell::bench {

/// A table over bits; the first of `on` is the fastest.
template <class T>
struct BitTable {
    std::vector<std::uint32_t> on;
    std::vector<T> entries;
};

/// Bits in the order in which they go, by min-fill.
[[nodiscard]] std::vector<std::uint32_t>
min_fill_order(std::size_t bits, const std::vector<std::vector<std::uint32_t>>& scopes);

template <class T>
class Elimination {
public:
    /// Prepares the order and the buckets; no entry is looked at.
    Elimination(std::size_t bits, std::vector<BitTable<T>> tables)
        : tables_(std::move(tables)), given_(tables_.size()) {
        std::vector<std::vector<std::uint32_t>> scopes;
        for (const BitTable<T>& table : tables_)
            scopes.push_back(table.on);
        order_ = min_fill_order(bits, scopes);
        std::vector<std::size_t> place(bits);
        for (std::size_t i = 0; i < order_.size(); ++i)
            place[order_[i]] = i;
        buckets_.resize(bits);
        for (std::size_t t = 0; t < tables_.size(); ++t)
            put(t, place);
        for (std::size_t i = 0; i < order_.size(); ++i)
            make_bucket(i, place);
    }

    /// The most bits that stand in one table at a time.
    [[nodiscard]] std::size_t width() const { return width_; }

    /// The tables that were given, to be given other entries between runs.
    [[nodiscard]] BitTable<T>& table(std::size_t t) { return tables_[t]; }

    T total() {
        T sum = 1;
        for (const std::size_t t : constants_)
            if (t < given_)
                sum *= tables_[t].entries[0];
        for (std::size_t i = 0; i < order_.size(); ++i)
            sum_out(i);
        for (const std::size_t t : constants_)
            if (t >= given_)
                sum *= tables_[t].entries[0];
        return sum;
    }

    /// [bit] how much of the total has it set; after total().
    std::vector<T> with_each(const T& sum) {
        std::vector<T> with(order_.size(), T(0));
        slopes_.assign(tables_.size(), {});
        // The parts that do not hang together multiply: each is seen by itself.
        for (std::size_t i = order_.size(); i-- > 0;)
            back(i, with[order_[i]]);
        for (std::size_t i = 0; i < order_.size(); ++i)
            with[order_[i]] *= sum / part_[i];
        return with;
    }

private:
    struct Bucket {
        std::vector<std::uint32_t> on;                   // the bit itself first
        std::vector<std::size_t> members;                // tables
        std::size_t made = 0;                            // the table that is left
        std::vector<std::vector<std::ptrdiff_t>> jumps;  // [member, then made][lowest bit that
                                                         // turns on] change of place
    };

    void put(std::size_t t, const std::vector<std::size_t>& place) {
        const BitTable<T>& table = tables_[t];
        if (table.on.empty()) {
            constants_.push_back(t);
            return;
        }
        const std::uint32_t first = *std::min_element(
            table.on.begin(), table.on.end(), [&](auto a, auto b) { return place[a] < place[b]; });
        buckets_[place[first]].members.push_back(t);
    }

    void make_bucket(std::size_t i, const std::vector<std::size_t>& place) {
        Bucket& bucket = buckets_[i];
        bucket.on = {order_[i]};
        for (const std::size_t t : bucket.members)
            for (const std::uint32_t bit : tables_[t].on)
                if (std::find(bucket.on.begin(), bucket.on.end(), bit) == bucket.on.end())
                    bucket.on.push_back(bit);
        width_ = std::max(width_, bucket.on.size());
        bucket.made = tables_.size();
        tables_.push_back({{bucket.on.begin() + 1, bucket.on.end()}, {}});
        for (const std::size_t t : bucket.members)
            bucket.jumps.push_back(jumps(bucket.on, tables_[t].on));
        bucket.jumps.push_back(jumps(bucket.on, tables_[bucket.made].on));
        put(bucket.made, place);
    }

    static std::vector<std::ptrdiff_t> jumps(const std::vector<std::uint32_t>& on,
                                             const std::vector<std::uint32_t>& of) {
        std::vector<std::ptrdiff_t> result;
        std::ptrdiff_t below = 0;
        for (const std::uint32_t bit : on) {
            const auto at = std::find(of.begin(), of.end(), bit);
            const std::ptrdiff_t stride =
                at == of.end() ? 0 : std::ptrdiff_t{1} << (at - of.begin());
            result.push_back(stride - below);
            below += stride;
        }
        return result;
    }

    /// Calls act(entry of the bucket, place of each member and of the made table).
    template <class Act>
    void each_entry(const Bucket& bucket, const Act& act) {
        std::vector<std::ptrdiff_t> at(bucket.jumps.size(), 0);
        const std::size_t size = std::size_t{1} << bucket.on.size();
        for (std::size_t entry = 0;;) {
            act(entry, at);
            if (++entry == size)
                return;
            const auto turned = static_cast<std::size_t>(std::countr_zero(entry));
            for (std::size_t m = 0; m < at.size(); ++m)
                at[m] += bucket.jumps[m][turned];
        }
    }

    [[nodiscard]] T& entry(std::size_t table, std::ptrdiff_t at) {
        return tables_[table].entries[static_cast<std::size_t>(at)];
    }

    void sum_out(std::size_t i) {
        const Bucket& bucket = buckets_[i];
        tables_[bucket.made].entries.assign(std::size_t{1} << (bucket.on.size() - 1), T(0));
        each_entry(bucket, [&](std::size_t, const std::vector<std::ptrdiff_t>& at) {
            T product = 1;
            for (std::size_t m = 0; m < bucket.members.size(); ++m)
                product *= entry(bucket.members[m], at[m]);
            entry(bucket.made, at.back()) += product;
        });
    }

    void back(std::size_t i, T& with) {
        const Bucket& bucket = buckets_[i];
        std::vector<T>& slope = slopes_[bucket.made];
        part_.resize(order_.size());
        if (bucket.on.size() == 1) {
            slope = {T(1)};
            part_[i] = tables_[bucket.made].entries[0];
        } else {
            part_[i] = part_[taken_by_[bucket.made]];
        }
        for (const std::size_t t : bucket.members)
            if (t >= given_) {
                slopes_[t].assign(tables_[t].entries.size(), T(0));
                taken_by_.resize(tables_.size());
                taken_by_[t] = i;
            }
        std::vector<T> before(bucket.members.size() + 1);
        each_entry(bucket, [&](std::size_t which, const std::vector<std::ptrdiff_t>& at) {
            before[0] = slope[static_cast<std::size_t>(at.back())];
            for (std::size_t m = 0; m < bucket.members.size(); ++m)
                before[m + 1] = before[m] * entry(bucket.members[m], at[m]);
            if ((which & 1U) != 0)
                with += before.back();
            T after = 1;
            for (std::size_t m = bucket.members.size(); m-- > 0;) {
                const std::size_t t = bucket.members[m];
                if (t >= given_)
                    slopes_[t][static_cast<std::size_t>(at[m])] += before[m] * after;
                after *= entry(t, at[m]);
            }
        });
    }

    std::vector<BitTable<T>> tables_;
    std::size_t given_;
    std::vector<std::uint32_t> order_;
    std::vector<Bucket> buckets_;         // in order
    std::vector<std::size_t> constants_;  // tables over nothing
    std::vector<std::vector<T>> slopes_;  // [table] derivative of its part of the sum
    std::vector<std::size_t> taken_by_;   // [table] bucket
    std::vector<T> part_;                 // [bucket] sum of what hangs together with it
    std::size_t width_ = 0;
};

}  // namespace knockwell::bench
