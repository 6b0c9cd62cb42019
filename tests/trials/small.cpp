#include "trials/small.hpp"

#include "advice/cost.hpp"
#include "advice/mending.hpp"
#include "trials/dice.hpp"

#include <algorithm>
#include <cmath>
#include <span>
#include <stdexcept>
#include <unordered_map>

namespace knockwell::trials {
namespace {

// A share for each way in which the causes can be. Cause i is digit i in base 3: 0 absent, 1 there,
// 2 there and bringing the complaint; the upper half has the leak.
class SmallBelief {
public:
    explicit SmallBelief(const SmallProblem& problem) : causes_(problem.present.size()) {
        for (std::size_t i = 0; i < causes_; ++i)
            ways_ *= 3;
        share_.assign(2 * ways_, 0);
        auto digits = std::make_shared<std::vector<unsigned char>>();
        for (std::size_t way = 0; way < ways_; ++way)
            for (std::size_t i = 0, rest = way; i < causes_; ++i, rest /= 3)
                digits->push_back(static_cast<unsigned char>(rest % 3));
        digits_ = std::move(digits);
        for (std::size_t way = 0; way < 2 * ways_; ++way) {
            double p = way < ways_ ? 1 - problem.leak : problem.leak;
            for (std::size_t i = 0; i < causes_; ++i) {
                const int how = digit(way, i);
                p *= how == 0   ? 1 - problem.present[i]
                     : how == 1 ? problem.present[i] * (1 - problem.brings[i])
                                : problem.present[i] * problem.brings[i];
            }
            share_[way] = p;
        }
        keep_complaint();
        scale();
    }

    /// Minutes of the second visit, and of mending whatever brings the complaint then.
    double last_resort(std::span<const double> quickest) const {
        double minutes = minutes_of_last_resort;
        for (std::size_t way = 0; way < share_.size(); ++way)
            for (std::size_t i = 0; i < causes_; ++i)
                if (digit(way, i) == 2)
                    minutes += share_[way] * quickest[i];
        return minutes;
    }

    /// Chance of "bad", and the beliefs after either.
    double see(const SmallCheck& check, bool bad, SmallBelief& then) const {
        then = *this;
        double sum = 0;
        for (std::size_t way = 0; way < share_.size(); ++way) {
            double good = 1 - check.false_alarm;
            for (const std::size_t cause : check.sees)
                if (digit(way, cause) != 0)
                    good *= check.misses;
            then.share_[way] *= bad ? 1 - good : good;
            sum += then.share_[way];
        }
        then.scale();
        return sum;
    }

    /// Chance that the complaint stays, and the beliefs where it does.
    double mend(const SmallRepair& repair, SmallBelief& then) const {
        then = *this;
        std::size_t power = 1;
        for (std::size_t cause = 0; cause < causes_; ++cause, power *= 3)
            for (const auto& [fixed, chance] : repair.fixes)
                if (fixed == cause)
                    for (std::size_t way = 0; way < share_.size(); ++way)
                        if (const int how = digit(way, cause); how != 0) {
                            const double gone = then.share_[way] * chance;
                            then.share_[way] -= gone;
                            then.share_[way - power * static_cast<std::size_t>(how)] += gone;
                        }
        return then.keep_complaint_and_scale();
    }

private:
    [[nodiscard]] int digit(std::size_t way, std::size_t cause) const {
        return (*digits_)[way % ways_ * causes_ + cause];
    }

    void keep_complaint() {
        for (std::size_t way = 0; way < ways_; ++way) {
            bool there = false;
            for (std::size_t i = 0; i < causes_; ++i)
                there = there || digit(way, i) == 2;
            if (!there)
                share_[way] = 0;
        }
    }

    double keep_complaint_and_scale() {
        keep_complaint();
        double sum = 0;
        for (const double share : share_)
            sum += share;
        scale();
        return sum;
    }

    void scale() {
        double sum = 0;
        for (const double share : share_)
            sum += share;
        if (sum > 0)
            for (double& share : share_)
                share /= sum;
    }

    std::size_t causes_;
    std::size_t ways_ = 1;
    std::shared_ptr<const std::vector<unsigned char>> digits_;
    std::vector<double> share_;
};

double way_minutes(const SmallProblem& problem, std::size_t place, unsigned reached) {
    double minutes = 0;
    for (std::size_t p = 1; p <= place; ++p)
        if (place >= p && (reached >> place & 1U) == 0 && (reached >> p & 1U) == 0)
            minutes += problem.place_minutes[p - 1];
    return minutes;
}

// [cause] its quickest repair, from where all is closed.
std::vector<double> quickest_of(const SmallProblem& problem) {
    std::vector<Mend> mends;
    for (const SmallRepair& repair : problem.repairs) {
        Mend& mend = mends.emplace_back();
        mend.minutes = repair.minutes + way_minutes(problem, repair.place, 0);
        for (const auto& [cause, chance] : repair.fixes)
            mend.fixes.push_back({CauseId(cause), chance});
    }
    return quickest_of_each(problem.present.size(), mends);
}

unsigned reaching(unsigned reached, std::size_t place) {
    for (std::size_t p = 1; p <= place; ++p)
        reached |= 1U << p;
    return reached;
}

class BestPlan {
public:
    explicit BestPlan(const SmallProblem& problem)
        : problem_(&problem), quickest_(quickest_of(problem)) {}

    double from_start() {
        return least(SmallBelief(*problem_), 0,
                     std::string(problem_->checks.size() + problem_->repairs.size(), '.'), 0);
    }

private:
    // `seen`: a character a check (untouched, or result and stage), one a repair (when made).
    double least(const SmallBelief& belief, unsigned reached, const std::string& seen, int stage) {
        const std::string key = seen + static_cast<char>('0' + reached);
        if (const auto known = known_.find(key); known != known_.end())
            return known->second;
        double least_so_far = belief.last_resort(quickest_);
        SmallBelief then = belief;
        for (std::size_t r = 0; r < problem_->repairs.size(); ++r) {
            const std::size_t at = problem_->checks.size() + r;
            if (seen[at] != '.')
                continue;
            const SmallRepair& repair = problem_->repairs[r];
            double minutes = repair.minutes + minutes_to_see_that_it_is_gone +
                             way_minutes(*problem_, repair.place, reached);
            if (minutes >= least_so_far)
                continue;
            std::string next = seen;
            next[at] = static_cast<char>('a' + stage);
            const double stays = belief.mend(repair, then);
            if (stays > 0)
                minutes += stays * least(then, reaching(reached, repair.place), next, stage + 1);
            least_so_far = std::min(least_so_far, minutes);
        }
        for (std::size_t c = 0; c < problem_->checks.size(); ++c) {
            if (seen[c] != '.')
                continue;
            const SmallCheck& check = problem_->checks[c];
            double minutes = check.minutes + way_minutes(*problem_, check.place, reached);
            for (const bool bad : {false, true}) {
                if (minutes >= least_so_far)
                    break;
                std::string next = seen;
                next[c] = static_cast<char>((bad ? 'A' : 'a') + stage);
                const double p = belief.see(check, bad, then);
                if (p > 0)
                    minutes += p * least(then, reaching(reached, check.place), next, stage);
            }
            least_so_far = std::min(least_so_far, minutes);
        }
        return known_[key] = least_so_far;
    }

    const SmallProblem* problem_;
    std::vector<double> quickest_;
    std::unordered_map<std::string, double> known_;
};

// Walks a follower through everything that can happen.
class Walk {
public:
    Walk(const SmallProblem& problem, const Model& model, Follower& follower)
        : problem_(&problem), model_(&model), follower_(&follower),
          quickest_(quickest_of(problem)) {}

    double from_start() {
        const std::vector<double>& point = point_values(*model_->network);
        Call call;
        call.complaint = sign_named(*model_->knowledge, "complaint");
        call.says = 1;
        Visit visit{model_, call, House(*model_, point, 1), {}, {}, {}, {}};
        visit.situation.who = Skill::qualified;
        visit.situation.on_site = true;
        find(visit, "complaint", 1, Via::told, {});
        follower_->start(visit);
        return minutes(visit, SmallBelief(*problem_), 0);
    }

private:
    void find(Visit& visit, const std::string& sign, std::size_t value, Via via, TestId test) {
        Finding finding;
        finding.what = sign_named(*model_->knowledge, sign);
        finding.value = value;
        finding.via = via;
        finding.test = test;
        finding.stage = visit.evidence.repairs.size();
        add(visit.evidence, finding);
    }

    double minutes(const Visit& visit, const SmallBelief& belief, std::size_t steps) {
        const auto offer = steps < 40 ? follower_->next(visit) : std::nullopt;
        if (!offer)
            return belief.last_resort(quickest_);
        const Candidate step = candidate_of(*model_->knowledge, *offer);
        const Outlay cost = outlay(*model_->knowledge, visit.situation, step);
        SmallBelief then = belief;
        if (step.kind == StepKind::repair) {
            const double stays = belief.mend(problem_->repairs[step.index], then);
            if (stays <= 0)
                return cost.minutes + minutes_to_see_that_it_is_gone;
            Visit next = visit;
            next.situation = cost.then;
            next.evidence.repairs.emplace_back(step.index);
            find(next, "complaint", 1, Via::looked, {});
            return cost.minutes + minutes_to_see_that_it_is_gone +
                   stays * minutes(next, then, steps + 1);
        }
        if (step.kind != StepKind::test)
            throw std::runtime_error("a small problem has checks and repairs, not " + step.id);
        double sum = cost.minutes;
        for (const bool bad : {false, true}) {
            const double p = belief.see(problem_->checks[step.index], bad, then);
            if (p <= 0)
                continue;
            Visit next = visit;
            next.situation = cost.then;
            next.situation.passed_over.insert("test:" + step.id);
            find(next, "sign-" + std::to_string(step.index), bad ? 1 : 0, Via::test,
                 TestId(step.index));
            const SmallBelief after = then;
            sum += p * minutes(next, after, steps + 1);
        }
        return sum;
    }

    const SmallProblem* problem_;
    const Model* model_;
    Follower* follower_;
    std::vector<double> quickest_;
};

}  // namespace

std::string SmallProblem::toml() const {
    std::string text = "[manifest]\nname = \"Small\"\nversion = \"1\"\nformat = 1\n"
                       "[reports]\ntold = { misses = \"never\", false_alarm = \"never\" }\n"
                       "looked = { misses = \"never\", false_alarm = \"never\" }\n"
                       "[symptom.complaint]\ntitle = \"Complaint\"\nask = \"Is it there?\"\n";
    text += "seen_anyway = " + std::to_string(leak) + "\n";
    for (std::size_t i = 0; i < present.size(); ++i) {
        const std::string id = "cause-" + std::to_string(i);
        text += "[cause." + id + "]\ntitle = \"" + id +
                "\"\npresent = " + std::to_string(present[i]) + "\n[cause." + id + ".shows]\n";
        text += "complaint = " + std::to_string(brings[i]) + "\n";
        for (std::size_t c = 0; c < checks.size(); ++c)
            if (std::find(checks[c].sees.begin(), checks[c].sees.end(), i) != checks[c].sees.end())
                text += "sign-" + std::to_string(c) + " = \"always\"\n";
    }
    for (std::size_t p = 0; p < place_minutes.size(); ++p)
        text += "[access.place-" + std::to_string(p + 1) + "]\ntitle = \"Place " +
                std::to_string(p + 1) + "\"\nminutes = " + std::to_string(place_minutes[p]) +
                (p > 0 ? "\nvia = \"place-" + std::to_string(p) + "\"\n" : "\n");
    const auto at = [](std::size_t place) {
        return place == 0 ? std::string() : "at = \"place-" + std::to_string(place) + "\"\n";
    };
    for (std::size_t c = 0; c < checks.size(); ++c) {
        const std::string n = std::to_string(c);
        text += "[observation.sign-" + n + "]\ntitle = \"Sign " + n + "\"\n";
        text += "[test.check-" + n + "]\ntitle = \"Check " + n + "\"\nhow = \"Look.\"\n";
        text += "reveals = [\"sign-" + n + "\"]\nminutes = " + std::to_string(checks[c].minutes) +
                "\nmisses = " + std::to_string(checks[c].misses) +
                "\nfalse_alarm = " + std::to_string(checks[c].false_alarm) + "\n" +
                at(checks[c].place);
    }
    for (std::size_t r = 0; r < repairs.size(); ++r) {
        const std::string n = std::to_string(r);
        text += "[repair.mend-" + n + "]\ntitle = \"Mend " + n + "\"\nhow = \"Mend.\"\nfixes = {";
        for (std::size_t f = 0; f < repairs[r].fixes.size(); ++f)
            text += (f > 0 ? ", cause-" : " cause-") + std::to_string(repairs[r].fixes[f].first) +
                    " = " + std::to_string(repairs[r].fixes[f].second);
        text += " }\nminutes = " + std::to_string(repairs[r].minutes) + "\n" + at(repairs[r].place);
    }
    return text;
}

SmallProblem small_problem(std::uint64_t seed) {
    std::uint64_t count = 0;
    // Six decimals are what the text keeps.
    const auto between = [&](double from, double to) {
        return std::round(1e6 * (from + (to - from) * even(seed, {200, count++}))) / 1e6;
    };
    const auto whole = [&](std::size_t from, std::size_t to) {
        return from + static_cast<std::size_t>(even(seed, {200, count++}) *
                                               static_cast<double>(to - from + 1));
    };
    SmallProblem it;
    const std::size_t causes = whole(3, 4);
    for (std::size_t i = 0; i < causes; ++i) {
        it.present.push_back(std::round(1e6 * std::exp(between(std::log(0.005), std::log(0.1)))) /
                             1e6);
        it.brings.push_back(between(0.3, 0.95));
    }
    it.leak = between(0, 0.01);
    it.place_minutes = {std::round(between(2, 10)), std::round(between(5, 30))};
    const std::size_t checks = 3;
    for (std::size_t c = 0; c < checks; ++c) {
        SmallCheck check{
            {}, between(0.02, 0.3), between(0.01, 0.2), std::round(between(1, 15)), whole(0, 2)};
        const std::size_t first = whole(0, causes - 1);
        for (std::size_t n = 0, sees = whole(1, 3); n < std::min(sees, causes); ++n)
            check.sees.push_back((first + n) % causes);
        it.checks.push_back(check);
    }
    const std::size_t repairs = 3;
    for (std::size_t r = 0; r < repairs; ++r) {
        SmallRepair repair{{}, std::round(between(5, 90)), whole(0, 2)};
        for (std::size_t n = 0, fixes = whole(1, 2); n < fixes; ++n)
            repair.fixes.emplace_back((r + n) % causes, between(0.6, 0.99));
        it.repairs.push_back(repair);
    }
    return it;
}

double best_minutes(const SmallProblem& problem) { return BestPlan(problem).from_start(); }

double expected_minutes(const SmallProblem& problem, const Model& model, Follower& follower) {
    return Walk(problem, model, follower).from_start();
}

}  // namespace knockwell::trials
