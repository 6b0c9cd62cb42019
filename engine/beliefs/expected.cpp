#include "beliefs/expected.hpp"

#include "beliefs/table_slopes.hpp"

#include <algorithm>
#include <cmath>
#include <unordered_map>

namespace knockwell {
struct Expecting::Inside {
    /// The plan of sums of one shape, and its tables where they are small.
    struct Worked {
        Worked(const Shape& shape, Slot numbers) : plan(plan_with_slopes(shape, numbers)) {}

        /// Tables to work in; `own` is where those stand for the time that are not worth their
        /// `room`, which is what may still be kept.
        [[nodiscard]] Frontier<double>& tables(std::optional<Frontier<double>>& own,
                                               std::size_t& room) {
            constexpr std::size_t small = 20000;
            const bool keep = kept || (plan.entries <= small && plan.entries <= room);
            std::optional<Frontier<double>>& in = keep ? kept : own;
            if (!in) {
                in.emplace(plan);
                room -= keep ? plan.entries : 0;
            }
            return *in;
        }

        Plan plan;
        std::optional<Frontier<double>> kept;
    };

    explicit Inside(const Model& of) : model(of), traced(of) {}

    [[nodiscard]] Worked& worked(const Structure& structure, const Shape& shape, Slot numbers) {
        constexpr std::size_t most = 400;
        if (kept.size() >= most) {
            kept.clear();
            room = most_kept;
        }
        std::unique_ptr<Worked>& it = kept[structure];
        if (!it)
            it = std::make_unique<Worked>(shape, numbers);
        return *it;
    }

    void weigh_said(const Evidence& evidence, const SaidOfCauses& said,
                    BuiltOf<Taped>& built) const {
        std::vector<bool> named(model.network->causes.size(), false);
        for (const KnownCause& known : evidence.causes)
            named[known.cause.index()] = true;
        for (const SaidCause& it : said.causes) {
            named[it.cause.cause.index()] = true;
            const Var var = built.at(it.cause.cause.index(), evidence.stage_within(it.cause.stage));
            const Taped absent = it.cause.present ? it.wrongly : 1;
            const Taped present = it.cause.present ? 1 : it.wrongly;
            built.sum.weigh({var}, {absent, present});
        }
        for (std::uint32_t c = 0; c < named.size(); ++c)
            if (said.unnamed < 1 && !named[c] && built.holds(c))
                built.sum.weigh({built.first(c)}, {Taped(1.0), Taped(said.unnamed)});
    }

    [[nodiscard]] const Expected* of(const Evidence& evidence, std::span<const double> strengths,
                                     const SaidOfCauses& said) {
        BuildChoice choice;
        for (const SaidCause& it : said.causes)
            choice.also.push_back(it.cause.cause.value);
        BuiltOf<Taped>& built = traced.build(evidence, strengths, choice);
        if (built.too_wide())
            return nullptr;
        weigh_said(evidence, said, built);
        const SumOf<Taped>& sum = built.sum;
        const Structure structure = structure_of(sum.shape);
        Worked& work = worked(structure, sum.shape, static_cast<Slot>(sum.numbers.size()));
        if (work.plan.width > widest_job)
            return nullptr;
        std::optional<Frontier<double>> own;
        Frontier<double>& frontier = work.tables(own, room);
        for (std::size_t i = 0; i < sum.numbers.size(); ++i)
            frontier.numbers()[i] = sum.numbers[i].v;
        frontier.all_changed();
        if (!frontier.run() || !(sum.factor.v > 0))
            return nullptr;
        const std::vector<double> slope = table_slopes(sum, frontier);
        last.shape = std::hash<Structure>()(structure);
        last.log_evidence = frontier.total().log(0) + std::log(sum.factor.v);
        traced.carry_back(slope, 1, last.slope);
        traced.tell_chances(evidence, strengths, slope, 1, last);
        last.there.assign(model.network->causes.size(), not_spoken_of);
        for (std::uint32_t c = 0; c < last.there.size(); ++c)
            if (built.holds(c))
                last.there[c] = frontier.share(built.first(c), 1);
        return &last;
    }

    static constexpr std::size_t most_kept = std::size_t{1} << 23U;  // numbers in tables

    const Model& model;
    Traced traced;
    Expected last;
    std::size_t room = most_kept;
    std::unordered_map<Structure, std::unique_ptr<Worked>> kept;
};

Expecting::Expecting(const Model& model) : inside_(std::make_unique<Inside>(model)) {}
Expecting::~Expecting() = default;
Expecting::Expecting(Expecting&&) noexcept = default;
Expecting& Expecting::operator=(Expecting&&) noexcept = default;

const Expected* Expecting::of(const Evidence& evidence, std::span<const double> strengths,
                              const SaidOfCauses& said) {
    return inside_->of(evidence, strengths, said);
}

}  // namespace knockwell
