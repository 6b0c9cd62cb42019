#include "beliefs/fold.hpp"

#include "beliefs/digits.hpp"

#include <algorithm>
#include <utility>

namespace knockwell {
namespace {

/// A link (with a target) or a weight while folding goes on.
struct Item {
    Var target = nowhere;
    Slice scope;  // sources, or what the weight is on
    Slot place = 0;
    bool live = true;
};

class Folder {
public:
    Folder(const Shape& shape, Slot numbers, std::size_t largest)
        : largest_(largest), first_(shape.variables.size(), nowhere), last_(first_),
          untried_(shape.variables.size(), 1), too_large_(shape.variables.size(), 0) {
        const std::size_t items = 2 * (shape.links.size() + shape.weights.size());
        result_.given = shape.variables;
        result_.left.variables = shape.variables;
        for (auto* list : {&in_, &out_, &weights_, &around_, &group_of_, &gathered_})
            list->reserve(few);
        digits_.reserve(few);
        groups_.reserve(few);
        result_.rows.reserve(4 * items);
        result_.factors.reserve(few);
        result_.merges.reserve(shape.variables.size());
        result_.left.links.reserve(shape.links.size());
        result_.left.lists.reserve(shape.lists.size());
        result_.kept.assign(shape.variables.size(), 1);
        result_.first_made = result_.end = numbers;
        items_.reserve(items);
        scopes_.reserve(2 * items);
        touches_.reserve(3 * items);
        result_.ingredients.reserve(items);
        result_.folds.reserve(shape.variables.size());
        result_.steps.reserve(shape.variables.size());
        for (const SumLink& link : shape.links)
            add(link.target, shape.sources(link), link.rows);
        for (const SumWeight& weight : shape.weights)
            add(nowhere, shape.on(weight), weight.table);
    }

    Folding run() {
        // Small ones first, so that what they leave is seen before the larger are tried.
        for (std::size_t limit = 4; limit < 4 * largest_; limit *= 4) {
            for (Var v = 0; v < untried_.size(); ++v)
                untried_[v] = static_cast<std::uint8_t>(untried_[v] | too_large_[v]);
            while (pass(std::min(limit, largest_))) {
            }
        }
        merge_links();
        merge_weights();
        return std::move(result_);
    }

private:
    static constexpr std::size_t few = 32;

    [[nodiscard]] std::uint32_t values(Var v) const { return result_.left.variables[v].values; }
    [[nodiscard]] std::span<const Var> scope(std::uint32_t id) const {
        return items_[id].scope.of(scopes_);
    }

    // --- who touches whom: for each variable a list of items, dead ones dropped as they are met

    struct Touch {
        std::uint32_t item, next;
    };

    void touch(Var v, std::uint32_t id) {
        const auto at = static_cast<std::uint32_t>(touches_.size());
        touches_.push_back({id, nowhere});
        (first_[v] == nowhere ? first_[v] : touches_[last_[v]].next) = at;
        last_[v] = at;
        untried_[v] = 1;
    }

    void add(Var target, std::span<const Var> scope, Slot place) {
        const auto id = static_cast<std::uint32_t>(items_.size());
        items_.push_back(
            {target,
             {static_cast<std::uint32_t>(scopes_.size()), static_cast<std::uint32_t>(scope.size())},
             place,
             true});
        scopes_.insert(scopes_.end(), scope.begin(), scope.end());
        if (target != nowhere)
            touch(target, id);
        for (const Var v : scope)
            touch(v, id);
    }

    template <class Act>
    void for_items(Var v, Act act) {
        std::uint32_t* from = &first_[v];
        std::uint32_t before = nowhere;
        while (*from != nowhere) {
            Touch& here = touches_[*from];
            if (!items_[here.item].live) {
                if (last_[v] == *from)
                    last_[v] = before;
                *from = here.next;
                continue;
            }
            if (!act(here.item))
                return;
            before = *from;
            from = &here.next;
        }
    }

    // --- folding

    bool pass(std::size_t limit) {
        bool any = false;
        for (Var v = 0; v < untried_.size(); ++v) {
            if (std::exchange(untried_[v], std::uint8_t{0}) == 0 || result_.kept[v] == 0)
                continue;
            if (try_fold(v, limit))
                any = true;
            else
                too_large_[v] = two_targets_ ? 0 : 1;
        }
        return any;
    }

    /// What v touches, and whether it can be folded within the limit.
    bool look_around(Var v, std::size_t limit) {
        in_.clear();
        out_.clear();
        weights_.clear();
        around_.clear();
        target_ = nowhere;
        two_targets_ = false;
        combinations_ = 1;
        bool fits = true;
        for_items(v, [&](std::uint32_t id) {
            const Item& item = items_[id];
            if (item.target == v) {
                in_.push_back(id);
            } else if (item.target == nowhere) {
                weights_.push_back(id);
            } else {
                two_targets_ = target_ != nowhere && target_ != item.target;
                fits = !two_targets_;
                target_ = item.target;
                out_.push_back(id);
            }
            for (const Var other : scope(id))
                if (other != v &&
                    std::find(around_.begin(), around_.end(), other) == around_.end()) {
                    around_.push_back(other);
                    combinations_ *= values(other);
                }
            fits = fits && combinations_ <= limit;
            return fits;
        });
        if (!fits || combinations_ * values(v) * (target_ == nowhere ? 1 : values(target_)) > limit)
            return false;
        // A weight that v shares with its target, or with what stands below it, would let the
        // target depend on itself.
        return target_ == nowhere || weights_.empty() || !is_below_target();
    }

    /// Whether a neighbour is the target or can be reached from it along links.
    bool is_below_target() {
        std::vector<std::uint8_t> seen(first_.size(), 0);
        std::vector<Var> next{target_};
        seen[target_] = 1;
        while (!next.empty()) {
            const Var v = next.back();
            next.pop_back();
            if (std::find(around_.begin(), around_.end(), v) != around_.end())
                return true;
            for_items(v, [&](std::uint32_t id) {
                const Var to = items_[id].target;
                if (to != nowhere && to != v && std::exchange(seen[to], std::uint8_t{1}) == 0)
                    next.push_back(to);
                return true;
            });
        }
        return false;
    }

    /// Row numbers in a table over `of` (a part of `vars`, in any order) for all combinations of
    /// `vars`; nowhere where they are the same.
    std::uint32_t rows_of(std::span<const Var> vars, std::span<const Var> of) {
        if (std::equal(vars.begin(), vars.end(), of.begin(), of.end()))
            return nowhere;
        digits_.clear();
        for (const Var v : vars)
            digits_.push_back({values(v), 0});
        std::size_t step = 1;
        for (std::size_t i = of.size(); i-- > 0;) {
            const auto at = std::find(vars.begin(), vars.end(), of[i]);
            digits_[static_cast<std::size_t>(at - vars.begin())].stride = step;
            step *= values(of[i]);
        }
        const auto first = static_cast<std::uint32_t>(result_.rows.size());
        add_offsets(digits_, result_.rows);
        return first;
    }

    Slice take(const std::vector<std::uint32_t>& ids, std::span<const Var> vars) {
        const auto first = static_cast<std::uint32_t>(result_.ingredients.size());
        for (const std::uint32_t id : ids) {
            result_.ingredients.push_back({items_[id].place, rows_of(vars, scope(id))});
            items_[id].live = false;
        }
        return {first, static_cast<std::uint32_t>(ids.size())};
    }

    /// Items of one target (or none) of which some have the scope of others become fewer, so that
    /// the large table of a fold takes few of them.
    void join_alike(std::vector<std::uint32_t>& ids) {
        if (ids.size() < 2)
            return;
        const std::span<const Gathered> all = gather(ids);
        if (all.size() == ids.size())
            return;
        ids.clear();
        for (const Gathered& gathered : all) {
            if (gathered.count == 1) {
                ids.push_back(gathered.widest);
                continue;
            }
            const Item& widest = items_[gathered.widest];
            const std::uint32_t values_there = widest.target == nowhere ? 1 : values(widest.target);
            const Join join =
                widest.target == nowhere ? Join{} : result_.left.variables[widest.target].join;
            const Slot made = merged(gathered, nowhere, values_there, join);
            for (const std::uint32_t id : this->ids(gathered))
                items_[id].live = false;
            ids.push_back(static_cast<std::uint32_t>(items_.size()));
            const std::vector<Var> on(scope(gathered.widest).begin(), scope(gathered.widest).end());
            add(widest.target, on, made);
        }
    }

    Slot make(std::size_t numbers) {
        return std::exchange(result_.end, result_.end + static_cast<Slot>(numbers));
    }

    bool try_fold(Var v, std::size_t limit) {
        if (!look_around(v, limit))
            return false;
        std::sort(around_.begin(), around_.end());
        for (std::vector<std::uint32_t>* ids : {&in_, &weights_, &out_})
            join_alike(*ids);
        Fold fold;
        fold.var = v;
        fold.combinations = static_cast<std::uint32_t>(combinations_);
        fold.in = take(in_, around_);
        around_.push_back(v);
        fold.weights = take(weights_, around_);
        fold.out = take(out_, around_);
        around_.pop_back();
        if (target_ != nowhere) {
            fold.values = values(target_);
            fold.join = result_.left.variables[target_].join;
        }
        fold.made = make(combinations_ * fold.values);
        const double entries = static_cast<double>(combinations_) * values(v);
        result_.cost += entries * (1.0 + fold.in.count + fold.weights.count) +
                        entries * fold.values * (1.0 + fold.out.count);
        result_.steps.push_back({false, static_cast<std::uint32_t>(result_.folds.size())});
        result_.folds.push_back(fold);
        result_.kept[v] = 0;
        for (const Var other : around_)
            untried_[other] = 1;
        if (around_.empty() && target_ == nowhere)
            result_.factors.push_back(fold.made);
        else
            add(target_, around_, fold.made);
        return true;
    }

    // --- merging

    struct Gathered {
        std::uint32_t widest = 0;
        std::uint32_t count = 0;
        Slice of;  // gathered_
    };

    [[nodiscard]] std::span<const std::uint32_t> ids(const Gathered& it) const {
        return it.of.of(gathered_);
    }

    /// Whether a narrow item may ride on a wide one; but what stands alone goes to the start.
    [[nodiscard]] bool rides(std::span<const Var> narrow, std::span<const Var> wide) const {
        return (!narrow.empty() || wide.empty()) &&
               std::all_of(narrow.begin(), narrow.end(), [&](Var v) {
                   return std::find(wide.begin(), wide.end(), v) != wide.end();
               });
    }

    /// Items gathered under the widest scope that holds theirs; widest first. Good until the next.
    std::span<const Gathered> gather(std::vector<std::uint32_t>& ids) {
        widest_first(ids);
        groups_.clear();
        group_of_.clear();
        for (const std::uint32_t id : ids) {
            const std::span<const Var> narrow = scope(id);
            const auto found =
                std::find_if(groups_.begin(), groups_.end(),
                             [&](const Gathered& it) { return rides(narrow, scope(it.widest)); });
            group_of_.push_back(static_cast<std::uint32_t>(found - groups_.begin()));
            if (found == groups_.end())
                groups_.push_back({id, 1, {}});
            else
                ++found->count;
        }
        gathered_.resize(ids.size());
        std::uint32_t first = 0;
        for (Gathered& it : groups_)
            it.of.first = std::exchange(first, first + it.count);
        for (std::size_t i = 0; i < ids.size(); ++i) {
            Slice& of = groups_[group_of_[i]].of;
            gathered_[of.first + of.count++] = ids[i];
        }
        return groups_;
    }

    /// Few, so by insertion: those of one width stay in their order.
    void widest_first(std::vector<std::uint32_t>& ids) const {
        const auto narrower = [&](std::uint32_t a, std::uint32_t b) {
            return items_[a].scope.count > items_[b].scope.count;
        };
        if (ids.size() > few) {
            std::stable_sort(ids.begin(), ids.end(), narrower);
            return;
        }
        for (auto at = ids.begin(); at != ids.end(); ++at)
            std::rotate(std::upper_bound(ids.begin(), at, *at, narrower), at, at + 1);
    }

    /// With what stood at `own` before, if anything.
    Slot merged(const Gathered& gathered, Slot own, std::uint32_t values, const Join& join) {
        const std::span<const Var> wide = scope(gathered.widest);
        Merge merge;
        merge.combinations = static_cast<std::uint32_t>(result_.left.combinations(wide));
        merge.values = values;
        merge.join = join;
        merge.from.first = static_cast<std::uint32_t>(result_.ingredients.size());
        if (own != nowhere)
            result_.ingredients.push_back({own, nowhere});
        for (const std::uint32_t id : ids(gathered))
            result_.ingredients.push_back({items_[id].place, rows_of(wide, scope(id))});
        merge.from.count =
            static_cast<std::uint32_t>(result_.ingredients.size()) - merge.from.first;
        merge.made = make(std::size_t{merge.combinations} * values);
        result_.cost += static_cast<double>(merge.combinations) * values * merge.from.count;
        result_.steps.push_back({true, static_cast<std::uint32_t>(result_.merges.size())});
        result_.merges.push_back(merge);
        return merge.made;
    }

    Slot merged_alone(const Gathered& gathered, std::uint32_t values, const Join& join) {
        return gathered.count == 1 ? items_[gathered.widest].place
                                   : merged(gathered, nowhere, values, join);
    }

    void merge_links() {
        Shape& left = result_.left;
        for (Var v = 0; v < first_.size(); ++v) {
            if (result_.kept[v] == 0)
                continue;
            in_.clear();
            for_items(v, [&](std::uint32_t id) {
                if (items_[id].target == v)
                    in_.push_back(id);
                return true;
            });
            SumVariable& variable = left.variables[v];
            for (const Gathered& gathered : gather(in_)) {
                if (scope(gathered.widest).empty())
                    variable.start =
                        merged(gathered, variable.start, variable.values, variable.join);
                else
                    left.link(v, scope(gathered.widest),
                              merged_alone(gathered, variable.values, variable.join));
            }
        }
    }

    void merge_weights() {
        Shape& left = result_.left;
        in_.clear();
        for (std::uint32_t id = 0; id < items_.size(); ++id)
            if (items_[id].live && items_[id].target == nowhere)
                in_.push_back(id);
        for (const Gathered& gathered : gather(in_)) {
            const std::span<const Var> on = scope(gathered.widest);
            if (on.size() == 1) {
                Slot& after = left.variables[on.front()].after;
                after = merged(gathered, after, 1, {});
            } else {
                left.weigh(on, merged_alone(gathered, 1, {}));
            }
        }
    }

    std::size_t largest_;
    std::vector<Item> items_;
    std::vector<Var> scopes_;
    std::vector<Touch> touches_;
    std::vector<std::uint32_t> first_, last_;  // [variable] of its touches
    std::vector<std::uint8_t> untried_;        // [variable] something about it changed
    std::vector<std::uint8_t> too_large_;      // [variable] a larger limit might do
    Folding result_;

    // What the variable in hand touches.
    std::vector<std::uint32_t> in_, out_, weights_;
    std::vector<Var> around_;
    Var target_ = nowhere;
    bool two_targets_ = false;
    std::size_t combinations_ = 1;
    std::vector<Digit> digits_;

    // What is gathered.
    std::vector<Gathered> groups_;
    std::vector<std::uint32_t> group_of_, gathered_;
};

}  // namespace

Folding fold(const Shape& shape, Slot numbers, std::size_t largest) {
    return Folder(shape, numbers, largest).run();
}

}  // namespace knockwell
