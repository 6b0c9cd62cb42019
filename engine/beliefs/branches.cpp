#include "beliefs/branches.hpp"

#include "beliefs/noise.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <limits>
#include <utility>

namespace knockwell {
namespace {

constexpr double never = std::numeric_limits<double>::infinity();
constexpr std::size_t most_kept = 256;

// Pairs of entries by which two tables meet in what grows in both: some 100 MiB while a plan is
// made.
constexpr double most_pairs = 1U << 20U;

/// A set of kept variables, by their numbers among those: at most 64 a word.
template <std::size_t words>
class VarSetOf {
public:
    void insert(std::size_t v) { words_[v / 64] |= std::uint64_t{1} << (v % 64); }
    void erase(std::size_t v) { words_[v / 64] &= ~(std::uint64_t{1} << (v % 64)); }
    [[nodiscard]] bool has(std::size_t v) const { return ((words_[v / 64] >> (v % 64)) & 1U) != 0; }
    [[nodiscard]] bool empty() const {
        return std::all_of(words_.begin(), words_.end(), [](std::uint64_t w) { return w == 0; });
    }
    [[nodiscard]] bool meets(const VarSetOf& other) const { return !(*this & other).empty(); }
    VarSetOf& operator|=(const VarSetOf& other) {
        for (std::size_t i = 0; i < words_.size(); ++i)
            words_[i] |= other.words_[i];
        return *this;
    }
    [[nodiscard]] VarSetOf operator|(const VarSetOf& other) const {
        return VarSetOf(*this) |= other;
    }
    [[nodiscard]] VarSetOf operator&(const VarSetOf& other) const {
        VarSetOf both;
        for (std::size_t i = 0; i < words_.size(); ++i)
            both.words_[i] = words_[i] & other.words_[i];
        return both;
    }
    [[nodiscard]] VarSetOf without(const VarSetOf& other) const {
        VarSetOf rest;
        for (std::size_t i = 0; i < words_.size(); ++i)
            rest.words_[i] = words_[i] & ~other.words_[i];
        return rest;
    }
    template <class Act>
    void for_each(Act act) const {
        for (std::size_t i = 0; i < words_.size(); ++i)
            for (std::uint64_t rest = words_[i]; rest != 0; rest &= rest - 1)
                act(i * 64 + static_cast<std::size_t>(std::countr_zero(rest)));
    }

private:
    std::array<std::uint64_t, words> words_{};
};

/// A link, a weight, or the table that closing a variable left.
template <std::size_t words>
struct FactorOf {
    enum class Kind : std::uint8_t { link, weight, branch };
    Kind kind = Kind::link;
    std::uint32_t index = 0;     // of the link, the weight or the closing
    VarSetOf<words> complete{};  // what is read
    VarSetOf<words> grows{};     // what is added to
    double bits = 0;
    double entries = 1;  // 2^bits
    bool live = true;
};

/// What closing a variable takes, in the order in which it is put together.
struct Closing {
    std::size_t var = 0;
    std::vector<std::uint32_t> factors;
};

/// What touches a variable, as one table.
template <std::size_t words>
struct GatheredOf {
    std::vector<std::uint32_t> factors;
    VarSetOf<words> complete, grows;  // the variable itself among the complete ones
    double bits = 0;
    double taken = 0;  // entries of the factors, together
};

/// One shape; tries share what does not change.
template <std::size_t words>
class Branches {
    using VarSet = VarSetOf<words>;
    using Factor = FactorOf<words>;
    using Gathered = GatheredOf<words>;

public:
    Branches(const Shape& shape, const std::vector<std::uint8_t>& kept) : shape_(shape) {
        number_.assign(kept.size(), 0);
        for (Var v = 0; v < kept.size(); ++v)
            if (kept[v] != 0) {
                number_[v] = vars_.size();
                vars_.push_back(v);
                bits_.push_back(std::log2(shape.variables[v].values));
            }
    }

    [[nodiscard]] std::size_t count() const { return vars_.size(); }

    void prepare() {
        for (std::uint32_t l = 0; l < shape_.links.size(); ++l) {
            Factor factor{Factor::Kind::link, l, set_of(shape_.sources(shape_.links[l]))};
            factor.grows.insert(number_[shape_.links[l].target]);
            grown_ |= factor.grows;
            start_.push_back(factor);
        }
        for (std::uint32_t w = 0; w < shape_.weights.size(); ++w)
            start_.push_back({Factor::Kind::weight, w, set_of(shape_.on(shape_.weights[w]))});
        for (Factor& factor : start_)
            measure(factor);
        find_below();
    }

    /// Nothing where it would cost more than `dearest`, or gets stuck.
    std::optional<Order> attempt(std::uint32_t seed, double dearest) {
        factors_ = start_;
        closings_.clear();
        taken_.assign(2 * factors_.size() + count(), 0);
        gathering_ = 0;
        touching_.assign(count(), {});
        for (std::uint32_t f = 0; f < factors_.size(); ++f)
            touch(f);
        price_.assign(count(), 0);
        stale_.assign(count(), 1);
        Dice dice(seed + 1);
        std::vector<std::uint8_t> closed(count(), 0);
        double cost = 0;
        for (std::size_t n = 0; n < count(); ++n) {
            const std::size_t v = next(closed, seed, dice);
            if (v == count())
                return std::nullopt;
            closed[v] = 1;
            cost += std::exp2(gathered_.bits);
            if (cost > dearest)
                return std::nullopt;
            close(v);
        }
        return written();
    }

private:
    [[nodiscard]] VarSet set_of(std::span<const Var> vars) const {
        VarSet set;
        for (const Var v : vars)
            set.insert(number_[v]);
        return set;
    }

    [[nodiscard]] double bits_of(const VarSet& set) const {
        double sum = 0;
        set.for_each([&](std::size_t v) { sum += bits_[v]; });
        return sum;
    }

    void measure(Factor& factor) const {
        factor.bits = bits_of(factor.complete | factor.grows);
        factor.entries = std::exp2(factor.bits);
    }

    /// What can be reached from each variable along links.
    void find_below() {
        below_.assign(count(), {});
        std::vector<VarSet> direct(count());
        for (const Factor& factor : start_)
            factor.complete.for_each([&](std::size_t v) { direct[v] |= factor.grows; });
        for (std::size_t v = 0; v < count(); ++v) {
            VarSet next = direct[v];
            while (!next.empty()) {
                below_[v] |= next;
                VarSet more;
                next.for_each([&](std::size_t u) { more |= direct[u]; });
                next = more.without(below_[v]);
            }
        }
    }

    void touch(std::uint32_t f) {
        (factors_[f].complete | factors_[f].grows).for_each([&](std::size_t v) {
            touching_[v].push_back(f);
        });
    }

    // --- what closing takes

    void take(std::uint32_t f, Gathered& into) {
        if (std::exchange(taken_[f], gathering_) == gathering_)
            return;
        into.factors.push_back(f);
        into.complete |= factors_[f].complete;
        into.grows |= factors_[f].grows;
        into.taken += factors_[f].entries;
    }

    /// Everything that touches v, and everything that lets a variable grow which is read there as
    /// well.
    void gather(std::size_t v, Gathered& into) {
        ++gathering_;
        into.factors.clear();
        into.complete = into.grows = {};
        into.taken = 0;
        into.complete.insert(v);
        std::erase_if(touching_[v], [&](std::uint32_t f) { return !factors_[f].live; });
        for (const std::uint32_t f : touching_[v])
            take(f, into);
        VarSet whole;  // all that lets them grow is there
        for (;;) {
            VarSet read = into.grows & into.complete;
            // A table that lets x grow and reads what hangs on x could not be put together.
            into.grows.for_each([&](std::size_t x) {
                if (below_[x].meets(into.complete))
                    read.insert(x);
            });
            read = read.without(whole);
            if (read.empty())
                break;
            whole |= read;
            into.complete |= read;
            read.for_each([&](std::size_t x) {
                for (const std::uint32_t f : touching_[x])
                    if (factors_[f].live && factors_[f].grows.has(x))
                        take(f, into);
            });
        }
        into.grows = into.grows.without(into.complete);
        into.bits = bits_of(into.complete | into.grows);
    }

    /// What to close: gathered_ has what that takes, sorted_ in which order. count() where it gets
    /// stuck.
    std::size_t next(const std::vector<std::uint8_t>& closed, std::uint32_t seed, Dice& dice) {
        // The plain try without noise; then by size, and by size against what goes into it.
        const double noise = seed < 2 ? 0 : seed % 4 < 2 ? 0.8 : 2;
        for (bool again = false;;) {
            Cheapest<std::size_t> cheapest(count(), noise, dice);
            for (std::size_t v = 0; v < count(); ++v) {
                if (closed[v] != 0)
                    continue;
                if (std::exchange(stale_[v], std::uint8_t{0}) != 0) {
                    gather(v, gathered_);
                    price_[v] = gathered_.bits;
                    if (seed % 2 == 1)
                        price_[v] -= 0.5 * std::log2(gathered_.taken + 1);
                }
                cheapest.weigh(v, price_[v]);
            }
            const std::size_t best = cheapest.thing();
            if (best == count()) {
                if (again)
                    return best;
                again = true;
                std::fill(stale_.begin(), stale_.end(), std::uint8_t{1});
                continue;
            }
            gather(best, gathered_);
            if (put_in_order(best))
                return best;
            price_[best] = never;
        }
    }

    /// The factors gathered, in an order in which whatever is read has grown before; sorted_ has
    /// it. False where there is none.
    bool put_in_order(std::size_t v) {
        sorted_.clear();
        std::vector<std::uint32_t> left = gathered_.factors;
        VarSet here;
        while (!left.empty()) {
            VarSet growing;
            for (const std::uint32_t f : left)
                growing |= factors_[f].grows;
            // First the largest branch; then whatever makes the table grow least.
            auto best = left.end();
            double best_price = never;
            for (auto it = left.begin(); it != left.end(); ++it) {
                const Factor& factor = factors_[*it];
                const double price =
                    sorted_.empty()
                        ? (factor.kind == Factor::Kind::branch ? -factor.bits : factor.bits)
                        : bits_of((factor.complete | factor.grows).without(here)) +
                              0.01 * factor.bits;
                if (price < best_price && !growing.meets(factor.complete)) {
                    best_price = price;
                    best = it;
                }
            }
            if (best == left.end())
                return false;
            here |= factors_[*best].complete | factors_[*best].grows;
            sorted_.push_back(*best);
            left.erase(best);
        }
        return here.has(v) || sorted_.empty();
    }

    void close(std::size_t v) {
        Factor made{Factor::Kind::branch, static_cast<std::uint32_t>(closings_.size()),
                    gathered_.complete, gathered_.grows};
        made.complete.erase(v);
        measure(made);
        closings_.push_back({v, sorted_});
        (made.complete | made.grows).for_each([&](std::size_t u) { stale_[u] = 1; });
        for (const std::uint32_t f : sorted_) {
            factors_[f].live = false;
            // What lets it grow may be wanted from farther away.
            (factors_[f].complete | factors_[f].grows).for_each([&](std::size_t u) {
                stale_[u] = 1;
            });
        }
        factors_.push_back(made);
        touch(static_cast<std::uint32_t>(factors_.size() - 1));
    }

    // --- writing it down

    /// A table that is carried while the order is written.
    struct Table {
        VarSet open, grows;
        double size = 1;
    };

    Order written() {
        order_ = {};
        owned_ = {};
        for (const Factor& factor : factors_)
            if (factor.live) {
                // What is left are tables without digits, one for each component.
                Table table;
                write(closings_[factor.index], table);
            }
        return std::move(order_);
    }

    void step(OrderStep step, double entries) {
        order_.steps.push_back(step);
        order_.cost += entries;
    }

    void write(const Closing& closing, Table& table) {
        for (std::size_t i = 0; i < closing.factors.size(); ++i) {
            const Factor& factor = factors_[closing.factors[i]];
            switch (factor.kind) {
            case Factor::Kind::link: {
                factor.complete.for_each([&](std::size_t v) { open(v, false, table); });
                factor.grows.for_each([&](std::size_t v) { open(v, true, table); });
                step({OrderStep::Kind::link, factor.index}, table.size);
                break;
            }
            case Factor::Kind::weight:
                factor.complete.for_each([&](std::size_t v) { open(v, false, table); });
                step({OrderStep::Kind::weigh, factor.index}, table.size);
                break;
            case Factor::Kind::branch:
                if (i == 0)
                    write(closings_[factor.index], table);
                else
                    branch(closings_[factor.index], table);
                break;
            }
        }
        open(closing.var, true, table);
        step({OrderStep::Kind::close, vars_[closing.var]}, table.size);
        table.size /= shape_.variables[vars_[closing.var]].values;
        table.open.erase(closing.var);
        table.grows.erase(closing.var);
    }

    void branch(const Closing& closing, Table& table) {
        step({OrderStep::Kind::begin, 0}, 0);
        Table other;
        write(closing, other);
        double joined = 1;
        double pairs = 1;
        (table.grows & other.grows).for_each([&](std::size_t v) {
            const double values = shape_.variables[vars_[v]].values;
            joined *= (values + 1) / 2;
            pairs *= values * (values + 1) / 2;
        });
        // They are written out in the plan, and kept with it.
        if (pairs > most_pairs)
            order_.cost = std::numeric_limits<double>::infinity();
        other.open.without(table.open).for_each([&](std::size_t v) {
            table.size *= shape_.variables[vars_[v]].values;
        });
        table.open |= other.open;
        table.grows |= other.grows;
        order_.width = std::max(order_.width, std::log2(table.size));
        // Each entry is written from those that can become it, and scanned for its scale; and a
        // meeting is set up.
        constexpr double a_meeting = 300;
        step({OrderStep::Kind::meet, 0}, table.size * (1 + joined) + a_meeting);
    }

    void open(std::size_t v, bool grows, Table& table) {
        if (table.open.has(v))
            return;
        table.open.insert(v);
        const SumVariable& variable = shape_.variables[vars_[v]];
        table.size *= variable.values;
        order_.width = std::max(order_.width, std::log2(table.size));
        OrderStep::With with = OrderStep::With::ones;
        if ((grows || !has_links_in(v)) && !owned_.has(v)) {
            owned_.insert(v);
            with = OrderStep::With::start;
        } else if (grows) {
            with = OrderStep::With::nothing;
        }
        if (with != OrderStep::With::ones)
            table.grows.insert(v);
        step({OrderStep::Kind::open, vars_[v], with}, table.size);
    }

    [[nodiscard]] bool has_links_in(std::size_t v) const { return grown_.has(v); }

    const Shape& shape_;
    std::vector<Var> vars_;            // [kept variable]
    std::vector<std::size_t> number_;  // [variable] among the kept ones
    std::vector<double> bits_;         // [kept variable]
    std::vector<VarSet> below_;        // [kept variable]
    VarSet grown_;                     // those with links in
    std::vector<Factor> start_;

    // One attempt.
    std::vector<Factor> factors_;
    std::vector<Closing> closings_;
    std::vector<std::vector<std::uint32_t>> touching_;  // [kept variable]
    std::vector<double> price_;
    std::vector<std::uint8_t> stale_;
    Gathered gathered_;
    std::vector<std::uint32_t> taken_;  // [factor] the gathering that took it last
    std::uint32_t gathering_ = 0;
    std::vector<std::uint32_t> sorted_;
    VarSet owned_;  // their start stands in some table
    Order order_;
};

template <std::size_t words>
std::optional<Order> best_of(const Shape& shape, const std::vector<std::uint8_t>& kept,
                             std::uint32_t tries, double dearest) {
    Branches<words> branches(shape, kept);
    branches.prepare();
    std::optional<Order> best;
    for (std::uint32_t seed = 0; seed < tries; ++seed) {
        std::optional<Order> order = branches.attempt(seed, dearest);
        if (order && order->cost < dearest) {
            dearest = order->cost;
            best = std::move(order);
        }
    }
    return best;
}

}  // namespace

std::optional<Order> branched_order(const Shape& shape, const std::vector<std::uint8_t>& kept,
                                    std::uint32_t tries, double dearest) {
    const auto count = static_cast<std::size_t>(
        std::count_if(kept.begin(), kept.end(), [](std::uint8_t is) { return is != 0; }));
    if (count == 0 || count > most_kept)
        return std::nullopt;
    if (count <= 64)
        return best_of<1>(shape, kept, tries, dearest);
    if (count <= 128)
        return best_of<2>(shape, kept, tries, dearest);
    return best_of<most_kept / 64>(shape, kept, tries, dearest);
}

}  // namespace knockwell
