#include "beliefs/expected.hpp"

#include "beliefs/frontier.hpp"
#include "beliefs/run.hpp"
#include "beliefs/table_slopes.hpp"
#include "beliefs/tape.hpp"

#include <boost/functional/hash.hpp>

#include <algorithm>
#include <cmath>
#include <unordered_map>

namespace knockwell {
namespace {

/// Wider than this a job is not worth its minutes: 2^18 numbers a table.
constexpr double widest_job = 18;

}  // namespace

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

    explicit Inside(const Model& of) : model(of) {}

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

    /// The mean of r(s), and whether it is above 0: of each case of the unknown settings by the
    /// rows that stand first among the links to the cause.
    void add_chance(const BuiltOf<Taped>& built, std::uint32_t cause, const Evidence& evidence,
                    std::span<const double> strengths, const TableSlopes& slopes,
                    const std::vector<std::uint32_t>& first_link, Expected& into) const {
        const CauseNode& node = model.network->causes[cause];
        Cases cases(*model.knowledge, evidence, node.settings);
        double mean = 0;
        double open = 0;
        const auto add = [&](double share) {
            const double r = base_chance(node, cases, strengths);
            mean += share * r;
            open += r > 0 ? share : 0;
        };
        const std::uint32_t link = first_link[built.first(cause)];
        if (cases.unknown().empty())
            add(1);
        // Without a link it cannot be under what is known, whatever the rest is.
        for (std::size_t which = 0;
             !cases.unknown().empty() && link != no_var && which < cases.count(); ++which) {
            const Slot rows = built.sum.shape.links[link].rows;
            const auto row = static_cast<Slot>(rows + 2 * which);
            cases.choose(which);
            add(slopes.share(row) + slopes.share(row + 1));
        }
        into.chance[cause] = mean;
        into.open[cause] = open;
    }

    void weigh_unnamed(const Evidence& evidence, const Unnamed& unnamed,
                       BuiltOf<Taped>& built) const {
        std::vector<bool> named(model.network->causes.size(), false);
        for (const KnownCause& known : evidence.causes)
            named[known.cause.index()] = true;
        for (const CauseId cause : unnamed.but)
            named[cause.index()] = true;
        for (std::uint32_t c = 0; c < named.size(); ++c)
            if (!named[c] && built.holds(c))
                built.sum.weigh({built.first(c)}, {Taped(1.0), Taped(unnamed.weight)});
    }

    /// The strengths as they stand first on the tape.
    void take(std::span<const double> strengths) {
        const bool same =
            std::equal(strengths.begin(), strengths.end(), taped.begin(), taped.end(),
                       [](double strength, const Taped& of) { return strength == of.v; });
        tape.cut_back(same ? taped.size() : 0);
        if (same)
            return;
        taped.clear();
        for (const double strength : strengths)
            taped.emplace_back(strength, tape);
    }

    [[nodiscard]] const Expected* of(const Evidence& evidence, std::span<const double> strengths,
                                     const Unnamed& unnamed) {
        take(strengths);
        BuildChoice choice;
        for (const CauseId cause : unnamed.but)
            choice.also.push_back(cause.value);
        BuiltOf<Taped> built = build(model, evidence, taped, choice);
        if (built.too_wide())
            return nullptr;
        if (unnamed.weight < 1)
            weigh_unnamed(evidence, unnamed, built);
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
        const TableSlopes slopes(sum, frontier);
        last.shape = boost::hash<Structure>()(structure);
        last.log_evidence = frontier.total().log(0) + std::log(sum.factor.v);
        carry_to_strengths(sum, slopes, strengths.size());
        std::vector<std::uint32_t> first_link(sum.shape.variables.size(), no_var);
        for (std::size_t i = sum.shape.links.size(); i-- > 0;)
            first_link[sum.shape.links[i].target] = static_cast<std::uint32_t>(i);
        const std::size_t causes = model.network->causes.size();
        for (std::vector<double>* all : {&last.there, &last.chance, &last.open})
            all->assign(causes, not_spoken_of);
        for (std::uint32_t c = 0; c < causes; ++c) {
            if (!built.holds(c))
                continue;
            last.there[c] = frontier.share(built.first(c), 1);
            add_chance(built, c, evidence, strengths, slopes, first_link, last);
        }
        return &last;
    }

    void carry_to_strengths(const SumOf<Taped>& sum, const TableSlopes& slopes,
                            std::size_t strengths) {
        std::vector<double>& into = last.slope;
        into.assign(tape.size(), 0.0);
        for (std::size_t i = 0; i < sum.numbers.size(); ++i)
            if (const Tape::Entry entry = sum.numbers[i].entry; entry != Tape::constant)
                into[entry] += slopes.slope(static_cast<Slot>(i));
        if (const Tape::Entry entry = sum.factor.entry; entry != Tape::constant)
            into[entry] += 1 / sum.factor.v;
        tape.carry_back(into);
        into.resize(strengths);
    }

    static constexpr std::size_t most_kept = std::size_t{1} << 23U;  // numbers in tables

    const Model& model;
    Tape tape;
    std::vector<Taped> taped;  // strengths, the first steps of the tape
    Expected last;
    std::size_t room = most_kept;
    std::unordered_map<Structure, std::unique_ptr<Worked>, boost::hash<Structure>> kept;
};

Expecting::Expecting(const Model& model) : inside_(std::make_unique<Inside>(model)) {}
Expecting::~Expecting() = default;
Expecting::Expecting(Expecting&&) noexcept = default;
Expecting& Expecting::operator=(Expecting&&) noexcept = default;

const Expected* Expecting::of(const Evidence& evidence, std::span<const double> strengths,
                              const Unnamed& unnamed) {
    return inside_->of(evidence, strengths, unnamed);
}

}  // namespace knockwell
