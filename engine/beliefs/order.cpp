#include "beliefs/order.hpp"

#include <boost/random/linear_congruential.hpp>
#include <boost/random/uniform_01.hpp>

#include <algorithm>
#include <cmath>
#include <limits>

namespace knockwell {
namespace {

/// Who touches whom, for one shape.
struct Neighbours {
    std::vector<std::vector<std::uint32_t>> links_in, links_out, weights;  // [variable]
    std::vector<std::uint32_t> component;                                  // [variable]
    std::vector<double> bits;                                              // [variable]
    std::uint32_t components = 0;

    explicit Neighbours(const Shape& shape)
        : links_in(shape.values.size()), links_out(shape.values.size()),
          weights(shape.values.size()), component(components_of(shape)) {
        for (const std::uint32_t values : shape.values)
            bits.push_back(std::log2(static_cast<double>(values)));
        for (std::uint32_t l = 0; l < shape.links.size(); ++l) {
            links_in[shape.links[l].target].push_back(l);
            for (const Var source : shape.links[l].sources)
                links_out[source].push_back(l);
        }
        for (std::uint32_t w = 0; w < shape.weights.size(); ++w)
            for (const Var var : shape.weights[w].on)
                weights[var].push_back(w);
        if (!component.empty())
            components = *std::max_element(component.begin(), component.end()) + 1;
    }
};

/// One attempt at an order: does the steps on paper and keeps account of the table's size.
class Attempt {
public:
    /// Gives up when it costs more than `dearest`.
    Attempt(const Shape& shape, const Neighbours& near, std::uint32_t seed, double dearest)
        : shape_(shape), near_(near), dearest_(dearest), dice_(seed + 1), noisy_(seed != 0),
          noise_(seed % 2 == 0 ? 0.8 : 2), open_(shape.values.size()), complete_(open_),
          closed_(open_), linked_(shape.links.size()), weighed_(shape.weights.size()),
          seen_(shape.values.size(), 0) {}

    Order run() {
        for (std::uint32_t c = 0; c < near_.components; ++c) {
            std::vector<Var> left;
            for (Var v = 0; v < shape_.values.size(); ++v)
                if (shape_.kept[v] && near_.component[v] == c)
                    left.push_back(v);
            const bool any = !left.empty();
            while (!left.empty() && order_.cost < dearest_) {
                finish(cheapest(left));
                left.erase(
                    std::remove_if(left.begin(), left.end(), [&](Var v) { return closed_[v]; }),
                    left.end());
            }
            if (any)
                order_.steps.push_back({OrderStep::Kind::next_component, 0});
        }
        return std::move(order_);
    }

private:
    [[nodiscard]] double bits_of(Var v) const { return near_.bits[v]; }

    // --- what closing a variable would open

    Var cheapest(const std::vector<Var>& left) {
        Var best = left.front();
        double best_price = std::numeric_limits<double>::infinity();
        for (const Var v : left) {
            ++round_;
            double price = opens_to_finish(v) - bits_of(v) + (open_[v] ? 0.0 : 0.01);
            if (noisy_)
                price += noise_ * boost::random::uniform_01<double>()(dice_);
            if (price < best_price) {
                best_price = price;
                best = v;
            }
        }
        return best;
    }

    double opens(Var v) {
        if (open_[v] || seen_[v] == round_)
            return 0;
        seen_[v] = round_;
        return bits_of(v);
    }

    double opens_to_complete(Var v) {
        if (complete_[v])
            return 0;
        if (!open_[v] && seen_[v] == round_)
            return 0;  // on the way already
        double sum = opens(v);
        for (const std::uint32_t l : near_.links_in[v])
            if (!linked_[l])
                for (const Var source : shape_.links[l].sources)
                    sum += opens_to_complete(source);
        return sum;
    }

    double opens_to_finish(Var v) {
        double sum = opens_to_complete(v);
        for (const std::uint32_t l : near_.links_out[v]) {
            if (linked_[l])
                continue;
            sum += opens(shape_.links[l].target);
            for (const Var source : shape_.links[l].sources)
                sum += opens_to_complete(source);
        }
        for (const std::uint32_t w : near_.weights[v])
            if (!weighed_[w])
                for (const Var other : shape_.weights[w].on)
                    sum += opens_to_complete(other);
        return sum;
    }

    // --- doing it

    void step(OrderStep::Kind kind, std::uint32_t index) {
        order_.steps.push_back({kind, index});
        order_.width = std::max(order_.width, width_);
        order_.cost += size_;
    }

    void open(Var v) {
        if (open_[v])
            return;
        open_[v] = true;
        width_ += bits_of(v);
        size_ *= shape_.values[v];
        step(OrderStep::Kind::open, v);
        if (near_.links_in[v].empty())
            complete_[v] = true;
    }

    void complete(Var v) {
        open(v);
        if (complete_[v])
            return;
        for (const std::uint32_t l : near_.links_in[v])
            link(l);
        complete_[v] = true;
        close_if_done(v);
    }

    void link(std::uint32_t l) {
        if (linked_[l])
            return;
        for (const Var source : shape_.links[l].sources)
            complete(source);
        if (linked_[l])
            return;
        open(shape_.links[l].target);
        linked_[l] = true;
        step(OrderStep::Kind::link, l);
        const Var target = shape_.links[l].target;
        if (all_linked(target))
            complete_[target] = true;
        for (const Var source : shape_.links[l].sources)
            close_if_done(source);
        close_if_done(target);
    }

    void weigh(std::uint32_t w) {
        if (weighed_[w])
            return;
        for (const Var v : shape_.weights[w].on)
            complete(v);
        if (weighed_[w])
            return;
        weighed_[w] = true;
        step(OrderStep::Kind::weigh, w);
        for (const Var v : shape_.weights[w].on)
            close_if_done(v);
    }

    [[nodiscard]] bool all_linked(Var v) const {
        return std::all_of(near_.links_in[v].begin(), near_.links_in[v].end(),
                           [&](std::uint32_t l) { return linked_[l]; });
    }

    void close_if_done(Var v) {
        if (closed_[v] || !complete_[v])
            return;
        for (const std::uint32_t l : near_.links_out[v])
            if (!linked_[l])
                return;
        for (const std::uint32_t w : near_.weights[v])
            if (!weighed_[w])
                return;
        closed_[v] = true;
        step(OrderStep::Kind::close, v);
        width_ -= bits_of(v);
        size_ /= shape_.values[v];
    }

    void finish(Var v) {
        complete(v);
        for (const std::uint32_t l : near_.links_out[v])
            link(l);
        for (const std::uint32_t w : near_.weights[v])
            weigh(w);
        close_if_done(v);
    }

    const Shape& shape_;
    const Neighbours& near_;
    double dearest_;
    boost::random::minstd_rand dice_;
    bool noisy_;
    double noise_;
    std::vector<bool> open_, complete_, closed_, linked_, weighed_;
    std::vector<std::uint32_t> seen_;
    std::uint32_t round_ = 0;
    double width_ = 0;
    double size_ = 1;
    Order order_;
};

}  // namespace

Order order_for(const Shape& shape) {
    return Attempt(shape, Neighbours(shape), 0, std::numeric_limits<double>::infinity()).run();
}

Order better_order(const Shape& shape, Order best) {
    const Neighbours near(shape);
    // Narrow tables are cheaper than a search; wide ones repay it.
    const std::uint32_t tries = best.width < 8 ? 0 : best.width < 14 ? 16 : 64;
    for (std::uint32_t seed = 1; seed <= tries; ++seed) {
        Order other = Attempt(shape, near, seed, best.cost).run();
        if (other.cost < best.cost)
            best = std::move(other);
    }
    return best;
}

}  // namespace knockwell
