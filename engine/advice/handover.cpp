#include "advice/handover.hpp"

#include "advice/rules.hpp"
#include "base/words.hpp"

#include <algorithm>
#include <string>

namespace knockwell {
namespace {

// [CauseId]. Who a cause is referred to stands at the refer, at the cause, or at both.
std::vector<bool> taken_by(const Knowledge& knowledge, ReferId refer) {
    std::vector<bool> taken(knowledge.causes.size(), false);
    for (std::size_t c = 0; c < taken.size(); ++c)
        taken[c] = knowledge.causes[c].refer == refer;
    for (const CauseId cause : knowledge[refer].takes)
        taken[cause.index()] = true;
    return taken;
}

bool may_make(const Knowledge& knowledge, const Evidence& evidence, const Situation& situation,
              RepairId repair) {
    const Step& step = knowledge[repair].step;
    const auto& made = evidence.repairs;
    if (std::find(made.begin(), made.end(), repair) != made.end() ||
        cannot_apply(step.only_if, evidence) ||
        situation.passed_over.contains(key_of(candidate(knowledge, repair))))
        return false;
    const auto& licences = step.needs.licence;
    return step.needs.skill <= hands(situation) &&
           (licences.empty() || std::any_of(licences.begin(), licences.end(),
                                            [&](Licence it) { return holds(situation, it); }));
}

void leave_out_what_he_mends(std::vector<bool>& taken, const Knowledge& knowledge,
                             const Evidence& evidence, const Situation& situation) {
    for (std::size_t r = 0; r < knowledge.repairs.size(); ++r)
        if (may_make(knowledge, evidence, situation, RepairId(r)))
            for (const CauseStrength& fix : knowledge.repairs[r].fixes)
                taken[fix.cause.index()] =
                    taken[fix.cause.index()] && fix.strength.count.mean() <= 0;
}

}  // namespace

bool holds(const Situation& situation, Licence licence) {
    const auto& held = situation.licences;
    return situation.on_site && std::find(held.begin(), held.end(), licence) != held.end();
}

Handover handover(const Knowledge& knowledge, const Evidence& evidence, const Situation& situation,
                  ReferId refer) {
    Handover it{{}, holds(situation, knowledge[refer].to)};
    if (cannot_apply(knowledge[refer].only_if, evidence))
        return it;
    std::vector<bool> taken = taken_by(knowledge, refer);
    if (it.own)
        leave_out_what_he_mends(taken, knowledge, evidence, situation);
    for (std::size_t c = 0; c < taken.size(); ++c)
        if (taken[c])
            it.takes.emplace_back(c);
    return it;
}

Candidate referred(const Knowledge& knowledge, const Evidence& evidence, const Situation& situation,
                   ReferId refer) {
    const Handover handed = handover(knowledge, evidence, situation, refer);
    Candidate step = candidate(knowledge, refer);
    step.takes = handed.takes;
    if (!handed.own)
        return step;
    step.own_licence = true;
    const std::string licence(to_text(knowledge[refer].to));
    step.title = "Work of your licence (" + licence + ")";
    std::vector<std::string> against;
    for (const CauseId cause : handed.takes)
        against.push_back(knowledge[cause].head.title);
    step.how = "This is work of the licence you hold (" + licence + "): " + list_of(against, "or") +
               ". " + knowledge[refer].why;
    return step;
}

}  // namespace knockwell
