#include "trials/followers.hpp"

#include "advice/cost.hpp"
#include "advice/glance.hpp"
#include "advice/looks.hpp"
#include "advice/mending.hpp"
#include "advice/rules.hpp"
#include "advice/worth.hpp"
#include "beliefs/build.hpp"
#include "beliefs/parts.hpp"
#include "trials/remembered.hpp"

#include <algorithm>
#include <limits>
#include <map>
#include <utility>
#include <variant>

namespace knockwell::trials {
namespace {

bool is_repair(const Suggestion& it) {
    return it.kind == StepKind::repair || it.kind == StepKind::refer;
}

Standing standing_of(const Visit& visit) {
    return {visit.model->knowledge, &visit.situation, &visit.evidence, visit.stops, {}, {}};
}

/// A repair that only waits for a look is not held back: the look is made first.
bool is_held_back(const Visit& visit, const Candidate& step) {
    return forbids(standing_of(visit), step) && !only_waits_for(standing_of(visit), step);
}

/// The step, or the look that it waits for.
Suggestion offered_now(const Visit& visit, const Candidate& step) {
    const auto look = only_waits_for(standing_of(visit), step);
    return offered(*visit.model->knowledge, visit.situation, look ? *look : step);
}

// ---- repairs by p/C

class Mechanic {
public:
    /// The best repair or refer by chance a minute that pays, from here.
    static std::optional<Suggestion> best(const Visit& visit, const Posterior& now) {
        const Trouble trouble = trouble_of(*visit.model, visit.evidence, now, visit.situation);
        std::vector<const Mender*> allowed;
        std::vector<Mend> mends;
        for (std::size_t i = 0; i < trouble.menders.size(); ++i) {
            if (is_held_back(visit, trouble.menders[i].step))
                continue;
            allowed.push_back(&trouble.menders[i]);
            mends.push_back(trouble.mends[i]);
        }
        const Mending order = mend_in_order(trouble.shares, mends, trouble.last_resort);
        if (order.order.empty())
            return {};
        return offered_now(visit, allowed[order.order.front()]->step);
    }
};

// ---- time to think

// Beliefs dearer than this (numbers touched in one run) take more than about half a second a step
// to weigh looks with; whoever goes by them then stops looking and mends in order. The same number
// for all who look by beliefs, so that it favours none.
constexpr double most_cost = 250'000;

// Fewer findings than this, before any repair, are never dear.
constexpr std::size_t cheap_findings = 6;

bool is_too_dear(const Visit& visit) {
    const Evidence& evidence = visit.evidence;
    if (evidence.repairs.empty() && evidence.findings.size() < cheap_findings)
        return false;
    const Built built =
        build(*visit.model, evidence, point_values(*visit.model->network), {.acts_knobs = true});
    return built.too_wide() ||
           parts_of(built.sum, *visit.model->plans, Runs::many).cost() > most_cost;
}

struct Decision {
    std::optional<Suggestion> step;
    bool cut_short = false;
};

// Whoever goes by beliefs: the same state gives the same step, and where thinking is too dear he
// mends in order.
class Thinker : public Follower {
public:
    void start(const Visit& /*visit*/) override {}

    std::optional<Suggestion> next(const Visit& visit) final {
        Decision it = remembered_.at(visit, [&] { return decide(visit); });
        cut_short_ = it.cut_short;
        return std::move(it.step);
    }

    bool was_cut_short() const final { return cut_short_; }

protected:
    virtual std::optional<Suggestion> think(const Visit& visit, const Posterior& now) const = 0;
    virtual bool looks() const { return true; }

private:
    Decision decide(const Visit& visit) const {
        const Answer answer = posterior(*visit.model, visit.evidence);
        const auto* now = std::get_if<Posterior>(&answer);
        if (now == nullptr)
            return {};
        const bool cut = looks() && is_too_dear(visit);
        return {cut ? Mechanic::best(visit, *now) : think(visit, *now), cut};
    }

    Remembered<Decision> remembered_;
    bool cut_short_ = false;
};

// What is done and shown of a suggestion; the rest need not be kept.
Suggestion kept_of(Suggestion it) {
    it.title.clear();
    it.how.clear();
    it.needs.clear();
    it.outcomes.clear();
    it.parts.clear();
    return it;
}

class ByAdvice final : public Thinker {
public:
    explicit ByAdvice(StepsAhead ahead) : ahead_(ahead) {}
    std::string_view name() const override {
        return ahead_ == StepsAhead::two ? "the advice" : "the advice, one step ahead";
    }
    bool minds_stops() const override { return true; }

private:
    std::optional<Suggestion> think(const Visit& visit, const Posterior& now) const override {
        AdviceOptions options;
        options.most = 1;
        options.told = 0;
        if (ahead_ == StepsAhead::one)
            options.two_steps = 0;
        const Advice advice = advise(*visit.model, visit.evidence, now, visit.situation, options);
        if (advice.next.empty())
            return {};
        const Suggestion& first = advice.next.front();
        // What is listed last is a look that scarcely tells anything: nobody is sent for it, unless
        // a repair waits for it.
        const bool scarcely =
            !is_repair(first) && first.minutes_saved <= 0 && first.awaited_by.empty();
        return scarcely ? std::nullopt : std::optional(kept_of(first));
    }

    StepsAhead ahead_;
};

class ByRepairsAlone final : public Thinker {
public:
    std::string_view name() const override { return "p/C, no looking"; }

private:
    std::optional<Suggestion> think(const Visit& visit, const Posterior& now) const override {
        return Mechanic::best(visit, now);
    }
    bool looks() const override { return false; }
};

// ---- looks by bits

constexpr double as_good_as_sure = 0.8;
constexpr double tells_something = 0.05;

class ByBits final : public Thinker {
public:
    explicit ByBits(bool a_minute) : a_minute_(a_minute) {}
    std::string_view name() const override { return a_minute_ ? "bits a minute" : "bits"; }

private:
    std::optional<Suggestion> think(const Visit& visit, const Posterior& now) const override {
        const auto causes = explainers(*visit.model, visit.evidence);
        const bool sure = std::any_of(causes.begin(), causes.end(), [&](CauseId it) {
            return now.cause[it.index()] >= as_good_as_sure;
        });
        if (!sure)
            if (auto look = best_look(visit, now, causes))
                return look;
        return Mechanic::best(visit, now);
    }

    std::optional<Suggestion> best_look(const Visit& visit, const Posterior& now,
                                        const std::vector<CauseId>& causes) const {
        const Knowledge& knowledge = *visit.model->knowledge;
        const std::vector<LookLeft> left = weighed(visit, now, causes);
        std::vector<Look> looks;
        for (const LookLeft& it : left)
            looks.push_back(it.look);
        const auto bits = bits_of_all(*visit.model, visit.evidence, looks, now.cause, causes);
        std::optional<Suggestion> best;
        double most = 0;
        for (std::size_t i = 0; i < left.size(); ++i) {
            if (bits[i] < tells_something)
                continue;
            Suggestion it = offered(knowledge, visit.situation, left[i].step);
            const double worth = a_minute_ ? bits[i] / std::max(it.minutes, 1.0) : bits[i];
            if (worth > most) {
                most = worth;
                best = std::move(it);
            }
        }
        return best;
    }

    // Weighing all exactly takes minutes, so those that promise most at a glance, as
    // the advice does.
    std::vector<LookLeft> weighed(const Visit& visit, const Posterior& now,
                                  const std::vector<CauseId>& causes) const {
        const Knowledge& knowledge = *visit.model->knowledge;
        std::vector<LookLeft> left = looks_left(knowledge, visit.evidence);
        std::erase_if(left, [&](const LookLeft& it) { return is_held_back(visit, it.step); });
        std::vector<double> minutes;
        for (const LookLeft& it : left)
            minutes.push_back(outlay(knowledge, visit.situation, it.step).minutes);
        std::vector<LookLeft> best;
        for (const std::size_t i :
             promising(*visit.model, visit.evidence, left, minutes, now, causes))
            best.push_back(left[i]);
        return best;
    }

    bool a_minute_;
};

// ---- the chart

struct ChartLine {
    CauseId cause;
    double weight = 0;  // how common, among calls with this complaint
    int rank = 0;       // how far the check goes: 0 looked at, ... 6 the pump pulled
    std::optional<TestId> check;
    SignId sign;
    std::size_t bad = 0;  // the value that means: this is it
};

double sum_of(const std::vector<Strength>& strengths) {
    double sum = 0;
    for (const Strength& it : strengths)
        sum += it.count.mean();
    return sum;
}

class ChartMaker {
public:
    ChartMaker(const Knowledge& knowledge, const Situation& here)
        : knowledge_(&knowledge), here_(&here) {}

    std::vector<ChartLine> make(SignId complaint, ChartOrder order, double covered) const {
        std::vector<ChartLine> lines;
        for (std::size_t c = 0; c < knowledge_->causes.size(); ++c)
            if (const double weight = share(CauseId(c), complaint); weight > 0)
                lines.push_back(line(CauseId(c), weight));
        by_weight(lines);
        cut(lines, covered);
        if (order == ChartOrder::cheap_first)
            std::stable_sort(
                lines.begin(), lines.end(),
                [](const ChartLine& a, const ChartLine& b) { return a.rank < b.rank; });
        return lines;
    }

private:
    static void by_weight(std::vector<ChartLine>& lines) {
        std::stable_sort(lines.begin(), lines.end(), [](const ChartLine& a, const ChartLine& b) {
            return a.weight > b.weight;
        });
    }

    static void cut(std::vector<ChartLine>& lines, double covered) {
        double all = 0;
        for (const ChartLine& it : lines)
            all += it.weight;
        double sum = 0;
        std::size_t kept = 0;
        while (kept < lines.size() && sum < covered * all)
            sum += lines[kept++].weight;
        lines.resize(kept);
    }

    // Of all installations, those in which this cause is there and brings the complaint.
    double share(CauseId cause, SignId sign) const {
        const Cause& it = (*knowledge_)[cause];
        for (const Shows& shows : it.shows)
            if (shows.sign == sign)
                return it.present.count.mean() * possible(it.only_if) *
                       (sum_of(shows.high) + sum_of(shows.low));
        return 0;
    }

    double possible(const Conditions& conditions) const {
        double chance = 1;
        for (const Condition& condition : conditions) {
            double holds = 0;
            for (const std::size_t state : condition.states)
                holds += (*knowledge_)[condition.setting].prior[state].count.mean();
            chance *= holds;
        }
        return chance;
    }

    // How often the sign has the value in all installations, but for this cause.
    double otherwise(CauseId cause, SignId sign, std::size_t value) const {
        const Sign& it = (*knowledge_)[sign];
        double sum = level(it.seen_high, it.seen_low, it, value);
        for (std::size_t c = 0; c < knowledge_->causes.size(); ++c) {
            const Cause& other = knowledge_->causes[c];
            if (CauseId(c) == cause)
                continue;
            for (const Shows& shows : other.shows)
                if (shows.sign == sign)
                    sum += other.present.count.mean() * possible(other.only_if) *
                           level(shows.high, shows.low, it, value);
        }
        return sum;
    }

    static double level(const std::vector<Strength>& high, const std::vector<Strength>& low,
                        const Sign& sign, std::size_t value) {
        if (value <= sign.high.size())
            return high.empty() ? 0 : high[value - 1].count.mean();
        return low.empty() ? 0 : low[value - 1 - sign.high.size()].count.mean();
    }

    // The check that speaks most for the cause for its minutes, and its bad value.
    ChartLine line(CauseId cause, double weight) const {
        ChartLine best{cause, weight, 6, {}, {}, 0};
        double most = 0;
        for (std::size_t t = 0; t < knowledge_->tests.size(); ++t)
            for (const Findable& what : knowledge_->tests[t].reveals)
                if (const auto* sign = std::get_if<SignId>(&what))
                    for (const Shows& shows : (*knowledge_)[cause].shows)
                        if (shows.sign == *sign)
                            consider(best, most, TestId(t), shows);
        return best;
    }

    void consider(ChartLine& best, double& most, TestId test, const Shows& shows) const {
        const Sign& sign = (*knowledge_)[shows.sign];
        const Candidate step = candidate(*knowledge_, test);
        const Evidence nothing;
        if (forbids({knowledge_, here_, &nothing, {}, {}, {}}, step))
            return;
        const double minutes = outlay(*knowledge_, *here_, step).minutes;
        for (std::size_t value = 1; value < sign.value_count(); ++value) {
            const double shown = level(shows.high, shows.low, sign, value);
            if (shown < 0.3)
                continue;
            const double speaks = shown * shown /
                                  (shown + 20 * otherwise(best.cause, shows.sign, value)) /
                                  (10 + minutes);
            if (speaks > most) {
                most = speaks;
                best.check = test;
                best.sign = shows.sign;
                best.bad = value;
                best.rank = rank(step);
            }
        }
    }

    // ../docs/advice.md: look and listen, the tank drained, volts and amps, ohms, the well, the
    // pump.
    int rank(const Candidate& step) const {
        const auto way = way_to(*knowledge_, step.at);
        const auto via = [&](const char* id) {
            return std::any_of(way.begin(), way.end(),
                               [&](AccessId it) { return (*knowledge_)[it].head.id == id; });
        };
        if (via("pump-pulled") || via("line-dug-up"))
            return 6;
        if (via("well-cap-off"))
            return 5;
        if (wants_zero(*knowledge_, step))
            return 2;
        if (!meets(step, Hazard::live))
            return step.hazards.empty() ? 0 : 1;
        return energized(step) ? 3 : 4;
    }

    const Knowledge* knowledge_;
    const Situation* here_;
};

class ByChart final : public Follower {
public:
    ByChart(const Model& model, ChartOrder order, double covered) : order_(order) {
        Situation here;
        here.who = Skill::qualified;
        here.licences = {Licence::pump_installer};
        here.on_site = true;
        const ChartMaker maker(*model.knowledge, here);
        for (std::size_t s = 0; s < model.knowledge->signs.size(); ++s)
            if (model.knowledge->signs[s].symptom)
                charts_[SignId(s)] = maker.make(SignId(s), order, covered);
    }

    std::string_view name() const override {
        return order_ == ChartOrder::common_first ? "chart, common first" : "chart, cheap first";
    }

    void start(const Visit& visit) override {
        chart_ = &charts_.at(visit.call.complaint);
        line_ = 0;
    }

    std::optional<Suggestion> next(const Visit& visit) override {
        for (; line_ < chart_->size(); ++line_)
            if (auto step = step_of((*chart_)[line_], visit))
                return step;
        return {};
    }

private:
    // What is to be done on this line now; nothing where it is done with.
    std::optional<Suggestion> step_of(const ChartLine& line, const Visit& visit) const {
        const Knowledge& knowledge = *visit.model->knowledge;
        if (cannot_apply(knowledge[line.cause].only_if, visit.evidence))
            return {};
        for (const Condition& it : knowledge[line.cause].only_if)
            if (!visit.evidence.settings.contains(it.setting))
                return offer(visit, candidate(knowledge, it.setting));
        if (line.check) {
            const auto found = found_of(line, visit);
            if (!found) {
                const Candidate check = candidate(knowledge, *line.check);
                if (cannot_apply(check.only_if, visit.evidence) || is_held_back(visit, check))
                    return {};
                return offer(visit, check);
            }
            if (*found != line.bad)
                return {};
        }
        return mend(line.cause, visit);
    }

    // What the check showed, in whatever stage it was made last.
    static std::optional<std::size_t> found_of(const ChartLine& line, const Visit& visit) {
        std::optional<std::size_t> value;
        for (const Finding& it : visit.evidence.findings)
            if (it.what == Findable(line.sign) && it.test == *line.check && it.via == Via::test)
                value = it.value;
        return value;
    }

    static std::optional<Suggestion> mend(CauseId cause, const Visit& visit) {
        const Knowledge& knowledge = *visit.model->knowledge;
        std::optional<Candidate> best;
        double most = 0;
        const auto consider = [&](const Candidate& step, double chance) {
            if (cannot_apply(step.only_if, visit.evidence) || is_held_back(visit, step))
                return;
            // One repair a line, the one that is surest for its minutes.
            const double worth = chance / (outlay(knowledge, visit.situation, step).minutes + 10);
            if (worth > most) {
                most = worth;
                best = step;
            }
        };
        for (std::size_t r = 0; r < knowledge.repairs.size(); ++r)
            for (const CauseStrength& fix : knowledge.repairs[r].fixes)
                if (fix.cause == cause) {
                    const auto& made = visit.evidence.repairs;
                    if (std::find(made.begin(), made.end(), RepairId(r)) != made.end())
                        return {};  // mended on this line or an earlier one
                    if (fix.strength.count.mean() >= 0.5)
                        consider(candidate(knowledge, RepairId(r)), fix.strength.count.mean());
                }
        for (std::size_t r = 0; r < knowledge.refers.size(); ++r) {
            const auto takes = taken_by(visit, ReferId(r));
            if (!best && std::find(takes.begin(), takes.end(), cause) != takes.end())
                consider(candidate(knowledge, ReferId(r)), 1);
        }
        return best ? std::optional(offer(visit, *best)) : std::nullopt;
    }

    static Suggestion offer(const Visit& visit, const Candidate& step) {
        return offered_now(visit, step);
    }

    ChartOrder order_;
    std::map<SignId, std::vector<ChartLine>> charts_;
    const std::vector<ChartLine>* chart_ = nullptr;
    std::size_t line_ = 0;
};

// ---- the truth

class ByTruth final : public Follower {
public:
    std::string_view name() const override { return "knows the cause"; }
    void start(const Visit& /*visit*/) override {}

    std::optional<Suggestion> next(const Visit& visit) override {
        const Knowledge& knowledge = *visit.model->knowledge;
        const std::vector<CauseId> causes = visit.house.behind(visit.call.complaint);
        // All of them must go, so the way to be rid of each counts by itself, the cheapest first.
        std::optional<Candidate> best;
        double most = 0;
        const auto consider = [&](const Candidate& step, CauseId cause, double chance) {
            if (cannot_apply(step.only_if, visit.evidence) || is_held_back(visit, step) ||
                std::find(causes.begin(), causes.end(), cause) == causes.end())
                return;
            const double minutes = outlay(knowledge, visit.situation, step).minutes;
            const double rate = chance / std::max(minutes, 1.0);
            const double saved = minutes_of_last_resort + visit.second_visit[cause.index()];
            if (rate * saved > 1 && rate > most) {
                most = rate;
                best = step;
            }
        };
        for (std::size_t r = 0; r < knowledge.repairs.size(); ++r)
            for (const CauseStrength& fix : knowledge.repairs[r].fixes)
                consider(candidate(knowledge, RepairId(r)), fix.cause, fix.strength.count.mean());
        for (std::size_t r = 0; r < knowledge.refers.size(); ++r)
            for (const CauseId cause : taken_by(visit, ReferId(r)))
                consider(candidate(knowledge, ReferId(r)), cause, 1);
        return best ? std::optional(offered_now(visit, *best)) : std::nullopt;
    }
};

}  // namespace

std::unique_ptr<Follower> by_advice(StepsAhead ahead) { return std::make_unique<ByAdvice>(ahead); }

std::unique_ptr<Follower> by_chart(const Model& model, ChartOrder order, double covered) {
    return std::make_unique<ByChart>(model, order, covered);
}

std::unique_ptr<Follower> by_repairs_alone() { return std::make_unique<ByRepairsAlone>(); }

std::unique_ptr<Follower> by_bits(bool a_minute) { return std::make_unique<ByBits>(a_minute); }

std::unique_ptr<Follower> by_truth() { return std::make_unique<ByTruth>(); }

}  // namespace knockwell::trials
