#include "beliefs/plan.hpp"

#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/connected_components.hpp>
#include <boost/random/mersenne_twister.hpp>
#include <boost/random/uniform_01.hpp>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numeric>

namespace knockwell {
namespace {

/// Who touches whom, for one sum.
struct Neighbours {
    std::vector<std::vector<std::uint32_t>> links_in, links_out, weights;  // [variable]
    std::vector<std::uint32_t> component;                                  // [variable]
    std::size_t components = 0;

    explicit Neighbours(const Sum& sum)
        : links_in(sum.variables.size()), links_out(sum.variables.size()),
          weights(sum.variables.size()), component(sum.variables.size(), 0) {
        boost::adjacency_list<boost::vecS, boost::vecS, boost::undirectedS> graph(
            sum.variables.size());
        for (std::uint32_t l = 0; l < sum.links.size(); ++l) {
            links_in[sum.links[l].target].push_back(l);
            for (const Var source : sum.links[l].sources) {
                links_out[source].push_back(l);
                boost::add_edge(source, sum.links[l].target, graph);
            }
        }
        for (std::uint32_t w = 0; w < sum.weights.size(); ++w)
            for (const Var var : sum.weights[w].on) {
                weights[var].push_back(w);
                boost::add_edge(sum.weights[w].on.front(), var, graph);
            }
        if (!component.empty())
            components = boost::connected_components(
                graph, boost::make_iterator_property_map(component.begin(),
                                                         boost::get(boost::vertex_index, graph)));
    }
};

/// One attempt at an order: does the steps on paper and keeps account of the table's size.
class Attempt {
public:
    Attempt(const Sum& sum, const Neighbours& near, std::uint32_t seed)
        : sum_(sum), near_(near), dice_(seed), noisy_(seed != 0), open_(sum.variables.size()),
          complete_(open_), closed_(open_), linked_(sum.links.size()), weighed_(sum.weights.size()),
          seen_(sum.variables.size(), 0) {}

    Plan run() {
        for (std::uint32_t c = 0; c < near_.components; ++c) {
            std::vector<Var> left;
            for (Var v = 0; v < sum_.variables.size(); ++v)
                if (near_.component[v] == c)
                    left.push_back(v);
            while (!left.empty()) {
                finish(cheapest(left));
                left.erase(
                    std::remove_if(left.begin(), left.end(), [&](Var v) { return closed_[v]; }),
                    left.end());
            }
            plan_.steps.push_back({PlanStep::Kind::next_component, 0});
        }
        return std::move(plan_);
    }

private:
    [[nodiscard]] double bits_of(Var v) const {
        return std::log2(static_cast<double>(sum_.variables[v].values));
    }

    // --- what closing a variable would open

    Var cheapest(const std::vector<Var>& left) {
        Var best = left.front();
        double best_price = std::numeric_limits<double>::infinity();
        for (const Var v : left) {
            ++round_;
            double price = opens_to_finish(v) - bits_of(v) + (open_[v] ? 0.0 : 0.01);
            if (noisy_)
                price += 0.8 * boost::random::uniform_01<double>()(dice_);
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
                for (const Var source : sum_.links[l].sources)
                    sum += opens_to_complete(source);
        return sum;
    }

    double opens_to_finish(Var v) {
        double sum = opens_to_complete(v);
        for (const std::uint32_t l : near_.links_out[v]) {
            if (linked_[l])
                continue;
            sum += opens(sum_.links[l].target);
            for (const Var source : sum_.links[l].sources)
                sum += opens_to_complete(source);
        }
        for (const std::uint32_t w : near_.weights[v])
            if (!weighed_[w])
                for (const Var other : sum_.weights[w].on)
                    sum += opens_to_complete(other);
        return sum;
    }

    // --- doing it

    void step(PlanStep::Kind kind, std::uint32_t index) {
        plan_.steps.push_back({kind, index});
        plan_.width = std::max(plan_.width, width_);
        plan_.cost += std::exp2(width_);
    }

    void open(Var v) {
        if (open_[v])
            return;
        open_[v] = true;
        width_ += bits_of(v);
        step(PlanStep::Kind::open, v);
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
        for (const Var source : sum_.links[l].sources)
            complete(source);
        if (linked_[l])
            return;
        open(sum_.links[l].target);
        linked_[l] = true;
        step(PlanStep::Kind::link, l);
        const Var target = sum_.links[l].target;
        if (all_linked(target))
            complete_[target] = true;
        for (const Var source : sum_.links[l].sources)
            close_if_done(source);
        close_if_done(target);
    }

    void weigh(std::uint32_t w) {
        if (weighed_[w])
            return;
        for (const Var v : sum_.weights[w].on)
            complete(v);
        if (weighed_[w])
            return;
        weighed_[w] = true;
        step(PlanStep::Kind::weigh, w);
        for (const Var v : sum_.weights[w].on)
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
        step(PlanStep::Kind::close, v);
        width_ -= bits_of(v);
    }

    void finish(Var v) {
        complete(v);
        for (const std::uint32_t l : near_.links_out[v])
            link(l);
        for (const std::uint32_t w : near_.weights[v])
            weigh(w);
        close_if_done(v);
    }

    const Sum& sum_;
    const Neighbours& near_;
    boost::random::mt19937 dice_;
    bool noisy_;
    std::vector<bool> open_, complete_, closed_, linked_, weighed_;
    std::vector<std::uint32_t> seen_;
    std::uint32_t round_ = 0;
    double width_ = 0;
    Plan plan_;
};

}  // namespace

Plan plan_for(const Sum& sum) {
    const Neighbours near(sum);
    Plan best = Attempt(sum, near, 0).run();
    // One try is enough for narrow tables; wide ones repay more.
    const std::uint32_t tries = best.width < 8 ? 1 : best.width < 14 ? 8 : 64;
    for (std::uint32_t seed = 1; seed < tries; ++seed) {
        Plan other = Attempt(sum, near, seed).run();
        if (other.cost < best.cost)
            best = std::move(other);
    }
    return best;
}

struct PlanCache::Inside {
    std::map<std::vector<std::uint32_t>, std::shared_ptr<const Plan>> plans;
};

PlanCache::PlanCache() : inside_(std::make_unique<Inside>()) {}
PlanCache::~PlanCache() = default;

std::shared_ptr<const Plan> PlanCache::plan(const Sum& sum) {
    constexpr std::size_t most = 4096;
    if (inside_->plans.size() >= most)
        inside_->plans.clear();
    std::shared_ptr<const Plan>& kept = inside_->plans[structure_of(sum)];
    if (!kept)
        kept = std::make_shared<const Plan>(plan_for(sum));
    return kept;
}

}  // namespace knockwell
