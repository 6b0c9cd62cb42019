#include "beliefs/fold.hpp"

#include <algorithm>
#include <optional>
#include <utility>

namespace knockwell {
namespace {

/// Row numbers in a table over `of` (a part of `vars`, in any order) for all combinations of
/// `vars`.
std::vector<std::size_t> rows_of(const Shape& shape, const std::vector<Var>& vars,
                                 const std::vector<Var>& of) {
    std::vector<Digit> digits;
    for (const Var v : vars)
        digits.push_back({shape.values[v], 0});
    std::size_t step = 1;
    for (std::size_t i = of.size(); i-- > 0;) {
        const auto at = std::find(vars.begin(), vars.end(), of[i]);
        digits[static_cast<std::size_t>(at - vars.begin())].stride = step;
        step *= shape.values[of[i]];
    }
    return offsets_of(digits);
}

/// A link (with a target) or a weight while folding goes on.
struct SumPart {
    std::optional<Var> target;
    std::vector<Var> scope;  // sources, or what the weight is on
    TablePlace place;
    bool live = true;
};

class Folder {
public:
    Folder(Shape shape, std::size_t largest) : largest_(largest), touching_(shape.values.size()) {
        for (ShapeLink& link : shape.links)
            add({link.target, std::move(link.sources), link.rows});
        for (ShapeWeight& weight : shape.weights)
            add({std::nullopt, std::move(weight.on), weight.table});
        shape.links.clear();
        shape.weights.clear();
        result_.shape = std::move(shape);
    }

    Folding run() {
        // Small ones first, so that what they leave is seen before the larger are tried.
        for (std::size_t limit = 2; limit < 2 * largest_; limit *= 2)
            while (pass(std::min(limit, largest_))) {
            }
        merge_links();
        merge_weights();
        return std::move(result_);
    }

private:
    void add(SumPart part) {
        const auto id = static_cast<std::uint32_t>(parts_.size());
        if (part.target)
            touching_[*part.target].push_back(id);
        for (const Var v : part.scope)
            touching_[v].push_back(id);
        parts_.push_back(std::move(part));
    }

    bool pass(std::size_t limit) {
        bool any = false;
        for (Var v = 0; v < touching_.size(); ++v)
            any = (result_.shape.kept[v] && try_fold(v, limit)) || any;
        return any;
    }

    struct Around {
        std::vector<std::uint32_t> in, out, weights;
        std::vector<Var> scope;
        std::optional<Var> target;
        std::size_t combinations = 1;
    };

    /// Nothing where v cannot be folded within the limit.
    std::optional<Around> around(Var v, std::size_t limit) {
        Around it;
        std::vector<std::uint32_t>& touching = touching_[v];
        std::erase_if(touching, [&](std::uint32_t id) { return !parts_[id].live; });
        const Shape& shape = result_.shape;
        for (const std::uint32_t id : touching) {
            const SumPart& part = parts_[id];
            if (part.target == v) {
                it.in.push_back(id);
            } else if (part.target) {
                if (it.target && it.target != part.target)
                    return std::nullopt;
                it.target = part.target;
                it.out.push_back(id);
            } else {
                it.weights.push_back(id);
            }
            for (const Var other : part.scope) {
                if (other == v ||
                    std::find(it.scope.begin(), it.scope.end(), other) != it.scope.end())
                    continue;
                it.scope.push_back(other);
                it.combinations *= shape.values[other];
                if (it.combinations > limit)
                    return std::nullopt;
            }
        }
        const std::size_t ends = it.target ? shape.values[*it.target] : 1;
        if (it.combinations * shape.values[v] * ends > limit)
            return std::nullopt;
        // A weight that v shares with its target, or with what stands below it, would let the
        // target depend on itself.
        if (it.target && !it.weights.empty() && is_below(*it.target, it.scope))
            return std::nullopt;
        std::sort(it.scope.begin(), it.scope.end());
        return it;
    }

    /// Whether one of these is `top` or can be reached from it along links.
    [[nodiscard]] bool is_below(Var top, const std::vector<Var>& these) const {
        std::vector<bool> seen(touching_.size(), false);
        std::vector<Var> next{top};
        seen[top] = true;
        while (!next.empty()) {
            const Var v = next.back();
            next.pop_back();
            if (std::find(these.begin(), these.end(), v) != these.end())
                return true;
            for (const std::uint32_t id : touching_[v])
                if (const SumPart& part = parts_[id];
                    part.live && part.target && !seen[*part.target]) {
                    seen[*part.target] = true;
                    next.push_back(*part.target);
                }
        }
        return false;
    }

    /// Rows by the combinations of `vars`.
    std::vector<Ingredient> take(const std::vector<std::uint32_t>& ids,
                                 const std::vector<Var>& vars) {
        std::vector<Ingredient> taken;
        for (const std::uint32_t id : ids) {
            taken.push_back({parts_[id].place, rows_of(result_.shape, vars, parts_[id].scope)});
            parts_[id].live = false;
        }
        return taken;
    }

    bool try_fold(Var v, std::size_t limit) {
        const std::optional<Around> near = around(v, limit);
        if (!near)
            return false;
        const Shape& shape = result_.shape;
        std::vector<Var> with_v = near->scope;
        with_v.push_back(v);
        Fold fold;
        fold.var = v;
        fold.combinations = static_cast<std::uint32_t>(near->combinations);
        fold.in = take(near->in, near->scope);
        fold.weights = take(near->weights, with_v);
        fold.out = take(near->out, with_v);
        if (near->target) {
            fold.values = shape.values[*near->target];
            fold.join = shape.join[*near->target];
        }
        fold.made = make(std::size_t{fold.combinations} * fold.values);
        result_.cost += static_cast<double>(fold.combinations) * shape.values[v] * fold.values;
        const TablePlace made{TablePlace::In::made, fold.made};
        result_.folds.push_back(std::move(fold));
        result_.shape.kept[v] = false;
        if (near->scope.empty() && !near->target)
            result_.factors.push_back(made);
        else
            add({near->target, near->scope, made});
        return true;
    }

    std::uint32_t make(std::size_t numbers) {
        const std::uint32_t at = result_.made;
        result_.made += static_cast<std::uint32_t>(numbers);
        return at;
    }

    /// Live parts, gathered under the widest scope that holds theirs; widest first.
    struct Gathered {
        std::vector<Var> scope;
        std::vector<std::uint32_t> ids;
    };
    std::vector<Gathered> gather(std::vector<std::uint32_t> ids) {
        std::stable_sort(ids.begin(), ids.end(), [&](std::uint32_t a, std::uint32_t b) {
            return parts_[a].scope.size() > parts_[b].scope.size();
        });
        std::vector<Gathered> all;
        for (const std::uint32_t id : ids) {
            const std::vector<Var>& scope = parts_[id].scope;
            const auto holds = [&](const Gathered& it) {
                // The narrow may ride on the wide, but what stands alone goes to the start.
                return (!scope.empty() || it.scope.empty()) &&
                       std::all_of(scope.begin(), scope.end(), [&](Var v) {
                           return std::find(it.scope.begin(), it.scope.end(), v) != it.scope.end();
                       });
            };
            const auto found = std::find_if(all.begin(), all.end(), holds);
            if (found == all.end())
                all.push_back({scope, {id}});
            else
                found->ids.push_back(id);
        }
        return all;
    }

    TablePlace merged(const Gathered& gathered, std::vector<Ingredient> own, std::uint32_t values,
                      const Join& join) {
        Merge merge;
        merge.combinations = static_cast<std::uint32_t>(result_.shape.combinations(gathered.scope));
        merge.values = values;
        merge.join = join;
        merge.from = std::move(own);
        for (const std::uint32_t id : gathered.ids)
            merge.from.push_back(
                {parts_[id].place, parts_[id].scope == gathered.scope
                                       ? std::vector<std::size_t>{}
                                       : rows_of(result_.shape, gathered.scope, parts_[id].scope)});
        merge.made = make(std::size_t{merge.combinations} * values);
        result_.cost += static_cast<double>(merge.combinations) * values * values *
                        static_cast<double>(merge.from.size());
        const TablePlace made{TablePlace::In::made, merge.made};
        result_.merges.push_back(std::move(merge));
        return made;
    }

    void merge_links() {
        Shape& shape = result_.shape;
        for (Var v = 0; v < touching_.size(); ++v) {
            if (!shape.kept[v])
                continue;
            std::vector<std::uint32_t> ids;
            for (const std::uint32_t id : touching_[v])
                if (parts_[id].live && parts_[id].target == v)
                    ids.push_back(id);
            for (const Gathered& gathered : gather(std::move(ids))) {
                if (gathered.scope.empty()) {
                    shape.start[v] =
                        merged(gathered, {{shape.start[v], {}}}, shape.values[v], shape.join[v]);
                    continue;
                }
                const TablePlace rows = gathered.ids.size() == 1
                                            ? parts_[gathered.ids.front()].place
                                            : merged(gathered, {}, shape.values[v], shape.join[v]);
                shape.links.push_back({v, gathered.scope, rows});
            }
        }
    }

    void merge_weights() {
        Shape& shape = result_.shape;
        std::vector<std::uint32_t> ids;
        for (std::uint32_t id = 0; id < parts_.size(); ++id)
            if (parts_[id].live && !parts_[id].target)
                ids.push_back(id);
        for (const Gathered& gathered : gather(std::move(ids))) {
            if (gathered.scope.size() == 1) {
                TablePlace& after = shape.after[gathered.scope.front()];
                after = merged(gathered, {{after, {}}}, 1, {});
                continue;
            }
            const TablePlace table = gathered.ids.size() == 1 ? parts_[gathered.ids.front()].place
                                                              : merged(gathered, {}, 1, {});
            shape.weights.push_back({gathered.scope, table});
        }
    }

    std::size_t largest_;
    std::vector<SumPart> parts_;
    std::vector<std::vector<std::uint32_t>> touching_;  // [variable] parts, dead ones among them
    Folding result_;
};

}  // namespace

Folding fold(Shape shape, std::size_t largest) { return Folder(std::move(shape), largest).run(); }

}  // namespace knockwell
