#include "beliefs/frontier.hpp"
#include "beliefs/questions.hpp"
#include "beliefs/run.hpp"

#include <algorithm>
#include <map>
#include <thread>
#include <utility>

namespace knockwell {
namespace {

// Tables of eight lanes larger than this are not kept: one lane at a time then (512 MiB).
constexpr std::size_t most_pack_entries = std::size_t{1} << 23U;

// Below this an outcome is rounding left over from a difference of chances near 1.
constexpr double least_chance = 1e-12;

/// What one question gave: its chance, and the chance of each cause together with it.
struct Told {
    double p = 0;
    std::vector<double> cause;
};

template <class P>
SumOf<P> widened(const Sum& sum) {
    SumOf<P> wide;
    const auto all = [](const std::vector<double>& numbers) {
        return std::vector<P>(numbers.begin(), numbers.end());
    };
    for (const SumVariable& it : sum.variables) {
        std::vector<P> after = all(it.after);
        after.resize(it.values, P(1));
        wide.variables.push_back({it.values, all(it.start), it.join, std::move(after)});
    }
    for (const SumLink& it : sum.links)
        wide.links.push_back({it.target, it.sources, all(it.rows)});
    for (const SumWeight& it : sum.weights)
        wide.weights.push_back({it.on, all(it.table)});
    wide.factor = sum.factor;
    return wide;
}

/// Answers questions a batch at a time on its own copy of the sum; several may work side by side.
template <class P>
class Answerer {
public:
    Answerer(const Model& model, const Built& built, const Plan& plan, const Frontier<double>& now,
             std::span<const double> strengths, std::span<const CauseId> causes)
        : model_(model), built_(built), now_(now), strengths_(strengths), causes_(causes),
          clean_(widened<P>(built.sum)), sum_(clean_), frontier_(plan) {}

    void answer(std::span<const Question* const> batch, std::span<Told> told) {
        for (std::size_t l = 0; l < batch.size(); ++l)
            put(*batch[l], l);
        const bool any = frontier_.run(sum_);
        for (std::size_t l = 0; l < batch.size(); ++l) {
            told[l].cause.assign(causes_.size(), 0.0);
            if (!any || !(lane(frontier_.total().mantissa, l) > 0))
                continue;
            told[l].p = batch[l]->factor * ratio(frontier_.total(), l, now_.total(), 0);
            for (std::size_t i = 0; i < causes_.size(); ++i)
                told[l].cause[i] =
                    told[l].p *
                    lane(frontier_.share(built_.cause[causes_[i].index()].back(), 1), l);
        }
        for (const Var v : touched_)
            sum_.variables[v].after = clean_.variables[v].after;
        for (const std::uint32_t w : touched_weights_)
            sum_.weights[w].table = clean_.weights[w].table;
        touched_.clear();
        touched_weights_.clear();
    }

private:
    void put(const Question& question, std::size_t l) {
        // What acts only now and then is mixed once for all signs that it would show.
        std::map<std::uint32_t, std::pair<double, double>> by_cause;  // always, while it acts
        for (const Question::OfCause& it : question.causes) {
            auto& [always, acting] = by_cause.try_emplace(it.cause, 1.0, 1.0).first->second;
            (it.through_acts ? acting : always) *= it.times;
        }
        for (const auto& [cause, times] : by_cause)
            put(cause, times.first, times.second, l);
        for (const Question::OfSetting& it : question.settings) {
            const Var var = built_.setting[it.setting];
            for (std::uint32_t a = 0; a < sum_.variables[var].values; ++a)
                if (a != it.state)
                    multiply(var, a, 0, l);
        }
    }

    void put(std::uint32_t cause, double always, double acting, std::size_t l) {
        const CauseNode& node = model_.network->causes[cause];
        const Var var = built_.cause[cause].back();
        if (!node.comes_and_goes)
            multiply(var, 1, always * acting, l);
        else if (built_.acts[cause] == no_var)
            multiply(var, 1, always * mixed(strengths_[node.acts], acting), l);
        else {
            multiply(var, 1, always, l);
            const std::uint32_t w = built_.acts_knob[cause];
            P& both = sum_.weights[w].table[3];
            set_lane(both, l, lane(both, l) * acting);
            touched_weights_.push_back(w);
        }
    }

    static double mixed(double acts, double acting) { return 1 - acts + acts * acting; }

    void multiply(Var var, std::size_t value, double by, std::size_t l) {
        P& after = sum_.variables[var].after[value];
        set_lane(after, l, lane(after, l) * by);
        touched_.push_back(var);
    }

    const Model& model_;
    const Built& built_;
    const Frontier<double>& now_;
    std::span<const double> strengths_;
    std::span<const CauseId> causes_;
    SumOf<P> clean_, sum_;
    Frontier<P> frontier_;
    std::vector<Var> touched_;
    std::vector<std::uint32_t> touched_weights_;
};

class Ranking {
public:
    Ranking(const Model& model, const Evidence& evidence, std::span<const Look> looks,
            std::span<const double> now, std::span<const CauseId> causes)
        : model_(model), evidence_(evidence), looks_(looks), before_(now), causes_(causes),
          strengths_(point_values(*model.network)),
          built_(build(model, evidence, strengths_,
                       {.acts_knobs = true, .whole = false, .also = touched()})) {}

    std::vector<std::vector<Outcome>> outcomes() {
        const std::span<const Look> looks = looks_;
        std::vector<std::vector<Outcome>> all(looks.size());
        const std::shared_ptr<const Plan> plan = model_.plans->plan(built_.sum);
        if (built_.too_wide || plan->width > widest)
            return all;
        Frontier<double> now(*plan);
        if (!now.run(built_.sum))
            return all;
        std::vector<std::optional<Questions>> put;
        std::vector<const Question*> ask;
        for (const Look& look : looks) {
            put.push_back(questions_of(model_, evidence_, strengths_, look));
            if (put.back())
                for (const Question& question : put.back()->ask)
                    ask.push_back(&question);
        }
        const std::vector<Told> told = answers(ask, *plan, now);
        std::size_t first = 0;
        for (std::size_t i = 0; i < looks.size(); ++i) {
            if (!put[i]) {
                all[i] = predict_some(model_, evidence_, looks[i], before_, causes_);
                continue;
            }
            all[i] = outcomes_of(*put[i], std::span(told).subspan(first, put[i]->ask.size()));
            first += put[i]->ask.size();
        }
        return all;
    }

private:
    /// Causes that a look could speak of, and those asked for.
    [[nodiscard]] std::vector<std::uint32_t> touched() const {
        std::vector<std::uint32_t> causes;
        for (const CauseId c : causes_)
            causes.push_back(c.value);
        for (const Look& look : looks_)
            for (const Findable& what : look.at)
                if (const auto* sign = std::get_if<SignId>(&what))
                    for (const std::uint32_t c : causes_of(model_.network->signs[sign->index()]))
                        causes.push_back(c);
        return causes;
    }

    std::vector<Told> answers(const std::vector<const Question*>& ask, const Plan& plan,
                              const Frontier<double>& now) const {
        return plan.entries <= most_pack_entries ? answers_by<Pack>(ask, plan, now)
                                                 : answers_by<double>(ask, plan, now);
    }

    /// Batches are dealt out to two threads; each answer depends on its own batch only, so the
    /// bytes do not depend on who made it.
    template <class P>
    std::vector<Told> answers_by(const std::vector<const Question*>& ask, const Plan& plan,
                                 const Frontier<double>& now) const {
        std::vector<Told> told(ask.size());
        constexpr std::size_t width = lanes_of<P>;
        const auto work = [&](std::size_t from, std::size_t to) {
            Answerer<P> answerer(model_, built_, plan, now, strengths_, causes_);
            for (std::size_t begin = from; begin < to; begin += width) {
                const std::size_t n = std::min(width, to - begin);
                answerer.answer(std::span(ask).subspan(begin, n),
                                std::span(told).subspan(begin, n));
            }
        };
        const std::size_t batches = (ask.size() + width - 1) / width;
        const std::size_t half = batches / 2 * width;
        if (half == 0) {
            work(0, ask.size());
            return told;
        }
        std::jthread other(work, 0, half);
        work(half, ask.size());
        return told;
    }

    [[nodiscard]] std::vector<Outcome> outcomes_of(const Questions& questions,
                                                   std::span<const Told> told) const {
        std::vector<Outcome> outcomes;
        for (std::size_t o = 0; o < questions.values.size(); ++o) {
            double p = 0;
            std::vector<double> with(causes_.size(), 0.0);
            for (std::size_t q = 0; q < told.size(); ++q) {
                const double by = questions.coefficient[o][q];
                if (by == 0)
                    continue;
                p += by * told[q].p;
                for (std::size_t i = 0; i < with.size(); ++i)
                    with[i] += by * told[q].cause[i];
            }
            if (p < least_chance)
                continue;
            Outcome& it = outcomes.emplace_back(
                Outcome{questions.values[o], p, {before_.begin(), before_.end()}});
            for (std::size_t i = 0; i < with.size(); ++i)
                it.cause[causes_[i].index()] = std::clamp(with[i] / p, 0.0, 1.0);
        }
        return outcomes;
    }

    const Model& model_;
    const Evidence& evidence_;
    std::span<const Look> looks_;
    std::span<const double> before_;
    std::span<const CauseId> causes_;
    std::vector<double> strengths_;
    Built built_;
};

}  // namespace

std::vector<std::vector<Outcome>> predict_all(const Model& model, const Evidence& evidence,
                                              std::span<const Look> looks,
                                              std::span<const double> now,
                                              std::span<const CauseId> causes) {
    return Ranking(model, evidence, looks, now, causes).outcomes();
}

}  // namespace knockwell
