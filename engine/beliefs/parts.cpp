#include "beliefs/parts.hpp"

#include <algorithm>

namespace knockwell {

double SumParts::width() const {
    double widest_part = 0;
    for (const SumPart& part : parts)
        widest_part = std::max(widest_part, part.plan->width);
    return widest_part;
}

double SumParts::cost() const {
    double sum = 0;
    for (const SumPart& part : parts)
        sum += part.plan->cost;
    return sum;
}

namespace {

class Splitter {
public:
    Splitter(const Shape& shape, std::size_t numbers)
        : shape_(shape), component_(components_of(shape)) {
        result_.where.resize(shape.variables.size());
        result_.number_at.assign(numbers, 0);
    }

    SumParts run(PlanCache& plans, Runs runs) {
        place_variables();
        deal(shape_.links, [&](const SumLink& link) { return link.target; });
        links_ = std::move(dealt_);
        deal(shape_.weights, [&](const SumWeight& weight) { return shape_.on(weight).front(); });
        weights_ = std::move(dealt_);
        for (std::uint32_t p = 0; p < result_.parts.size(); ++p) {
            SumPart& part = result_.parts[p];
            cut_out(part, links_[p], weights_[p]);
            part.plan = plans.plan(cut_, static_cast<Slot>(part.numbers.size()), runs);
        }
        return std::move(result_);
    }

private:
    /// Variables that something touches, part by part.
    void place_variables() {
        const std::size_t n = shape_.variables.size();
        std::vector<std::uint8_t> touched(n, 0);
        for (const SumLink& link : shape_.links)
            touched[link.target] = 1;
        for (const Var v : shape_.lists)
            touched[v] = 1;
        std::vector<std::uint32_t> number(n, PartPlace::alone);
        for (Var v = 0; v < n; ++v) {
            if (touched[v] == 0) {
                result_.where[v] = {PartPlace::alone, v};
                continue;
            }
            std::uint32_t& p = number[component_[v]];
            if (p == PartPlace::alone) {
                p = static_cast<std::uint32_t>(result_.parts.size());
                result_.parts.emplace_back();
            }
            std::vector<Var>& vars = result_.parts[p].vars;
            result_.where[v] = {p, static_cast<Var>(vars.size())};
            vars.push_back(v);
        }
    }

    /// [part] which of the things belong to it.
    template <class Things, class VarOf>
    void deal(const Things& things, const VarOf& var_of) {
        dealt_.assign(result_.parts.size(), {});
        for (std::uint32_t i = 0; i < things.size(); ++i)
            dealt_[result_.where[var_of(things[i])].part].push_back(i);
    }

    Slot take(SumPart& part, Slot first, std::size_t count) {
        const auto at = static_cast<Slot>(part.numbers.size());
        for (Slot i = 0; i < count; ++i) {
            part.numbers.push_back(first + i);
            result_.number_at[first + i] = at + i;
        }
        return at;
    }

    std::span<const Var> here(std::span<const Var> vars) {
        list_.clear();
        for (const Var v : vars)
            list_.push_back(result_.where[v].var);
        return list_;
    }

    void cut_out(SumPart& part, const std::vector<std::uint32_t>& links,
                 const std::vector<std::uint32_t>& weights) {
        cut_.clear();
        for (const Var v : part.vars) {
            const SumVariable& it = shape_.variables[v];
            const Slot start = take(part, it.start, it.values);
            cut_.add(it.values, it.join, start, take(part, it.after, it.values));
        }
        for (const std::uint32_t l : links) {
            const SumLink& it = shape_.links[l];
            const std::span<const Var> sources = here(shape_.sources(it));
            const Var target = result_.where[it.target].var;
            const std::size_t rows = cut_.combinations(sources) * cut_.variables[target].values;
            cut_.link(target, sources, take(part, it.rows, rows));
        }
        for (const std::uint32_t w : weights) {
            const SumWeight& it = shape_.weights[w];
            const std::span<const Var> on = here(shape_.on(it));
            cut_.weigh(on, take(part, it.table, cut_.combinations(on)));
        }
    }

    const Shape& shape_;
    std::vector<Var> component_;
    std::vector<std::vector<std::uint32_t>> dealt_, links_, weights_;  // [part]
    Shape cut_;  // the part in hand, by itself
    std::vector<Var> list_;
    SumParts result_;
};

}  // namespace

SumParts parts_of(const Shape& shape, std::size_t numbers, PlanCache& plans, Runs runs) {
    return Splitter(shape, numbers).run(plans, runs);
}

}  // namespace knockwell
