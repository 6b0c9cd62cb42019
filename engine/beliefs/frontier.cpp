#include "beliefs/frontier.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>

namespace knockwell {
namespace {

using Table = std::vector<double>;

/// The open variables from the fastest digit to the slowest, with their strides.
class Layout {
public:
    explicit Layout(std::size_t variables) : place_(variables, 0) {}

    void open(Var var, std::size_t values) {
        open_.push_back({var, values, size_});
        size_ *= values;
        place_[var] = open_.size() - 1;
    }
    void close(Var var) {
        const std::size_t at = place_[var];
        open_.erase(open_.begin() + static_cast<std::ptrdiff_t>(at));
        size_ = 1;
        for (std::size_t i = 0; i < open_.size(); ++i) {
            open_[i].stride = size_;
            size_ *= open_[i].values;
            place_[open_[i].var] = i;
        }
    }
    [[nodiscard]] std::size_t stride(Var var) const { return open_[place_[var]].stride; }
    [[nodiscard]] std::size_t values(Var var) const { return open_[place_[var]].values; }
    [[nodiscard]] std::size_t size() const { return size_; }

private:
    struct Digit {
        Var var;
        std::size_t values;
        std::size_t stride;
    };
    std::vector<Digit> open_;
    std::vector<std::size_t> place_;
    std::size_t size_ = 1;
};

/// Calls act(offset, run) for every stretch of entries in which all `fixed` digits are 0: `run`
/// neighbouring entries from `offset`.
template <class Act>
void for_each_free(const Layout& layout, std::vector<Var> fixed, Act act) {
    std::sort(fixed.begin(), fixed.end(),
              [&](Var a, Var b) { return layout.stride(a) < layout.stride(b); });
    const std::size_t run = fixed.empty() ? layout.size() : layout.stride(fixed.front());
    // Gaps between fixed digits, fastest first: count steps of one stride.
    struct Gap {
        std::size_t stride;
        std::size_t count;
    };
    std::vector<Gap> gaps;
    for (std::size_t i = 0; i < fixed.size(); ++i) {
        const std::size_t stride = layout.stride(fixed[i]) * layout.values(fixed[i]);
        const std::size_t end = i + 1 < fixed.size() ? layout.stride(fixed[i + 1]) : layout.size();
        if (end / stride > 1)
            gaps.push_back({stride, end / stride});
    }
    std::vector<std::size_t> at(gaps.size(), 0);
    std::size_t offset = 0;
    for (;;) {
        act(offset, run);
        std::size_t g = 0;
        for (; g < gaps.size(); ++g) {
            offset += gaps[g].stride;
            if (++at[g] < gaps[g].count)
                break;
            offset -= gaps[g].stride * gaps[g].count;
            at[g] = 0;
        }
        if (g == gaps.size())
            return;
    }
}

/// Where each combination of `vars` (first slowest) begins.
std::vector<std::size_t> offsets_of(const Layout& layout, const std::vector<Var>& vars) {
    std::vector<std::size_t> offsets{0};
    for (const Var var : vars) {
        std::vector<std::size_t> longer;
        longer.reserve(offsets.size() * layout.values(var));
        for (const std::size_t base : offsets)
            for (std::size_t a = 0; a < layout.values(var); ++a)
                longer.push_back(base + a * layout.stride(var));
        offsets = std::move(longer);
    }
    return offsets;
}

/// matrix[new][old] of one row of a link.
std::vector<double> matrix_of(const Join& join, const double* row, std::size_t values) {
    std::vector<double> matrix(values * values, 0);
    for (std::uint32_t old = 0; old < values; ++old)
        for (std::uint32_t e = 0; e < values; ++e)
            if (row[e] != 0)
                matrix[join(old, e) * values + old] += row[e];
    return matrix;
}

bool changes_nothing(const double* row, std::size_t values) {
    if (row[0] != 1)
        return false;
    return std::all_of(row + 1, row + values, [](double x) { return x == 0; });
}

enum class Way { forward, backward };

/// new = matrix * old for the digits of the target (backward: with the transpose), for two values.
void apply_to_bit(Table& table, std::size_t base, std::size_t run, std::size_t stride,
                  const std::vector<double>& m, Way way) {
    // A bit only grows: m = {m00, 0; m10, m11}.
    double* low = table.data() + base;
    double* high = low + stride;
    if (way == Way::forward) {
        for (std::size_t i = 0; i < run; ++i) {
            high[i] = m[2] * low[i] + m[3] * high[i];
            low[i] *= m[0];
        }
    } else {
        for (std::size_t i = 0; i < run; ++i) {
            low[i] = m[0] * low[i] + m[2] * high[i];
            high[i] *= m[3];
        }
    }
}

void apply(Table& table, std::size_t base, std::size_t run, std::size_t stride, std::size_t values,
           const std::vector<double>& m, Way way, std::vector<double>& old) {
    if (values == 2) {
        apply_to_bit(table, base, run, stride, m, way);
        return;
    }
    old.resize(values);
    for (std::size_t i = 0; i < run; ++i) {
        double* entry = table.data() + base + i;
        for (std::size_t a = 0; a < values; ++a)
            old[a] = entry[a * stride];
        for (std::size_t a = 0; a < values; ++a) {
            double sum = 0;
            for (std::size_t b = 0; b < values; ++b)
                sum += (way == Way::forward ? m[a * values + b] : m[b * values + a]) * old[b];
            entry[a * stride] = sum;
        }
    }
}

class Walk {
public:
    Walk(const Sum& sum, const Plan& plan)
        : sum_(sum), plan_(plan), layout_(sum.variables.size()) {}

    /// Sets log_sum_; false where the sum is 0. `keep`: remember what the way back needs.
    bool forward(bool keep) {
        table_.assign(1, 1.0);
        for (const PlanStep& step : plan_.steps) {
            if (!take(step, keep))
                return false;
        }
        return finish_component() && std::isfinite(log_sum_ += std::log(sum_.factor));
    }

    [[nodiscard]] double log_sum() const { return log_sum_; }

    std::vector<std::vector<double>> backward() {
        std::vector<std::vector<double>> shares(sum_.variables.size());
        Table back(1, 1.0);
        for (std::size_t i = plan_.steps.size(); i-- > 0;)
            untake(plan_.steps[i], back, shares);
        return shares;
    }

private:
    bool take(const PlanStep& step, bool keep) {
        switch (step.kind) {
        case PlanStep::Kind::open:
            open(step.index);
            return true;
        case PlanStep::Kind::link:
            link(step.index, table_, Way::forward);
            return true;
        case PlanStep::Kind::weigh:
            weigh(step.index, table_);
            return true;
        case PlanStep::Kind::close:
            return close(step.index, keep);
        case PlanStep::Kind::next_component:
            return finish_component();
        }
        return true;
    }

    void open(Var var) {
        const std::vector<double>& start = sum_.variables[var].start;
        const std::size_t size = table_.size();
        table_.resize(size * start.size());
        for (std::size_t a = start.size(); a-- > 0;)
            for (std::size_t s = 0; s < size; ++s)
                table_[a * size + s] = table_[s] * start[a];
        layout_.open(var, start.size());
    }

    void link(std::uint32_t index, Table& table, Way way) {
        const SumLink& link = sum_.links[index];
        const SumVariable& target = sum_.variables[link.target];
        const std::size_t stride = layout_.stride(link.target);
        std::vector<Var> fixed = link.sources;
        fixed.push_back(link.target);
        const std::vector<std::size_t> offsets = offsets_of(layout_, link.sources);
        for (std::size_t c = 0; c < offsets.size(); ++c) {
            const double* row = link.rows.data() + c * target.values;
            if (changes_nothing(row, target.values))
                continue;
            const std::vector<double> matrix = matrix_of(target.join, row, target.values);
            for_each_free(layout_, fixed, [&](std::size_t offset, std::size_t run) {
                apply(table, offset + offsets[c], run, stride, target.values, matrix, way,
                      scratch_);
            });
        }
    }

    void weigh(std::uint32_t index, Table& table) {
        const SumWeight& weight = sum_.weights[index];
        const std::vector<std::size_t> offsets = offsets_of(layout_, weight.on);
        for (std::size_t c = 0; c < offsets.size(); ++c) {
            const double by = weight.table[c];
            if (by == 1)
                continue;
            for_each_free(layout_, weight.on, [&](std::size_t offset, std::size_t run) {
                double* entry = table.data() + offset + offsets[c];
                for (std::size_t i = 0; i < run; ++i)
                    entry[i] *= by;
            });
        }
    }

    void weigh_digit(Var var, Table& table) const {
        const std::vector<double>& after = sum_.variables[var].after;
        if (after.empty())
            return;
        const std::size_t stride = layout_.stride(var);
        for (std::size_t begin = 0; begin < table.size();)
            for (const double by : after)
                for (std::size_t s = 0; s < stride; ++s)
                    table[begin++] *= by;
    }

    bool close(Var var, bool keep) {
        const std::size_t stride = layout_.stride(var);
        const std::size_t values = layout_.values(var);
        const std::size_t block = stride * values;
        weigh_digit(var, table_);
        Table smaller(table_.size() / values, 0.0);
        for (std::size_t outer = 0; outer < table_.size() / block; ++outer)
            for (std::size_t a = 0; a < values; ++a)
                for (std::size_t s = 0; s < stride; ++s)
                    smaller[outer * stride + s] += table_[outer * block + a * stride + s];
        if (keep)
            kept_.push_back({std::move(table_), layout_});
        table_ = std::move(smaller);
        layout_.close(var);
        return rescale();
    }

    bool rescale() {
        const double largest = *std::max_element(table_.begin(), table_.end());
        if (!(largest > 0) || !std::isfinite(largest))
            return false;
        if (largest < 1e-60 || largest > 1e60) {
            for (double& entry : table_)
                entry /= largest;
            log_sum_ += std::log(largest);
        }
        return true;
    }

    bool finish_component() {
        assert(table_.size() == 1 && "a component ends with everything closed");
        if (!(table_[0] > 0))
            return false;
        log_sum_ += std::log(table_[0]);
        table_[0] = 1;
        return true;
    }

    void untake(const PlanStep& step, Table& back, std::vector<std::vector<double>>& shares) {
        switch (step.kind) {
        case PlanStep::Kind::close:
            unclose(step.index, back, shares);
            break;
        case PlanStep::Kind::weigh:
            weigh(step.index, back);
            break;
        case PlanStep::Kind::link:
            link(step.index, back, Way::backward);
            break;
        case PlanStep::Kind::open:
            unopen(step.index, back);
            break;
        case PlanStep::Kind::next_component:
            back.assign(1, 1.0);
            break;
        }
    }

    /// The share of each value, and the table before the digit was summed out.
    void unclose(Var var, Table& back, std::vector<std::vector<double>>& shares) {
        const Kept& kept = kept_.back();
        layout_ = kept.layout;
        const std::size_t stride = layout_.stride(var);
        const std::size_t values = layout_.values(var);
        const std::size_t block = stride * values;
        Table larger(kept.table.size());
        std::vector<double> share(values, 0.0);
        for (std::size_t outer = 0; outer < kept.table.size() / block; ++outer)
            for (std::size_t a = 0; a < values; ++a) {
                const double* f = kept.table.data() + outer * block + a * stride;
                double* b = larger.data() + outer * block + a * stride;
                for (std::size_t s = 0; s < stride; ++s) {
                    b[s] = back[outer * stride + s];
                    share[a] += f[s] * b[s];
                }
            }
        double total = 0;
        for (const double x : share)
            total += x;
        for (double& x : share)
            x /= total;
        shares[var] = std::move(share);
        back = std::move(larger);
        weigh_digit(var, back);
        keep_in_range(back);
        kept_.pop_back();
    }

    /// Only ratios of `back` count, so it may be scaled at any time.
    static void keep_in_range(Table& back) {
        const double largest = *std::max_element(back.begin(), back.end());
        if (largest > 1e-60 && largest < 1e60)
            return;
        for (double& entry : back)
            entry /= largest;
    }

    void unopen(Var var, Table& back) {
        const std::vector<double>& start = sum_.variables[var].start;
        const std::size_t size = back.size() / start.size();
        for (std::size_t s = 0; s < size; ++s) {
            double sum = 0;
            for (std::size_t a = 0; a < start.size(); ++a)
                sum += start[a] * back[a * size + s];
            back[s] = sum;
        }
        back.resize(size);
        layout_.close(var);
    }

    struct Kept {
        Table table;
        Layout layout;
    };

    const Sum& sum_;
    const Plan& plan_;
    Layout layout_;
    Table table_;
    std::vector<Kept> kept_;
    std::vector<double> scratch_;
    double log_sum_ = 0;
};

}  // namespace

Shares shares_of(const Sum& sum, const Plan& plan) {
    Shares shares;
    Walk walk(sum, plan);
    shares.possible = walk.forward(true);
    if (!shares.possible)
        return shares;
    shares.log_sum = walk.log_sum();
    shares.value = walk.backward();
    return shares;
}

double log_sum_of(const Sum& sum, const Plan& plan) {
    Walk walk(sum, plan);
    return walk.forward(false) ? walk.log_sum() : -std::numeric_limits<double>::infinity();
}

}  // namespace knockwell
