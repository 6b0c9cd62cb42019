#include "beliefs/plan.hpp"

#include <boost/functional/hash.hpp>

#include <algorithm>
#include <cmath>
#include <optional>
#include <unordered_map>
#include <utility>

namespace knockwell {
namespace {

/// Turns an order into operations with strides and places.
class Layout {
public:
    explicit Layout(const Folding& folding)
        : shape_(folding.shape), asks_(folding.made, false), place_(shape_.values.size(), 0) {
        // A table asks for its gradient where a folded variable went into it.
        for (const Fold& fold : folding.folds)
            asks_[fold.made] = true;
        for (const Merge& merge : folding.merges)
            asks_[merge.made] =
                std::any_of(merge.from.begin(), merge.from.end(), [&](const Ingredient& it) {
                    return it.from.in == TablePlace::In::made && asks_[it.from.index];
                });
    }

    void run(const Order& order, Plan& plan) {
        for (const OrderStep& step : order.steps)
            take(step);
        plan.operations = std::move(operations_);
        plan.entries = entries_;
        plan.largest = largest_;
    }

private:
    struct OpenDigit : Digit {
        Var var = 0;
    };

    void take(const OrderStep& step) {
        switch (step.kind) {
        case OrderStep::Kind::open:
            open(step.index);
            break;
        case OrderStep::Kind::link: {
            const ShapeLink& link = shape_.links[step.index];
            Operation op = operation(step.kind, link.rows);
            op.var = link.target;
            op.values = shape_.values[link.target];
            op.join = shape_.join[link.target];
            op.stride = digit(link.target).stride;
            std::vector<Var> fixed = link.sources;
            fixed.push_back(link.target);
            spread(op, link.sources, fixed);
            stay(std::move(op));
            break;
        }
        case OrderStep::Kind::weigh: {
            const ShapeWeight& weight = shape_.weights[step.index];
            Operation op = operation(step.kind, weight.table);
            spread(op, weight.on, weight.on);
            stay(std::move(op));
            break;
        }
        case OrderStep::Kind::close:
            close(step.index);
            break;
        case OrderStep::Kind::next_component: {
            Operation op;
            op.kind = step.kind;
            op.from = at_;
            operations_.push_back(std::move(op));
            at_ = 0;
            break;
        }
        }
    }

    [[nodiscard]] Operation operation(OrderStep::Kind kind, const TablePlace& numbers) const {
        Operation op;
        op.kind = kind;
        op.numbers = numbers;
        op.gradient = numbers.in == TablePlace::In::made && asks_[numbers.index];
        op.size = size_;
        op.from = op.to = at_;
        return op;
    }

    [[nodiscard]] const Digit& digit(Var var) const { return open_[place_[var]]; }

    void open(Var var) {
        Operation op = operation(OrderStep::Kind::open, shape_.start[var]);
        op.var = var;
        op.values = shape_.values[var];
        op.stride = size_;
        if (op.gradient)
            op.to = at_ + size_;
        place_[var] = open_.size();
        open_.push_back({{op.values, size_}, var});
        size_ *= op.values;
        op.size = size_;
        move_to(op.to);
        operations_.push_back(std::move(op));
    }

    void close(Var var) {
        Operation op = operation(OrderStep::Kind::close, shape_.after[var]);
        op.var = var;
        op.values = shape_.values[var];
        op.stride = digit(var).stride;
        op.to = at_ + size_;
        open_.erase(open_.begin() + static_cast<std::ptrdiff_t>(place_[var]));
        size_ = 1;
        for (std::size_t i = 0; i < open_.size(); ++i) {
            open_[i].stride = size_;
            size_ *= open_[i].values;
            place_[open_[i].var] = i;
        }
        move_to(op.to);
        operations_.push_back(std::move(op));
    }

    /// The table keeps its size; where the gradient is asked for, the old one is kept beside it.
    void stay(Operation op) {
        if (op.gradient)
            op.to = at_ + size_;
        move_to(op.to);
        operations_.push_back(std::move(op));
    }

    void move_to(std::size_t to) {
        at_ = to;
        entries_ = std::max(entries_, at_ + size_);
        largest_ = std::max(largest_, size_);
    }

    /// Where each combination of `vars` (first slowest) begins, and how the rest is reached.
    void spread(Operation& op, const std::vector<Var>& vars, std::vector<Var> fixed) const {
        std::vector<Digit> digits;
        for (const Var var : vars)
            digits.push_back(digit(var));
        op.offsets = offsets_of(digits);
        std::sort(fixed.begin(), fixed.end(),
                  [&](Var a, Var b) { return digit(a).stride < digit(b).stride; });
        op.run = digit(fixed.front()).stride;
        for (std::size_t i = 0; i < fixed.size(); ++i) {
            const std::size_t stride = digit(fixed[i]).stride * digit(fixed[i]).values;
            const std::size_t end = i + 1 < fixed.size() ? digit(fixed[i + 1]).stride : size_;
            if (end / stride > 1)
                op.gaps.push_back({stride, end / stride});
        }
    }

    const Shape& shape_;
    std::vector<bool> asks_;  // [first number of a made table]
    std::vector<OpenDigit> open_;
    std::vector<std::size_t> place_;  // [variable] in open_
    std::vector<Operation> operations_;
    std::size_t size_ = 1;
    std::size_t at_ = 0;
    std::size_t entries_ = 1;
    std::size_t largest_ = 1;
};

struct Draft {
    Folding folding;
    Order order;
    [[nodiscard]] double cost() const { return folding.cost + order.cost; }
};

Draft draft(const Shape& shape, std::size_t largest_fold) {
    Draft it{fold(shape, largest_fold), {}};
    it.order = order_for(it.folding.shape);
    return it;
}

Plan laid_out(const Shape& shape, Draft best) {
    best.order = better_order(best.folding.shape, std::move(best.order));
    Plan plan;
    plan.width = best.order.width;
    plan.cost = best.cost();
    for (const std::uint32_t values : shape.values) {
        plan.share_at.push_back(plan.shares);
        plan.shares += values;
    }
    plan.folding = std::move(best.folding);
    if (plan.width <= widest)
        Layout(plan.folding).run(best.order, plan);
    return plan;
}

}  // namespace

Plan plan_for(const Shape& shape) {
    // What is folded away ties its neighbours together, so that much folding can widen the
    // frontier: where it is wide, less folding and more are both tried.
    Draft best = draft(shape, 64);
    if (best.order.width >= 8)
        for (const std::size_t largest : {std::size_t{8}, std::size_t{512}, std::size_t{4096}}) {
            Draft other = draft(shape, largest);
            if (other.cost() < best.cost())
                best = std::move(other);
        }
    return laid_out(shape, std::move(best));
}

Plan plan_for(const Shape& shape, std::size_t largest_fold) {
    return laid_out(shape, draft(shape, largest_fold));
}

Plan plan_for(const Sum& sum) { return plan_for(shape_of(sum)); }

struct PlanCache::Inside {
    std::unordered_map<Structure, std::shared_ptr<const Plan>, boost::hash<Structure>> plans;
};

PlanCache::PlanCache() : inside_(std::make_unique<Inside>()) {}
PlanCache::~PlanCache() = default;

template <class P>
std::shared_ptr<const Plan> PlanCache::plan(const SumOf<P>& sum) {
    constexpr std::size_t most = 4096;
    if (inside_->plans.size() >= most)
        inside_->plans.clear();
    std::shared_ptr<const Plan>& kept = inside_->plans[structure_of(sum)];
    if (!kept)
        kept = std::make_shared<const Plan>(plan_for(shape_of(sum)));
    return kept;
}

template std::shared_ptr<const Plan> PlanCache::plan(const SumOf<double>& sum);
template std::shared_ptr<const Plan> PlanCache::plan(const SumOf<Pack>& sum);

}  // namespace knockwell
