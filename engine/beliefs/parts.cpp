#include "beliefs/parts.hpp"

#include "beliefs/lists.hpp"

#include <algorithm>
#include <optional>
#include <unordered_map>
#include <utility>

namespace knockwell {

double SumPart::width() const { return cases ? cases->width : plan->width; }
double SumPart::cost() const { return cases ? cases->cost : plan->cost; }
std::size_t SumPart::entries() const { return cases ? cases->entries : plan->entries; }

double SumParts::width() const {
    double widest_part = 0;
    for (const SumPart& part : parts)
        widest_part = std::max(widest_part, part.width());
    return widest_part;
}

double SumParts::cost() const {
    double sum = 0;
    for (const SumPart& part : parts)
        sum += part.cost();
    return sum;
}

std::size_t SumParts::entries() const {
    std::size_t sum = 1;
    for (const SumPart& part : parts)
        sum += part.entries();
    return sum;
}

namespace {

/// Cuts a sum, or one case of it, into parts.
class Splitter {
public:
    Splitter(const Shape& shape, std::size_t numbers, SumCase known)
        : shape_(shape), component_(components_of(shape, known)) {
        result_.where.resize(shape.variables.size());
        result_.number_at.assign(numbers, 0);
        result_.part_at.assign(numbers, PartPlace::alone);
        result_.known = std::move(known);
    }

    /// plan(shape, part) is called for every part.
    template <class Plan>
    SumParts run(Plan plan) {
        place_variables();
        const auto parts = static_cast<std::uint32_t>(result_.parts.size());
        const Lists links = Lists::of(parts, [&](const auto& add) {
            for (std::uint32_t l = 0; l < shape_.links.size(); ++l)
                if (!adds_nothing(shape_, shape_.links[l], known()))
                    add(part_of(shape_.links[l].target), l);
        });
        const Lists weights = Lists::of(parts, [&](const auto& add) {
            for (std::uint32_t w = 0; w < shape_.weights.size(); ++w)
                if (const Var open = open_in(shape_.weights[w]); open != none)
                    add(part_of(open), w);
        });
        const Lists requirements = Lists::of(parts, [&](const auto& add) {
            for (std::uint32_t r = 0; r < shape_.requirements.size(); ++r)
                if (const PartPlace& var = result_.where[shape_.requirements[r].var];
                    !var.is_alone() && var.part == part_of(shape_.requirements[r].on))
                    add(var.part, r);
        });
        for (const SumWeight& weight : shape_.weights)
            if (open_in(weight) == none)
                result_.factors.push_back(weight.table + first_row(shape_.on(weight)));
        for (std::uint32_t p = 0; p < parts; ++p) {
            cut_out(p, links[p], weights[p]);
            for (const std::uint32_t r : requirements[p]) {
                const Requirement& it = shape_.requirements[r];
                cut_.requirements.push_back(
                    {result_.where[it.var].var, result_.where[it.on].var, it.allowed});
            }
            plan(cut_, result_.parts[p]);
        }
        return std::move(result_);
    }

private:
    [[nodiscard]] const SumCase& known() const { return result_.known; }
    [[nodiscard]] std::uint32_t part_of(Var var) const { return result_.where[var].part; }

    static constexpr Var none = std::numeric_limits<Var>::max();

    /// The first variable of a weight that is not known.
    [[nodiscard]] Var open_in(const SumWeight& weight) const {
        const std::span<const Var> on = shape_.on(weight);
        const auto open =
            std::find_if(on.begin(), on.end(), [&](Var v) { return !known().knows(v); });
        return open == on.end() ? none : *open;
    }

    /// Variables that something touches, part by part.
    void place_variables() {
        const std::size_t n = shape_.variables.size();
        std::vector<std::uint8_t> touched(n, 0);
        for (const SumLink& link : shape_.links) {
            if (adds_nothing(shape_, link, known()))
                continue;
            touched[link.target] = 1;
            for (const Var v : shape_.sources(link))
                touched[v] = 1;
        }
        for (const SumWeight& weight : shape_.weights)
            for (const Var v : shape_.on(weight))
                touched[v] = 1;
        std::vector<std::uint32_t> number(n, PartPlace::alone);  // [least of a component] its part
        std::vector<std::uint32_t> count;                        // [part] variables
        for (Var v = 0; v < n; ++v) {
            if (touched[v] == 0 || known().knows(v)) {
                result_.where[v] = {PartPlace::alone, v};
                continue;
            }
            std::uint32_t& p = number[component_[v]];
            if (p == PartPlace::alone) {
                p = static_cast<std::uint32_t>(count.size());
                count.push_back(0);
            }
            result_.where[v] = {p, count[p]++};
        }
        result_.parts.resize(count.size());
        for (std::size_t p = 0; p < count.size(); ++p)
            result_.parts[p].vars.reserve(count[p]);
        for (Var v = 0; v < n; ++v)
            if (const PartPlace& where = result_.where[v]; !where.is_alone())
                result_.parts[where.part].vars.push_back(v);
    }

    /// Combination number of some variables that are known.
    [[nodiscard]] Slot first_row(std::span<const Var> vars) const {
        Slot row = 0;
        for (const Var v : vars)
            row = row * shape_.variables[v].values + known().value(v);
        return row;
    }

    void take(std::uint32_t p, Slot first, std::size_t count) {
        SumPart& part = result_.parts[p];
        for (Slot i = 0; i < count; ++i) {
            result_.number_at[first + i] = static_cast<Slot>(part.numbers.size());
            result_.part_at[first + i] = p;
            part.numbers.push_back(first + i);
        }
    }

    /// `count` numbers for every combination of `vars` in which the known ones are as they are.
    void take_rows(std::uint32_t p, std::span<const Var> vars, Slot first, std::size_t count) {
        if (known().knows_nothing()) {
            take(p, first, count * shape_.combinations(vars));
            return;
        }
        rows_.assign(1, 0);
        for (const Var v : vars) {
            const std::uint32_t values = shape_.variables[v].values;
            next_.clear();
            for (const Slot row : rows_)
                for (std::uint32_t a = 0; a < values; ++a)
                    if (!known().knows(v) || known().value(v) == a)
                        next_.push_back(row * values + a);
            std::swap(rows_, next_);
        }
        for (const Slot row : rows_)
            take(p, first + row * static_cast<Slot>(count), count);
    }

    std::span<const Var> here(std::span<const Var> vars) {
        list_.clear();
        for (const Var v : vars)
            if (!known().knows(v))
                list_.push_back(result_.where[v].var);
        return list_;
    }

    /// Numbers of a part, if nothing is known.
    [[nodiscard]] std::size_t most_numbers(std::uint32_t p, std::span<const std::uint32_t> links,
                                           std::span<const std::uint32_t> weights) const {
        std::size_t sum = 0;
        for (const Var v : result_.parts[p].vars)
            sum += 2 * std::size_t{shape_.variables[v].values};
        for (const std::uint32_t l : links)
            sum += shape_.combinations(shape_.sources(shape_.links[l])) *
                   shape_.variables[shape_.links[l].target].values;
        for (const std::uint32_t w : weights)
            sum += shape_.combinations(shape_.on(shape_.weights[w]));
        return sum;
    }

    void cut_out(std::uint32_t p, std::span<const std::uint32_t> links,
                 std::span<const std::uint32_t> weights) {
        SumPart& part = result_.parts[p];
        part.numbers.reserve(most_numbers(p, links, weights));
        const auto next = [&] { return static_cast<Slot>(part.numbers.size()); };
        cut_.clear();
        cut_.variables.reserve(part.vars.size());
        cut_.links.reserve(links.size());
        cut_.lists.reserve(2 * links.size());
        for (const Var v : part.vars) {
            const SumVariable& it = shape_.variables[v];
            const Slot start = next();
            take(p, it.start, it.values);
            cut_.add(it.values, it.join, start, next());
            take(p, it.after, it.values);
        }
        for (const std::uint32_t l : links) {
            const SumLink& it = shape_.links[l];
            const std::span<const Var> sources = shape_.sources(it);
            cut_.link(result_.where[it.target].var, here(sources), next());
            take_rows(p, sources, it.rows, shape_.variables[it.target].values);
        }
        for (const std::uint32_t w : weights) {
            const SumWeight& it = shape_.weights[w];
            const std::span<const Var> on = shape_.on(it);
            cut_.weigh(here(on), next());
            take_rows(p, on, it.table, 1);
        }
    }

    const Shape& shape_;
    std::vector<Var> component_;
    Shape cut_;  // the part in hand, by itself
    std::vector<Var> list_;
    std::vector<Slot> rows_, next_;
    SumParts result_;
};

/// Variables on which others hang, the one with the most first.
std::vector<Var> hubs_of(const Shape& shape) {
    std::vector<std::pair<std::size_t, Var>> hubs;
    for (const Requirement& it : shape.requirements) {
        const auto found = std::find_if(hubs.begin(), hubs.end(),
                                        [&](const auto& hub) { return hub.second == it.on; });
        if (found == hubs.end())
            hubs.emplace_back(1, it.on);
        else
            ++found->first;
    }
    std::stable_sort(hubs.begin(), hubs.end(),
                     [](const auto& a, const auto& b) { return a.first > b.first; });
    std::vector<Var> vars;
    for (const auto& [count, var] : hubs)
        vars.push_back(var);
    return vars;
}

// Cases of cases of ... are not looked for below this.
constexpr int most_hubs = 2;

// What all runs together cost, above which cases are tried: each is planned by itself.
constexpr double worth_cases = 1e6;

// Cases must be clearly cheaper: each costs a little more than its operations.
constexpr double clearly = 0.8;

}  // namespace

struct PlanCache::Inside {
    struct How {
        std::shared_ptr<const Plan> plan;
        std::shared_ptr<const PartCases> cases;
    };
    std::unordered_map<Structure, How> plans;
    std::unordered_map<Structure, Draft> drafts;
    Ways ways = Ways::cheapest;

    const Draft& draft(const Shape& shape, Slot numbers, Runs runs) {
        Structure key = structure_of(shape);
        key.push_back(runs == Runs::many ? 1 : 0);
        const auto [at, is_new] = drafts.try_emplace(std::move(key));
        if (is_new)
            at->second = rough_draft(shape, numbers, runs);
        return at->second;
    }

    /// Whether a part is cheaper case by case, by a rough count.
    bool cases_pay(const Shape& shape, Slot numbers, Var hub, Runs runs) {
        if (ways == Ways::wherever_possible)
            return true;
        const double whole = draft(shape, numbers, runs).cost();
        if (whole * (runs == Runs::many ? 100 : 1) < worth_cases)
            return false;
        const double dearest = clearly * whole;
        double cost = 0;
        for (std::uint32_t a = 0; a < shape.variables[hub].values && cost < dearest; ++a)
            Splitter(shape, numbers, SumCase(shape, hub, a))
                .run([&](const Shape& cut, SumPart& part) {
                    cost += draft(cut, static_cast<Slot>(part.numbers.size()), runs).cost();
                });
        return cost < dearest;
    }

    void plan(const Shape& shape, Runs runs, SumPart& part, int hubs) {
        // Kept apart, so that the last digits of an answer do not hang on what was asked before.
        Structure key = structure_of(shape);
        key.push_back(runs == Runs::many ? 1 : 0);
        key.push_back(static_cast<std::uint32_t>(hubs));
        if (const auto found = plans.find(key); found != plans.end()) {
            part.plan = found->second.plan;
            part.cases = found->second.cases;
            return;
        }
        const auto numbers = static_cast<Slot>(part.numbers.size());
        const std::vector<Var> by = hubs_of(shape);
        if (hubs < most_hubs && !by.empty() && cases_pay(shape, numbers, by.front(), runs))
            part.cases = cases_by(shape, numbers, by.front(), runs, hubs + 1);
        else
            part.plan = std::make_shared<const Plan>(plan_of(shape, numbers, runs));
        plans[std::move(key)] = {part.plan, part.cases};
    }

    [[nodiscard]] Plan plan_of(const Shape& shape, Slot numbers, Runs runs) {
        constexpr std::size_t small_folds = 8;
        if (ways == Ways::wherever_possible)
            if (std::optional<Plan> branching = plan_branching(shape, numbers, small_folds))
                return *std::move(branching);
        // Drafts are only kept where cases were tried.
        return drafts.empty() ? plan_for(shape, numbers, runs)
                              : plan_from(draft(shape, numbers, runs), shape, numbers, runs);
    }

    std::shared_ptr<const PartCases> cases_by(const Shape& shape, Slot numbers, Var hub, Runs runs,
                                              int hubs) {
        PartCases it;
        it.shape = shape;
        for (std::uint32_t a = 0; a < shape.variables[hub].values; ++a) {
            const SumParts& one = it.cases.emplace_back(
                Splitter(shape, numbers, SumCase(shape, hub, a))
                    .run([&](const Shape& cut, SumPart& part) { plan(cut, runs, part, hubs); }));
            it.width = std::max(it.width, one.width());
            it.cost += one.cost();
            it.entries += one.entries();
        }
        return std::make_shared<const PartCases>(std::move(it));
    }
};

PlanCache::PlanCache(Ways ways) : inside_(std::make_unique<Inside>()) { inside_->ways = ways; }
PlanCache::~PlanCache() = default;

void PlanCache::plan(const Shape& shape, Runs runs, SumPart& part) {
    constexpr std::size_t most = 4096;
    if (inside_->plans.size() >= most) {
        inside_->plans.clear();
        inside_->drafts.clear();
    }
    inside_->plan(shape, runs, part, 0);
}

double rough_cost(const Sum& sum) {
    double cost = 0;
    (void)Splitter(sum.shape, sum.numbers.size(), {}).run([&](const Shape& cut, SumPart& part) {
        cost += rough_draft(cut, static_cast<Slot>(part.numbers.size()), Runs::few).cost();
    });
    return cost;
}

SumParts parts_of(const Shape& shape, std::size_t numbers, PlanCache& plans, Runs runs) {
    return Splitter(shape, numbers, {}).run([&](const Shape& cut, SumPart& part) {
        plans.plan(cut, runs, part);
    });
}

}  // namespace knockwell
