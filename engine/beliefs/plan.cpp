#include "beliefs/plan.hpp"

#include "beliefs/branches.hpp"
#include "beliefs/digits.hpp"
#include "beliefs/join_rows.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace knockwell {
namespace {

/// Turns an order into operations with strides and places.
class Layout {
public:
    explicit Layout(Plan& plan)
        : plan_(plan), folding_(plan.folding), shape_(plan.folding.left),
          asks_(folding_.end - folding_.first_made, 0), place_(shape_.variables.size(), 0) {
        // A table asks for its gradient where a folded variable went into it.
        for (const Fold& fold : folding_.folds)
            asks_[fold.made - folding_.first_made] = 1;
        for (const Merge& merge : folding_.merges)
            for (const Ingredient& it : merge.from.of(folding_.ingredients))
                if (asks(it.from))
                    asks_[merge.made - folding_.first_made] = 1;
    }

    void run(const Order& order) {
        plan_.operations.reserve(order.steps.size());
        plan_.offsets.reserve(2 * order.steps.size());
        plan_.gaps.reserve(2 * order.steps.size());
        for (const OrderStep& step : order.steps)
            take(step);
    }

private:
    struct OpenDigit {
        Digit digit;
        Var var = 0;
        bool grows = false;  // links into it are added here; else it is complete
    };
    /// One that waits for another to meet it.
    struct Table {
        std::vector<OpenDigit> open;
        std::size_t size = 1;
        std::size_t at = 0;
    };

    [[nodiscard]] bool asks(Slot place) const {
        return plan_.slopes ||
               (place >= folding_.first_made && asks_[place - folding_.first_made] != 0);
    }

    void take(const OrderStep& step) {
        switch (step.kind) {
        case OrderStep::Kind::open:
            open(step.index, step.with);
            break;
        case OrderStep::Kind::begin:
            begin();
            break;
        case OrderStep::Kind::meet:
            meet();
            break;
        case OrderStep::Kind::link: {
            const SumLink& link = shape_.links[step.index];
            Operation op = operation(step.kind, link.rows);
            op.var = link.target;
            op.values = shape_.variables[link.target].values;
            op.join = shape_.variables[link.target].join;
            op.stride = digit(link.target).stride;
            const std::span<const Var> sources = shape_.sources(link);
            fixed_.assign(sources.begin(), sources.end());
            fixed_.push_back(link.target);
            spread(op, sources);
            stay(op);
            break;
        }
        case OrderStep::Kind::weigh: {
            const SumWeight& weight = shape_.weights[step.index];
            Operation op = operation(step.kind, weight.table);
            const std::span<const Var> on = shape_.on(weight);
            fixed_.assign(on.begin(), on.end());
            spread(op, on);
            stay(op);
            break;
        }
        case OrderStep::Kind::close:
            close(step.index);
            break;
        }
    }

    [[nodiscard]] Operation operation(OrderStep::Kind kind, Slot numbers) const {
        Operation op;
        op.kind = kind;
        op.numbers = numbers;
        op.gradient = asks(numbers);
        op.size = size_;
        op.from = op.to = at_;
        return op;
    }

    [[nodiscard]] const Digit& digit(Var var) const { return open_[place_[var]].digit; }

    void open(Var var, OrderStep::With with) {
        const SumVariable& variable = shape_.variables[var];
        Operation op = operation(OrderStep::Kind::open, variable.start);
        op.var = var;
        op.with = with;
        op.gradient = op.gradient && with == OrderStep::With::start;
        if (with != OrderStep::With::start)
            plan_.most_opened = std::max(plan_.most_opened, variable.values);
        op.values = variable.values;
        op.stride = size_;
        if (op.gradient)
            op.to = at_ + size_;
        append_digit(var, with != OrderStep::With::ones);
        op.size = size_;
        move_to(op.to);
        plan_.operations.push_back(op);
    }

    void close(Var var) {
        const SumVariable& variable = shape_.variables[var];
        Operation op = operation(OrderStep::Kind::close, variable.after);
        op.var = var;
        op.values = variable.values;
        op.stride = digit(var).stride;
        op.to = at_ + size_;
        open_.erase(open_.begin() + static_cast<std::ptrdiff_t>(place_[var]));
        size_ = 1;
        for (std::size_t i = 0; i < open_.size(); ++i) {
            open_[i].digit.stride = size_;
            size_ *= open_[i].digit.values;
            place_[open_[i].var] = i;
        }
        move_to(op.to);
        plan_.operations.push_back(op);
    }

    void append_digit(Var var, bool grows) {
        const std::uint32_t values = shape_.variables[var].values;
        place_[var] = open_.size();
        open_.push_back({{values, size_}, var, grows});
        size_ *= values;
    }

    void begin() {
        Operation op = operation(OrderStep::Kind::begin, 0);
        op.gradient = false;
        op.to = at_ + size_;
        waiting_.push_back({std::move(open_), size_, at_});
        open_.clear();
        size_ = 1;
        move_to(op.to);
        plan_.operations.push_back(op);
    }

    /// The table in hand goes into the one that waited.
    void meet() {
        const Table other{std::move(open_), size_, at_};
        open_ = std::move(waiting_.back().open);
        size_ = waiting_.back().size;
        at_ = waiting_.back().at;
        waiting_.pop_back();
        for (std::size_t i = 0; i < open_.size(); ++i)
            place_[open_[i].var] = i;
        Operation op = operation(OrderStep::Kind::meet, static_cast<Slot>(plan_.meetings.size()));
        op.gradient = true;
        op.to = other.at + other.size;
        place_meeting(op, other);
        move_to(op.to);
        plan_.operations.push_back(op);
    }

    void place_meeting(Operation& op, const Table& other) {
        std::vector<Digit> shared;
        std::vector<Digit> grows_here;
        std::vector<Digit> grows_there;
        std::vector<Digit> fresh;
        std::vector<Var> shared_vars;
        std::vector<OpenDigit> own;
        fixed_.clear();
        for (const OpenDigit& there : other.open) {
            const auto here = std::find_if(open_.begin(), open_.end(), [&](const OpenDigit& it) {
                return it.var == there.var;
            });
            if (here == open_.end()) {
                own.push_back(there);
                continue;
            }
            fixed_.push_back(there.var);
            if (here->grows && there.grows) {
                grows_here.push_back(here->digit);
                grows_there.push_back(there.digit);
                growing_.push_back(there.var);
            } else {
                here->grows = here->grows || there.grows;
                shared.push_back(there.digit);
                shared_vars.push_back(there.var);
            }
        }
        // The last to be appended is the slowest.
        for (std::size_t i = own.size(); i-- > 0;)
            fresh.push_back(own[i].digit);
        spread(op, shared_vars);
        Meeting meeting;
        meeting.other = other.at;
        meeting.other_size = other.size;
        meeting.shared = offsets_of(shared);
        meeting.fresh = offsets_of(fresh);
        meeting.grows = offsets_of(grows_there);
        place_pairs(meeting, grows_here);
        plan_.meetings.push_back(meeting);
        for (const OpenDigit& it : own)
            append_digit(it.var, it.grows);
    }

    /// Where the combinations of some digits stand, the first digit slowest.
    Slice offsets_of(const std::vector<Digit>& digits) {
        const std::size_t first = plan_.offsets.size();
        add_offsets(digits, plan_.offsets);
        return {static_cast<std::uint32_t>(first),
                static_cast<std::uint32_t>(plan_.offsets.size() - first)};
    }

    struct Growing {
        std::uint32_t base = 1;
        std::size_t stride = 0;
    };

    /// The digits of growing_, the slowest of each first; clears it.
    std::vector<Growing> growing_digits(const std::vector<Digit>& here) {
        std::vector<Growing> digits;
        for (std::size_t i = 0; i < growing_.size(); ++i) {
            const SumVariable& it = shape_.variables[growing_[i]];
            const std::uint32_t base = it.join.digits == 1 ? it.values : it.join.base;
            std::size_t stride = here[i].stride * it.values;
            for (std::uint32_t d = 0; d < it.join.digits; ++d) {
                stride /= base;
                digits.push_back({base, stride});
            }
        }
        growing_.clear();
        return digits;
    }

    /// Every two combinations of what grows of which one can become the other.
    void place_pairs(Meeting& meeting, const std::vector<Digit>& here) {
        const std::vector<Growing> digits = growing_digits(here);
        meeting.bases = {static_cast<std::uint32_t>(plan_.offsets.size()),
                         static_cast<std::uint32_t>(digits.size())};
        for (const Growing& it : digits)
            plan_.offsets.push_back(it.base);
        std::vector<MeetPair> pairs{{}};
        for (std::size_t i = 0; i + 1 < digits.size(); ++i)
            pairs = with_digit(pairs, digits[i]);
        if (!digits.empty()) {
            meeting.base = digits.back().base;
            meeting.stride = digits.back().stride;
        }
        meeting.chances = pairs.size() * meeting.base;
        for (std::uint32_t i = 0; i < pairs.size(); ++i)
            pairs[i].chance = i * meeting.base;
        meeting.pairs = placed(pairs, [](const MeetPair& it) { return it.from; });
        meeting.by_to = placed(pairs, [](const MeetPair& it) { return it.to; });
        plan_.most_chances = std::max(plan_.most_chances, meeting.chances);
    }

    static std::vector<MeetPair> with_digit(const std::vector<MeetPair>& pairs,
                                            const Growing& digit) {
        std::vector<MeetPair> more;
        more.reserve(pairs.size() * digit.base * (digit.base + 1) / 2);
        const auto stride = static_cast<std::uint32_t>(digit.stride);
        for (const MeetPair& pair : pairs)
            for (std::uint32_t a = 0; a < digit.base; ++a)
                for (std::uint32_t to = a; to < digit.base; ++to)
                    more.push_back({pair.from + a * stride, pair.to + to * stride, 0});
        return more;
    }

    template <class Place>
    Slice placed(std::vector<MeetPair> pairs, Place place) {
        std::stable_sort(pairs.begin(), pairs.end(),
                         [&](const MeetPair& a, const MeetPair& b) { return place(a) < place(b); });
        const Slice slice{static_cast<std::uint32_t>(plan_.pairs.size()),
                          static_cast<std::uint32_t>(pairs.size())};
        plan_.pairs.insert(plan_.pairs.end(), pairs.begin(), pairs.end());
        return slice;
    }

    /// The table keeps its size; where the gradient is asked for, the old one is kept beside it.
    void stay(Operation& op) {
        if (op.gradient)
            op.to = at_ + size_;
        move_to(op.to);
        plan_.operations.push_back(op);
    }

    void move_to(std::size_t to) {
        at_ = to;
        plan_.entries = std::max(plan_.entries, at_ + size_);
        plan_.largest = std::max(plan_.largest, size_);
    }

    /// Where each combination of `vars` (first slowest) begins, and how the rest is reached: the
    /// digits in fixed_ stay.
    void spread(Operation& op, std::span<const Var> vars) {
        digits_.clear();
        for (const Var var : vars)
            digits_.push_back(digit(var));
        op.offsets.first = static_cast<std::uint32_t>(plan_.offsets.size());
        add_offsets(digits_, plan_.offsets);
        op.offsets.count = static_cast<std::uint32_t>(plan_.offsets.size()) - op.offsets.first;
        op.gaps.first = static_cast<std::uint32_t>(plan_.gaps.size());
        std::sort(fixed_.begin(), fixed_.end(),
                  [&](Var a, Var b) { return digit(a).stride < digit(b).stride; });
        op.run = fixed_.empty() ? size_ : digit(fixed_.front()).stride;
        for (std::size_t i = 0; i < fixed_.size(); ++i) {
            const std::size_t stride = digit(fixed_[i]).stride * digit(fixed_[i]).values;
            const std::size_t end = i + 1 < fixed_.size() ? digit(fixed_[i + 1]).stride : size_;
            if (end / stride > 1)
                plan_.gaps.push_back({stride, end / stride});
        }
        op.gaps.count = static_cast<std::uint32_t>(plan_.gaps.size()) - op.gaps.first;
    }

    Plan& plan_;
    const Folding& folding_;
    const Shape& shape_;
    std::vector<std::uint8_t> asks_;  // [made table's first number]
    std::vector<OpenDigit> open_;
    std::vector<Table> waiting_;
    std::vector<std::size_t> place_;  // [variable] in open_
    std::vector<Var> growing_;
    std::vector<Digit> digits_;
    std::vector<Var> fixed_;
    std::size_t size_ = 1;
    std::size_t at_ = 0;
};

// Operations of all runs together above which other folds and branches are tried: each try costs
// as much as so many operations.
constexpr double worth_tries = 3e5;

double runs_of(Runs runs) { return runs == Runs::many ? 100 : 1; }

Draft draft(const Shape& shape, Slot numbers, std::size_t largest_fold) {
    Draft it{fold(shape, numbers, largest_fold), {}};
    it.order = order_for(it.folding.left, it.folding.kept);
    return it;
}

Plan laid_out(const Shape& shape, Draft best, bool slopes = false) {
    Plan plan;
    plan.slopes = slopes;
    plan.width = best.order.width;
    plan.cost = best.cost();
    plan.share_at.reserve(shape.variables.size());
    for (const SumVariable& variable : shape.variables) {
        plan.share_at.push_back(plan.shares);
        plan.shares += variable.values;
        plan.room_of_a_link = std::max(plan.room_of_a_link,
                                       2 * std::size_t{variable.values} + room_of(variable.join));
    }
    plan.folding = std::move(best.folding);
    if (plan.width <= widest)
        Layout(plan).run(best.order);
    if (plan.entries > most_entries) {  // the tables are kept for the way back
        plan.width = std::log2(static_cast<double>(plan.entries));
        plan.operations.clear();
        plan.entries = plan.largest = 1;
    }
    return plan;
}

// Operations that a try at branches is worth (it takes about 0.15 ms), and about what share of all
// runs a further one saves (measured with tests/bench).
constexpr double a_try = 2e5;
constexpr double a_gain = 1.0 / 3;

/// Whether tables that meet are cheaper than the best so far. What meets lies scattered: an entry
/// then costs more than in one table, as long as that stays near the processor (measured with
/// tests/bench).
bool try_branches(Draft& best, const Folding& folding, std::uint32_t tries) {
    constexpr double near_width = 10;
    constexpr double clearly = 0.4;
    Draft other{folding, {}};
    const double dearest =
        best.cost() * (best.branched || best.order.width > near_width ? 1 : clearly);
    std::optional<Order> order =
        branched_order(folding.left, folding.kept, tries, dearest - other.cost());
    if (!order)
        return false;
    other.order = *std::move(order);
    best = std::move(other);
    best.branched = true;
    return true;
}

}  // namespace

/// A multiplication of a fold is dearer than one of the frontier's long runs (measured with
/// tests/bench).
double Draft::cost() const {
    constexpr double dearer = 12;
    constexpr double a_fold = 150;
    return dearer * folding.cost + a_fold * static_cast<double>(folding.folds.size()) + order.cost;
}

Draft rough_draft(const Shape& shape, Slot numbers, Runs runs) {
    Draft best = draft(shape, numbers, 8);
    if (best.cost() * runs_of(runs) >= worth_tries)
        try_branches(best, best.folding, 2);
    return best;
}

Plan plan_from(Draft best, const Shape& shape, Slot numbers, Runs runs) {
    const double worth = runs_of(runs);
    // A fold is dearer than the same digit in a small table; where the table is not small, more
    // folding saves more. But what is folded away ties its neighbours together, so that much
    // folding can widen the frontier: then several limits are tried, up to the first that does not
    // pay.
    for (const std::size_t largest : {std::size_t{64}, std::size_t{512}, std::size_t{4096}}) {
        if (best.cost() * worth < worth_tries)
            break;
        Draft other = draft(shape, numbers, largest);
        const bool branches_pay = try_branches(best, other.folding, 1);
        if (other.cost() < best.cost())
            best = std::move(other);
        else if (!branches_pay)
            break;
    }
    if (!best.branched)
        best.order =
            better_order(best.folding.left, best.folding.kept, std::move(best.order), worth);
    else if (const double tries = best.cost() * worth * a_gain / a_try; tries >= 1)
        try_branches(best, best.folding, static_cast<std::uint32_t>(std::min(tries, 16.0)));
    return laid_out(shape, std::move(best));
}

Plan plan_folding(const Shape& shape, Slot numbers, std::size_t largest_fold) {
    return laid_out(shape, draft(shape, numbers, largest_fold));
}

std::optional<Plan> plan_branching(const Shape& shape, Slot numbers, std::size_t largest_fold) {
    Draft it{fold(shape, numbers, largest_fold), {}};
    std::optional<Order> order = branched_order(it.folding.left, it.folding.kept, 2,
                                                std::numeric_limits<double>::infinity());
    if (!order)
        return std::nullopt;
    it.order = *std::move(order);
    return laid_out(shape, std::move(it));
}

Plan plan_with_slopes(const Shape& shape, Slot numbers) {
    Draft best = draft(shape, numbers, 64);
    if (best.cost() >= worth_tries)
        try_branches(best, best.folding, 8);
    if (!best.branched)
        best.order = better_order(best.folding.left, best.folding.kept, std::move(best.order), 1);
    return laid_out(shape, std::move(best), true);
}

}  // namespace knockwell
