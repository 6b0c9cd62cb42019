#include "advice/policy.hpp"

#include "advice/cost.hpp"
#include "advice/looks.hpp"
#include "advice/mass.hpp"
#include "advice/tripped.hpp"

#include <algorithm>
#include <utility>
#include <variant>

namespace knockwell {
namespace {

/// An outcome rarer than this is not written out (judgement).
constexpr double worth_a_branch = 0.02;

/// Where one is after some of the steps.
struct Waypoint {
    Evidence evidence;
    Situation situation;
    double reach = 1;
    std::size_t depth = 0;
    std::size_t step = 0;  // the one that led here, and its branch
    std::size_t branch = 0;
};

/// The complaint once more after the repair: every report of a sign that was there.
Evidence still_bad(const Knowledge& knowledge, const Evidence& evidence, RepairId repair) {
    Evidence then = evidence;
    then.repairs.push_back(repair);
    for (const Finding& finding : evidence.findings) {
        const auto* sign = std::get_if<SignId>(&finding.what);
        if (finding.stage + 1 != evidence.stages() || sign == nullptr ||
            !knowledge[*sign].symptom || !found_present(knowledge, evidence, finding))
            continue;
        Finding again = finding;
        again.stage = then.stages() - 1;
        add(then, std::move(again));
    }
    return then;
}

class Planner {
public:
    Planner(const Model& model, const PolicyOptions& options) : model_(&model), options_(options) {}

    Policy write(const Evidence& evidence, const Situation& situation) {
        Waypoint root;
        root.evidence = evidence;
        root.situation = situation;
        policy_.stops = stops_now(*model_, evidence, situation);
        if (!write_step(root))
            return policy_;
        while (!open_.empty() && policy_.steps.size() < options_.most) {
            // Ties go to the one that came first, so that equal input gives equal cards.
            const auto next = std::max_element(
                open_.begin(), open_.end(),
                [](const Waypoint& a, const Waypoint& b) { return a.reach < b.reach; });
            const Waypoint node = *next;
            open_.erase(next);
            const std::size_t place = policy_.steps.size();
            if (write_step(node))
                policy_.steps[node.step].branches[node.branch].then = place;
        }
        return policy_;
    }

private:
    const Knowledge& knowledge() const { return *model_->knowledge; }

    bool write_step(const Waypoint& node) {
        const auto answer = posterior(*model_, node.evidence);
        const auto* now = std::get_if<Posterior>(&answer);
        if (now == nullptr)
            return false;
        const Advice advice = advise(*model_, node.evidence, *now, node.situation,
                                     {.most = 1, .rates = options_.rates, .told = 0});
        if (advice.stopped || advice.next.empty())
            return false;
        PolicyStep step;
        step.step = advice.next.front();
        step.reach = node.reach;
        step.depth = node.depth;
        policy_.steps.push_back(std::move(step));
        if (policy_.steps.back().step.kind == StepKind::repair)
            branch_repair(node, *now, advice.own);
        else if (policy_.steps.back().step.kind != StepKind::refer)
            branch_look(node, *now, advice.own);
        return true;
    }

    Candidate planned(const Suggestion& step) const {
        if (step.kind == StepKind::test)
            return candidate(knowledge(), test_named(knowledge(), step.id));
        if (step.kind == StepKind::question)
            return candidate(knowledge(), sign_named(knowledge(), step.id));
        if (step.kind == StepKind::setting)
            return candidate(knowledge(), setting_named(knowledge(), step.id));
        return candidate(knowledge(), repair_named(knowledge(), step.id));
    }

    void branch_look(const Waypoint& node, const Posterior& now, const std::vector<double>& own) {
        const std::size_t place = policy_.steps.size() - 1;
        const Candidate step = planned(policy_.steps[place].step);
        const Look look = look_of(knowledge(), step);
        std::vector<Outcome> outcomes = predict(*model_, node.evidence, look);
        std::stable_sort(outcomes.begin(), outcomes.end(),
                         [](const Outcome& a, const Outcome& b) { return a.p > b.p; });
        const Situation there = outlay(knowledge(), node.situation, step).then;
        double told = 0;
        double all = 0;
        for (const Outcome& outcome : outcomes)
            all += outcome.p;
        for (const Outcome& outcome : outcomes) {
            if (policy_.steps[place].branches.size() >= options_.branches ||
                outcome.p < worth_a_branch || outcome.cause.empty())
                break;
            Waypoint child{with_outcome(node.evidence, look, outcome),
                           there,
                           node.reach * outcome.p,
                           node.depth + 1,
                           place,
                           policy_.steps[place].branches.size()};
            PolicyBranch branch;
            branch.found = found_at(knowledge(), look.at, outcome);
            branch.p = outcome.p;
            branch.first = first_of(knowledge(), outcome.cause, now.cause, own,
                                    spoken_of(*model_, child.evidence));
            branch.first_p = outcome.cause[branch.first.index()];
            branch.mender = mender_of(knowledge(), child.evidence, child.situation, branch.first);
            told += outcome.p;
            put(std::move(branch), std::move(child));
        }
        policy_.steps[place].rarer = std::max(0.0, all - told);
    }

    void branch_repair(const Waypoint& node, const Posterior& now, const std::vector<double>& own) {
        const std::size_t place = policy_.steps.size() - 1;
        const Suggestion& step = policy_.steps[place].step;
        PolicyBranch held;
        held.found = {"it holds"};
        held.p = step.helps;
        held.cured = true;
        PolicyBranch again;
        again.found = {"it is still there"};
        again.p = 1 - step.helps;
        const Candidate repair = planned(step);
        Waypoint child{still_bad(knowledge(), node.evidence, RepairId(repair.index)),
                       left_by(knowledge(), node.situation, repair),
                       node.reach * again.p,
                       node.depth + 1,
                       place,
                       1};
        mend(knowledge(), RepairId(repair.index), child.situation.stops_from_before);
        const auto then = posterior(*model_, child.evidence);
        const auto* known = std::get_if<Posterior>(&then);
        const std::vector<double>& cause = known != nullptr ? known->cause : now.cause;
        again.first =
            first_of(knowledge(), cause, now.cause, own, spoken_of(*model_, child.evidence));
        again.first_p = cause[again.first.index()];
        again.mender = mender_of(knowledge(), child.evidence, child.situation, again.first);
        policy_.steps[place].branches.push_back(std::move(held));
        put(std::move(again), std::move(child));
    }

    // A danger that the outcome brings up ends the branch: nothing is planned beyond it.
    void put(PolicyBranch branch, Waypoint child) {
        for (const StopNow& now : stops_now(*model_, child.evidence, child.situation)) {
            const bool stands =
                std::any_of(policy_.stops.begin(), policy_.stops.end(),
                            [&](const StopNow& before) { return before.stop == now.stop; });
            if (!stands)
                branch.stops.push_back(now.stop);
        }
        const bool goes_on = branch.stops.empty() && child.depth < options_.depth;
        policy_.steps[child.step].branches.push_back(std::move(branch));
        if (goes_on)
            open_.push_back(std::move(child));
    }

    const Model* model_;
    PolicyOptions options_;
    Policy policy_;
    std::vector<Waypoint> open_;
};

}  // namespace

Policy policy_from(const Model& model, const Evidence& evidence, const Situation& situation,
                   const PolicyOptions& options) {
    return Planner(model, options).write(evidence, situation);
}

}  // namespace knockwell
