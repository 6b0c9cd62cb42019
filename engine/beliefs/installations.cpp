#include "beliefs/installations.hpp"

#include "beliefs/frontier.hpp"
#include "beliefs/traced.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>
#include <vector>

namespace knockwell {
namespace {

/// The setting that the most causes read in their `only_if`.
std::optional<SettingId> most_read(const Network& network) {
    std::vector<std::size_t> reads(network.settings.size(), 0);
    for (const CauseNode& cause : network.causes)
        for (const Condition& condition : cause.only_if)
            ++reads[condition.setting.index()];
    const auto most = std::max_element(reads.begin(), reads.end());
    if (most == reads.end() || *most == 0)
        return std::nullopt;
    return SettingId(static_cast<std::size_t>(most - reads.begin()));
}

/// Adds what one has of something to what all have.
void join(std::vector<double>& into, const std::vector<double>& part) {
    for (std::size_t i = 0; i < part.size(); ++i)
        if (part[i] != not_spoken_of)
            into[i] = part[i] + (into[i] == not_spoken_of ? 0 : into[i]);
}

}  // namespace

class Installations::Group {
public:
    Group(const Model& model, Evidence evidence)
        : model_(&model), evidence_(std::move(evidence)), traced_(model) {}

    /// To be built anew under what `begin` says.
    void forget() { built_ = nullptr; }

    [[nodiscard]] bool add(std::span<const double> strengths,
                           std::span<const Settings* const> known, const Times& times) {
        if (built_ == nullptr)
            start(strengths);
        if (!frontier_)
            return false;
        set_starts(known);
        if (!(built_->sum.factor.v > 0) || !frontier_->run())
            return true;
        const Pack counts = weigh(known.size(), times);
        add_slopes(counts);
        for (std::uint32_t c = 0; c < there_.size(); ++c)
            if (built_->holds(c))
                there_[c] += counts * frontier_->share(built_->first(c), 1);
        times_ += sum_of_lanes(counts);
        return true;
    }

    void tell(std::span<const double> strengths, Expected& into) {
        if (built_ == nullptr || !frontier_ || !(times_ > 0))
            return;
        std::vector<double> slope;
        for (const Pack& of_number : slope_)
            slope.push_back(sum_of_lanes(of_number));
        Expected part;
        traced_.carry_back(slope, times_, part.slope);
        traced_.tell_chances(evidence_, strengths, slope, times_, part);
        part.there.assign(there_.size(), not_spoken_of);
        for (std::uint32_t c = 0; c < there_.size(); ++c)
            if (built_->holds(c))
                part.there[c] = sum_of_lanes(there_[c]);
        into.times += times_;
        for (std::size_t i = 0; i < part.slope.size(); ++i)
            into.slope[i] += part.slope[i];
        join(into.there, part.there);
        join(into.chance, part.chance);
        join(into.open, part.open);
    }

private:
    void start(std::span<const double> strengths) {
        built_ = &traced_.build(evidence_, strengths);
        const SumOf<Taped>& sum = built_->sum;
        if (built_->too_wide()) {
            frontier_.reset();
            return;
        }
        if (const Structure now = structure_of(sum.shape); !frontier_ || now != structure_) {
            structure_ = now;
            frontier_.reset();
            plan_ = plan_with_slopes(sum.shape, static_cast<Slot>(sum.numbers.size()));
            if (plan_.width > widest_job)
                return;
            frontier_.emplace(plan_);
            find_tables();
        }
        for (std::size_t i = 0; i < sum.numbers.size(); ++i)
            frontier_->numbers()[i] = sum.numbers[i].v;
        frontier_->all_changed();
        slope_.assign(sum.numbers.size(), Pack(0));
        there_.assign(model_->network->causes.size(), Pack(0));
        times_ = 0;
    }

    /// Those whose slopes are wanted: not what settings start with.
    void find_tables() {
        tables_.clear();
        each_table(built_->sum.shape, [&](Slot first, Slot count) {
            if (std::none_of(built_->setting.begin(), built_->setting.end(), [&](Var var) {
                    return var != no_var && built_->sum.shape.variables[var].start == first;
                }))
                tables_.emplace_back(first, count);
        });
    }

    void set_starts(std::span<const Settings* const> known) {
        for (std::uint32_t s = 0; s < built_->setting.size(); ++s) {
            if (built_->setting[s] == no_var)
                continue;
            const SumVariable& variable = built_->sum.shape.variables[built_->setting[s]];
            for (std::size_t l = 0; l < Pack::lanes; ++l) {
                const Settings& of = *known[std::min(l, known.size() - 1)];
                const auto it = of.find(SettingId(s));
                for (Slot a = 0; a < variable.values; ++a)
                    set_lane(frontier_->numbers()[variable.start + a], l,
                             it == of.end()    ? built_->sum.numbers[variable.start + a].v
                             : it->second == a ? 1.0
                                               : 0.0);
            }
            for (Slot a = 0; a < variable.values; ++a)
                frontier_->changed(variable.start + a);
        }
    }

    /// How many times each lane counts.
    [[nodiscard]] Pack weigh(std::size_t count, const Times& times) const {
        Pack counts = 0;
        const double log_factor = std::log(built_->sum.factor.v);
        for (std::size_t l = 0; l < count; ++l)
            if (lane(frontier_->total().mantissa, l) > 0)
                set_lane(counts, l, times(l, frontier_->total().log(l) + log_factor));
        return counts;
    }

    void add_slopes(const Pack& counts) {
        for (const auto& [first, count] : tables_) {
            Pack total = 0;
            for (Slot i = first; i < first + count; ++i)
                total += frontier_->numbers()[i] * frontier_->slope(i);
            const Pack each = counts / positive_or_one(total);
            for (Slot i = first; i < first + count; ++i)
                slope_[i] += each * frontier_->slope(i);
        }
    }

    const Model* model_;
    Evidence evidence_;
    Traced traced_;
    const BuiltOf<Taped>* built_ = nullptr;
    Structure structure_;
    Plan plan_;
    std::optional<Frontier<Pack>> frontier_;     // nothing where it is too wide
    std::vector<std::pair<Slot, Slot>> tables_;  // first number, count
    std::vector<Pack> slope_;                    // [number], added up
    std::vector<Pack> there_;                    // [CauseId], added up
    double times_ = 0;
};

struct Installations::Inside {
    Inside(const Model& of, Evidence all)
        : model(&of), findings(std::move(all)), apart(most_read(*of.network)) {}

    const Model* model;
    Evidence findings;
    std::optional<SettingId> apart;
    std::vector<double> strengths;
    std::map<std::size_t, Group> groups;

    [[nodiscard]] std::size_t group_of(const Settings& known) const {
        if (!apart)
            return 0;
        const auto it = known.find(*apart);
        return it == known.end() ? 0 : 1 + it->second;
    }

    [[nodiscard]] Group& group(std::size_t number) {
        const auto found = groups.find(number);
        if (found != groups.end())
            return found->second;
        Evidence evidence = findings;
        if (number > 0)
            evidence.settings[*apart] = number - 1;
        return groups.try_emplace(number, *model, std::move(evidence)).first->second;
    }
};

Installations::Installations(const Model& model, Evidence findings)
    : inside_(std::make_unique<Inside>(model, std::move(findings))) {}
Installations::~Installations() = default;
Installations::Installations(Installations&&) noexcept = default;
Installations& Installations::operator=(Installations&&) noexcept = default;

std::size_t Installations::group_of(const Settings& known) const {
    return inside_->group_of(known);
}

void Installations::begin(std::span<const double> strengths) {
    inside_->strengths.assign(strengths.begin(), strengths.end());
    for (auto& [number, group] : inside_->groups)
        group.forget();
}

bool Installations::add(std::span<const Settings* const> known, const Times& times) {
    return inside_->group(inside_->group_of(*known.front())).add(inside_->strengths, known, times);
}

Expected Installations::sum() {
    const std::size_t causes = inside_->model->network->causes.size();
    Expected all;
    all.times = 0;
    all.slope.assign(inside_->strengths.size(), 0.0);
    for (std::vector<double>* of : {&all.there, &all.chance, &all.open})
        of->assign(causes, not_spoken_of);
    for (auto& [number, group] : inside_->groups)
        group.tell(inside_->strengths, all);
    return all;
}

}  // namespace knockwell
