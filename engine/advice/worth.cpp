#include "advice/worth.hpp"

#include "advice/mass.hpp"
#include "advice/rules.hpp"

#include <algorithm>
#include <span>
#include <variant>

namespace knockwell {
namespace {

bool anything_found(const Knowledge& knowledge, const Evidence& evidence) {
    return std::any_of(evidence.findings.begin(), evidence.findings.end(),
                       [&](const Finding& it) { return found_present(knowledge, evidence, it); }) ||
           std::any_of(evidence.causes.begin(), evidence.causes.end(),
                       [](const KnownCause& it) { return it.present; });
}

std::vector<Fix> fixes_of(const Repair& repair) {
    std::vector<Fix> fixes;
    for (const CauseStrength& it : repair.fixes)
        fixes.push_back({it.cause, it.strength.count.mean()});
    return fixes;
}

// Who a cause is referred to stands at the refer, at the cause, or at both.
std::vector<Fix> fixes_of(const Knowledge& knowledge, ReferId refer) {
    std::vector<Fix> fixes;
    for (std::size_t i = 0; i < knowledge.causes.size(); ++i) {
        const auto& takes = knowledge[refer].takes;
        const bool taken = std::find(takes.begin(), takes.end(), CauseId(i)) != takes.end();
        if (taken || knowledge.causes[i].refer == refer)
            fixes.push_back({CauseId(i), 1});
    }
    return fixes;
}

std::vector<Mender> menders_of(const Knowledge& knowledge, const Evidence& evidence,
                               const Situation& situation) {
    std::vector<Mender> menders;
    const auto take = [&](Mender mender) {
        if (!cannot_apply(mender.step.only_if, evidence) &&
            !situation.passed_over.contains(key_of(mender.step)))
            menders.push_back(std::move(mender));
    };
    for (std::size_t i = 0; i < knowledge.repairs.size(); ++i) {
        const auto& made = evidence.repairs;
        if (std::find(made.begin(), made.end(), RepairId(i)) != made.end())
            continue;
        take({candidate(knowledge, RepairId(i)), fixes_of(knowledge.repairs[i])});
    }
    for (std::size_t i = 0; i < knowledge.refers.size(); ++i)
        take({candidate(knowledge, ReferId(i)), fixes_of(knowledge, ReferId(i))});
    return menders;
}

std::vector<Mend> mends_from(const Knowledge& knowledge, const Trouble& trouble,
                             const Situation& situation) {
    std::vector<Mend> mends;
    mends.reserve(trouble.menders.size());
    for (const Mender& mender : trouble.menders)
        mends.push_back({outlay(knowledge, situation, mender.step).minutes, mender.fixes});
    return mends;
}

std::size_t first_of(const std::vector<double>& cause) {
    return static_cast<std::size_t>(std::max_element(cause.begin(), cause.end()) - cause.begin());
}

const std::string& name_of(const Knowledge& knowledge, const Findable& what) {
    if (const auto* sign = std::get_if<SignId>(&what))
        return knowledge[*sign].head.id;
    return knowledge[std::get<SettingId>(what)].head.id;
}

const std::string& value_of(const Knowledge& knowledge, const Findable& what, std::size_t value) {
    if (const auto* sign = std::get_if<SignId>(&what))
        return knowledge[*sign].value_name(value);
    return knowledge[std::get<SettingId>(what)].states[value];
}

std::string level_of(const Knowledge& knowledge, const std::vector<Findable>& at,
                     const Outcome& outcome) {
    if (at.size() == 1)
        return value_of(knowledge, at.front(), outcome.values.front());
    std::string level;
    for (std::size_t i = 0; i < at.size(); ++i) {
        if (i > 0)
            level += ", ";
        level += name_of(knowledge, at[i]) + ": " + value_of(knowledge, at[i], outcome.values[i]);
    }
    return level;
}

OutcomeWords words_of(const Knowledge& knowledge, const std::vector<Findable>& at,
                      const Outcome& outcome) {
    OutcomeWords words{level_of(knowledge, at, outcome), outcome.p, "", 0};
    if (outcome.cause.empty())
        return words;
    const std::size_t first = first_of(outcome.cause);
    words.then_first = knowledge.causes[first].head.id;
    words.then_p = outcome.cause[first];
    return words;
}

// What it still takes once the look was made. Where it leaves the same repair first, that repair is
// made, and what the look says of the ones after it can be looked at when it has failed.
double minutes_after(std::span<const double> shares, std::span<const Mend> mends,
                     std::span<const std::size_t> order) {
    const double as_planned = minutes_in_order(shares, mends, order);
    const Mending best = mend_in_order(shares, mends);
    const bool same_first =
        best.order.empty() ? order.empty() : !order.empty() && best.order.front() == order.front();
    // The greedy order may be no better than the one that is known already.
    return same_first ? as_planned : std::min(as_planned, best.minutes);
}

}  // namespace

Trouble trouble_of(const Model& model, const Evidence& evidence, const Posterior& now,
                   const Situation& situation) {
    const Knowledge& knowledge = *model.knowledge;
    Trouble trouble;
    trouble.found = anything_found(knowledge, evidence);
    trouble.explainers = explainers(model, evidence);
    trouble.shares = trouble_shares(now.cause, trouble.explainers);
    trouble.menders = menders_of(knowledge, evidence, situation);
    trouble.mends = mends_from(knowledge, trouble, situation);
    trouble.at_once = mend_in_order(trouble.shares, trouble.mends);
    return trouble;
}

void weigh(Suggestion& look, const Knowledge& knowledge, const Trouble& trouble,
           const Posterior& now, const std::vector<Findable>& at,
           const std::vector<Outcome>& outcomes, const Situation& there) {
    if (outcomes.empty())
        return;
    look.bits = bits(outcomes, now.cause, trouble.explainers);
    look.bits_per_minute = look.minutes > 0 ? look.bits / look.minutes : look.bits;
    const std::vector<Mend> then = mends_from(knowledge, trouble, there);
    double saved = 0;
    for (const Outcome& outcome : outcomes) {
        look.outcomes.push_back(words_of(knowledge, at, outcome));
        const auto shares = trouble_shares(outcome.cause, trouble.explainers);
        const auto& order = trouble.at_once.order;
        saved += outcome.p * (minutes_in_order(shares, trouble.mends, order) -
                              minutes_after(shares, then, order));
    }
    if (trouble.found)
        look.minutes_saved = saved - look.minutes;
    std::stable_sort(look.outcomes.begin(), look.outcomes.end(),
                     [](const OutcomeWords& a, const OutcomeWords& b) { return a.p > b.p; });
}

}  // namespace knockwell
