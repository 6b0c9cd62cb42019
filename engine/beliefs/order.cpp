#include "beliefs/order.hpp"

#include "beliefs/lists.hpp"
#include "beliefs/noise.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <span>
#include <utility>

namespace knockwell {
namespace {

constexpr double endless = std::numeric_limits<double>::infinity();

// Lists of what closing a variable would open are cut to the nearest beyond so many entries in all:
// they only guide the order.
constexpr std::size_t most_needed = std::size_t{1} << 22U;

/// Who touches whom, for one shape.
struct Neighbours {
    Lists links_in, links_out, weights;  // [variable]
    Lists needs;                         // [variable] what must be opened to close it, itself too
    Lists needed_by;                     // the same the other way round
    std::vector<double> bits;            // [variable]
    std::vector<std::vector<Var>> components;

    Neighbours(const Shape& shape, const std::vector<std::uint8_t>& kept)
        : links_in(Lists::of(shape.variables.size(),
                             [&](const auto& add) {
                                 for (std::uint32_t l = 0; l < shape.links.size(); ++l)
                                     add(shape.links[l].target, l);
                             })),
          links_out(Lists::of(shape.variables.size(),
                              [&](const auto& add) {
                                  for (std::uint32_t l = 0; l < shape.links.size(); ++l)
                                      for (const Var source : shape.sources(shape.links[l]))
                                          add(source, l);
                              })),
          weights(Lists::of(shape.variables.size(), [&](const auto& add) {
              for (std::uint32_t w = 0; w < shape.weights.size(); ++w)
                  for (const Var var : shape.on(shape.weights[w]))
                      add(var, w);
          })) {
        bits.reserve(shape.variables.size());
        for (const SumVariable& variable : shape.variables)
            bits.push_back(variable.values == 2 ? 1 : std::log2(variable.values));
        find_needs(shape, kept);
        find_components(kept);
    }

private:
    void find_needs(const Shape& shape, const std::vector<std::uint8_t>& kept) {
        const std::size_t n = shape.variables.size();
        std::vector<std::uint32_t> seen(n, std::numeric_limits<std::uint32_t>::max());
        std::vector<Var> found;
        found.reserve(n);
        needs.reserve(n, 8 * n);
        const auto find = [&](Var v, Var by) {
            if (std::exchange(seen[v], by) != by)
                found.push_back(v);
        };
        for (Var v = 0; v < n; ++v) {
            if (kept[v] != 0) {
                found.clear();
                find(v, v);
                for (const std::uint32_t l : links_out[v])
                    for (const Var source : shape.sources(shape.links[l]))
                        find(source, v);
                for (const std::uint32_t w : weights[v])
                    for (const Var other : shape.on(shape.weights[w]))
                        find(other, v);
                // Whatever is to be complete needs its sources complete.
                for (std::size_t i = 0; i < found.size(); ++i)
                    if (i == 0 || needs.size() + found.size() < most_needed)
                        for (const std::uint32_t l : links_in[found[i]])
                            for (const Var source : shape.sources(shape.links[l]))
                                find(source, v);
                for (const std::uint32_t l : links_out[v])
                    find(shape.links[l].target, v);
                for (const Var u : found)
                    needs.push(u);
            }
            needs.end_list();
        }
        needed_by = Lists::of(n, [&](const auto& add) {
            for (Var v = 0; v < n; ++v)
                for (const Var u : needs[v])
                    add(u, v);
        });
    }

    /// What a variable needs, or is needed by, hangs together with it, and nothing else does.
    void find_components(const std::vector<std::uint8_t>& kept) {
        constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();
        std::vector<std::uint32_t> number(kept.size(), none);
        std::vector<Var> next;
        next.reserve(kept.size());
        std::uint32_t count = 0;
        for (Var first = 0; first < kept.size(); ++first) {
            if (kept[first] == 0 || number[first] != none)
                continue;
            number[first] = count;
            next.push_back(first);
            while (!next.empty()) {
                const Var v = next.back();
                next.pop_back();
                for (const Lists* near : {&needs, &needed_by})
                    for (const Var u : (*near)[v])
                        if (std::exchange(number[u], count) == none)
                            next.push_back(u);
            }
            ++count;
        }
        components.resize(count);
        if (count == 1)
            components.front().reserve(kept.size());
        for (Var v = 0; v < kept.size(); ++v)
            if (kept[v] != 0)
                components[number[v]].push_back(v);
    }
};

/// How an attempt chooses what to close next.
struct Choice {
    enum class First { cheapest, sources, targets };
    First first = First::cheapest;
    std::uint32_t seed = 0;  // 0: without noise
};

/// One attempt at the order of one component: does the steps on paper and keeps account of the
/// table's size.
class Attempt {
public:
    Attempt(const Shape& shape, const Neighbours& near)
        : shape_(shape), near_(near), open_(shape.variables.size()), complete_(open_),
          closed_(open_), linked_(shape.links.size()), weighed_(shape.weights.size()),
          price_(shape.variables.size()) {}

    /// Gives up when it costs more than `dearest`.
    Order run(const std::vector<Var>& component, const Choice& choice, double dearest) {
        order_ = {};
        order_.steps.reserve(4 * component.size());
        width_ = 0;
        size_ = 1;
        left_ = component;
        for (const Var v : left_) {
            open_[v] = complete_[v] = closed_[v] = 0;
            price_[v] = 0.01 - near_.bits[v];
            for (const Var u : near_.needs[v])
                price_[v] += near_.bits[u];
            for (const std::uint32_t l : near_.links_in[v])
                linked_[l] = 0;
            for (const std::uint32_t w : near_.weights[v])
                weighed_[w] = 0;
        }
        Dice dice(choice.seed + 1);
        while (!left_.empty() && order_.cost < dearest) {
            finish(next(choice, dice));
            std::erase_if(left_, [&](Var v) { return closed_[v] != 0; });
        }
        return std::move(order_);
    }

private:
    // --- what to close next

    Var next(const Choice& choice, Dice& dice) const {
        if (choice.first != Choice::First::cheapest) {
            const bool sources = choice.first == Choice::First::sources;
            const auto found = std::find_if(left_.begin(), left_.end(), [&](Var v) {
                return near_.links_out[v].empty() != sources;
            });
            return found == left_.end() ? left_.front() : *found;
        }
        const double noise = choice.seed == 0 ? 0 : choice.seed % 2 == 0 ? 0.8 : 2;
        Cheapest<Var> cheapest(left_.front(), noise, dice);
        for (const Var v : left_)
            cheapest.weigh(v, price_[v]);
        return cheapest.thing();
    }

    // --- doing it

    void step(OrderStep::Kind kind, std::uint32_t index, double entries) {
        order_.steps.push_back({kind, index});
        order_.width = std::max(order_.width, width_);
        order_.cost += entries;
    }

    void open(Var v) {
        if (open_[v] != 0)
            return;
        open_[v] = 1;
        width_ += near_.bits[v];
        size_ *= shape_.variables[v].values;
        step(OrderStep::Kind::open, v, size_);
        price_[v] -= 0.01;
        for (const Var u : near_.needed_by[v])
            price_[u] -= near_.bits[v];
        if (near_.links_in[v].empty())
            complete_[v] = 1;
    }

    /// Opens a variable and takes all its links in, whatever those need before them. Not by
    /// recursion: a chain may be long.
    void complete(Var v) {
        chain_.assign(1, v);
        while (!chain_.empty()) {
            const Var here = chain_.back();
            const std::span<const std::uint32_t> in = near_.links_in[here];
            const auto l =
                std::find_if(in.begin(), in.end(), [&](std::uint32_t i) { return !linked_[i]; });
            if (complete_[here] != 0 || l == in.end()) {
                open(here);
                chain_.pop_back();
                continue;
            }
            const std::span<const Var> sources = shape_.sources(shape_.links[*l]);
            const auto missing = std::find_if(sources.begin(), sources.end(),
                                              [&](Var u) { return complete_[u] == 0; });
            if (missing != sources.end())
                chain_.push_back(*missing);
            else
                link(*l);
        }
    }

    /// Its sources are complete.
    void link(std::uint32_t l) {
        const Var target = shape_.links[l].target;
        open(target);
        linked_[l] = 1;
        const std::span<const Var> sources = shape_.sources(shape_.links[l]);
        step(OrderStep::Kind::link, l, size_);
        const std::span<const std::uint32_t> in = near_.links_in[target];
        if (std::all_of(in.begin(), in.end(), [&](std::uint32_t i) { return linked_[i]; }))
            complete_[target] = 1;
        for (const Var source : sources)
            close_if_done(source);
        close_if_done(target);
    }

    void close_if_done(Var v) {
        if (closed_[v] != 0 || complete_[v] == 0)
            return;
        for (const std::uint32_t l : near_.links_out[v])
            if (!linked_[l])
                return;
        for (const std::uint32_t w : near_.weights[v])
            if (!weighed_[w])
                return;
        closed_[v] = 1;
        step(OrderStep::Kind::close, v, size_);
        width_ -= near_.bits[v];
        size_ /= shape_.variables[v].values;
    }

    void finish(Var v) {
        complete(v);
        for (const std::uint32_t l : near_.links_out[v]) {
            for (const Var source : shape_.sources(shape_.links[l]))
                complete(source);
            if (!linked_[l])
                link(l);
        }
        for (const std::uint32_t w : near_.weights[v]) {
            for (const Var other : shape_.on(shape_.weights[w]))
                complete(other);
            if (weighed_[w])
                continue;
            weighed_[w] = 1;
            step(OrderStep::Kind::weigh, w, size_);
            for (const Var other : shape_.on(shape_.weights[w]))
                close_if_done(other);
        }
        close_if_done(v);
    }

    const Shape& shape_;
    const Neighbours& near_;
    std::vector<std::uint8_t> open_, complete_, closed_;  // [variable]
    std::vector<std::uint8_t> linked_, weighed_;
    std::vector<double> price_;  // [variable] bits that closing it would open
    std::vector<Var> left_, chain_;
    double width_ = 0;
    double size_ = 1;
    Order order_;
};

void append(Order& whole, const Order& part) {
    whole.steps.insert(whole.steps.end(), part.steps.begin(), part.steps.end());
    whole.width = std::max(whole.width, part.width);
    whole.cost += part.cost;
}

}  // namespace

Order order_for(const Shape& shape, const std::vector<std::uint8_t>& kept) {
    if (std::none_of(kept.begin(), kept.end(), [](std::uint8_t is) { return is != 0; }))
        return {};
    const Neighbours near(shape, kept);
    Attempt attempt(shape, near);
    Order order;
    for (const std::vector<Var>& component : near.components)
        append(order, attempt.run(component, {}, endless));
    return order;
}

Order better_order(const Shape& shape, const std::vector<std::uint8_t>& kept, Order best,
                   double runs) {
    // Small tables are cheaper than a search; large ones repay it.
    const double cost = best.cost * runs;
    const std::uint32_t tries = cost < 1e5 ? 0 : cost < 4e5 ? 4 : cost < 4e6 ? 16 : 64;
    if (tries == 0)
        return best;
    const Neighbours near(shape, kept);
    Attempt attempt(shape, near);
    Order order;
    for (const std::vector<Var>& component : near.components) {
        Order cheapest = attempt.run(component, {}, endless);
        const auto try_it = [&](const Choice& choice) {
            Order other = attempt.run(component, choice, cheapest.cost);
            if (other.cost < cheapest.cost)
                cheapest = std::move(other);
        };
        try_it({Choice::First::sources, 0});
        try_it({Choice::First::targets, 0});
        for (std::uint32_t seed = 1; seed <= tries; ++seed)
            try_it({Choice::First::cheapest, seed});
        append(order, cheapest);
    }
    return order;
}

}  // namespace knockwell
