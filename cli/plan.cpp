// The command `plan`.
#include "base/words.hpp"
#include "beliefs/finding.hpp"
#include "cli/commands.hpp"
#include "cli/job_commands.hpp"
#include "cli/show_plan.hpp"
#include "cli/words.hpp"
#include "job/identity.hpp"
#include "job/time_text.hpp"

#include <algorithm>

namespace knockwell {
namespace {

constexpr std::size_t causes_over_it = 3;

/// A card is for whoever is named last, or for a qualified person on site where nobody is.
Situation sent(Situation situation, const Job& job) {
    const std::vector<Event> stands = standing(job);
    const bool named = std::any_of(stands.begin(), stands.end(), [](const Event& event) {
        return event.kind == EventKind::person;
    });
    if (!named && !situation.on_site) {
        situation.who = Skill::qualified;
        situation.on_site = true;
    }
    return situation;
}

std::vector<std::string> known_of(const Knowledge& knowledge, const Evidence& evidence) {
    std::vector<std::string> known;
    for (const auto& [setting, state] : evidence.settings)
        known.push_back(knowledge[setting].head.title + ": " + knowledge[setting].states[state]);
    for (const auto& [name, value] : evidence.quantities)
        known.push_back(name + ": " + number(value));
    for (const Finding& finding : evidence.findings)
        known.push_back(to_text(knowledge, finding));
    for (const RepairId repair : evidence.repairs)
        known.push_back("done: " + knowledge[repair].step.head.title);
    return known;
}

std::vector<std::string> likeliest(const Model& model, const Evidence& evidence,
                                   const Posterior& now) {
    const Knowledge& knowledge = *model.knowledge;
    std::vector<CauseId> order = spoken_by_chance(model, evidence, now);
    order.resize(std::min(order.size(), causes_over_it));
    std::vector<std::string> words;
    for (const CauseId id : order)
        words.push_back(knowledge[id].head.title + " " + percent(now.cause[id.index()]));
    return words;
}

}  // namespace

Status carry_out(const PlanCommand& plan, const Desk& desk) {
    if (plan.html && desk.common.json)
        return complain(desk, refused("plan --html --json", "one of them, not both", {}));
    const auto believed = believed_now(desk, plan.job, plan.told);
    if (const auto* status = std::get_if<Status>(&believed))
        return *status;
    const Believed& it = std::get<Believed>(believed);
    const Knowledge& knowledge = it.knowledge();
    const Model model = it.model();
    const Situation situation = sent(it.course.situation, it.asked.job);
    const Policy policy = policy_from(
        model, it.course.evidence, situation,
        {.depth = plan.depth, .most = plan.steps, .branches = 4, .rates = &it.asked.shelf.rates});
    PlanHead head;
    head.job = it.asked.job.id.empty() ? "" : short_id(it.asked.job.id);
    head.day = format_day(desk.now);
    head.version = it.asked.shelf.version();
    head.rates = it.asked.shelf.rates;
    head.who = situation_words(knowledge, situation);
    head.known = known_of(knowledge, it.course.evidence);
    head.warnings = it.asked.warnings;
    head.most_likely = likeliest(it.model(), it.course.evidence, it.now);
    if (desk.common.json) {
        desk.print(plan_json(knowledge, head, policy));
    } else if (plan.html) {
        desk.print(plan_html(knowledge, head, policy));
    } else {
        Page page(desk.style);
        show_plan(page, knowledge, head, policy);
        desk.print(page.all());
    }
    return status_done;
}

}  // namespace knockwell
