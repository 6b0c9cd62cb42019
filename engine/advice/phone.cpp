#include "advice/phone.hpp"

#include "advice/mass.hpp"
#include "advice/rules.hpp"
#include "advice/worth.hpp"

#include <algorithm>
#include <set>

namespace knockwell {
namespace {

bool is_asked(const Evidence& evidence, SignId sign) {
    return std::any_of(evidence.findings.begin(), evidence.findings.end(),
                       [&](const Finding& it) { return it.what == Findable(sign); });
}

/// What the owner may do by himself, each cause by the likeliest of his cures.
double ended_by(const Model& model, const Evidence& evidence, const Posterior& now,
                const Standing& standing) {
    const Knowledge& knowledge = *model.knowledge;
    const auto shares = shares_of_trouble(model, evidence, now);
    std::vector<double> chance(shares.size(), 0);
    for (std::size_t i = 0; i < knowledge.repairs.size(); ++i) {
        if (forbids(standing, candidate(knowledge, RepairId(i))))
            continue;
        for (const CauseStrength& fix : knowledge.repairs[i].fixes)
            chance[fix.cause.index()] =
                std::max(chance[fix.cause.index()], fix.strength.count.mean());
    }
    double ends = 0;
    for (std::size_t c = 0; c < shares.size(); ++c)
        ends += shares[c] * chance[c];
    return ends;
}

/// Of the tests that would come first for who drives, if he stood there with all that they want.
std::vector<std::string> tools_to_look(const Model& model, const Evidence& evidence,
                                       const Posterior& now, const Situation& situation,
                                       const Rates* rates) {
    if (!anything_found(*model.knowledge, evidence))
        return {};
    Situation there = situation;
    there.on_site = true;
    there.lacking_tools.clear();
    if (there.who == Skill::owner)
        there.who = Skill::qualified;
    std::set<std::string> tools;
    for (const Suggestion& step :
         advise(model, evidence, now, there, {.most = first_looks, .rates = rates, .told = 0}).next)
        if (step.kind == StepKind::test) {
            const TestId test = test_named(*model.knowledge, step.id);
            const std::vector<std::string>& wanted = (*model.knowledge)[test].step.tools;
            tools.insert(wanted.begin(), wanted.end());
        }
    return {tools.begin(), tools.end()};
}

}  // namespace

Urgency urgency(const Knowledge& knowledge, SignId danger) {
    Urgency soonest = Urgency::drinking;
    for (const Stop& stop : knowledge.stops)
        if (stop.when.size() == 1 && stop.when.front().sign == danger)
            soonest = std::min(soonest, urgency(stop));
    return soonest;
}

std::vector<SignId> signs_of_danger(const Knowledge& knowledge) {
    std::vector<SignId> all;
    for (const Stop& stop : knowledge.stops)
        for (const SignAmong& when : stop.when) {
            const Sign& sign = knowledge[when.sign];
            if (sign.symptom && !sign.reading && stop.when.size() == 1 &&
                std::find(all.begin(), all.end(), when.sign) == all.end())
                all.push_back(when.sign);
        }
    std::stable_sort(all.begin(), all.end(), [&](SignId a, SignId b) {
        return urgency(knowledge, a) < urgency(knowledge, b);
    });
    return all;
}

PhoneStage phone_stage(const Model& model, const Evidence& evidence, const Posterior& now,
                       const Situation& situation, double cover, const Rates* rates) {
    // What the truck lacks and who is on it does not matter on the phone.
    Situation phone;
    phone.passed_over = situation.passed_over;
    phone.stops_cleared_by = situation.stops_cleared_by;
    phone.stops_from_before = situation.stops_from_before;
    PhoneStage stage;
    for (const SignId sign : signs_of_danger(*model.knowledge))
        if (!is_asked(evidence, sign))
            stage.dangers.push_back(sign);
    const Advice advice =
        advise(model, evidence, now, phone, {.most = 1, .rates = rates, .told = 0});
    stage.stops = advice.stops;
    if (!advice.next.empty())
        stage.next = advice.next.front();
    stage.truck = truck_list(model, evidence, now, situation, cover);
    stage.handed_over = stage.truck.handed_over;
    stage.look_tools = tools_to_look(model, evidence, now, situation, rates);
    const Standing standing{model.knowledge, &phone,     &evidence,  advice.stops,
                            now.cause,       advice.own, now.setting};
    stage.owner_ends = ended_by(model, evidence, now, standing);
    const bool reported =
        stage.truck.repaired + stage.truck.handed_over + stage.truck.own_licence > 0;
    if (!stage.stops.empty())
        stage.roll = Roll::danger_first;
    else if (!stage.dangers.empty() || !reported)
        stage.roll = Roll::ask_first;
    else if (stage.owner_ends >= share_that_decides)
        stage.roll = Roll::owner_first;
    else if (stage.handed_over >= share_that_decides)
        stage.roll = Roll::hand_over;
    else
        stage.roll = Roll::roll;
    return stage;
}

}  // namespace knockwell
