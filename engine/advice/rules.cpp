#include "advice/rules.hpp"

#include "advice/cost.hpp"
#include "advice/handover.hpp"
#include "advice/mass.hpp"
#include "advice/tripped.hpp"
#include "base/words.hpp"
#include "beliefs/finding.hpp"

#include <algorithm>
#include <array>
#include <variant>

namespace knockwell {
namespace {

bool shows(const Test& test, SignId sign) {
    return std::find(test.reveals.begin(), test.reveals.end(), Findable(sign)) !=
           test.reveals.end();
}

const Access* hardest_access(const Knowledge& knowledge, const Candidate& step) {
    const Access* hardest = nullptr;
    for (const AccessId id : way_to(knowledge, step.at))
        if (hardest == nullptr || knowledge[id].skill > hardest->skill)
            hardest = &knowledge[id];
    return hardest;
}

std::string whose_hands(const Situation& situation) {
    return situation.on_site ? "here is the " + std::string(to_text(situation.who))
                             : "on the phone there are only the owner's hands";
}

// A step is written for the least skill that does it without being hurt.
Verdict skill(const Standing& standing, const Candidate& step) {
    if (step.needs.skill <= hands(*standing.situation))
        return {};
    return "needs a " + in_words(step.needs.skill) + "; " + whose_hands(*standing.situation);
}

// A crawl space, a pit or a panel asks for its skill even where the look itself would be easy.
Verdict way(const Standing& standing, const Candidate& step) {
    const Access* access = hardest_access(*standing.knowledge, step);
    if (access == nullptr || access->skill <= hands(*standing.situation))
        return {};
    return "the way there (" + access->head.title + ") needs a " + in_words(access->skill) + "; " +
           whose_hands(*standing.situation);
}

// An owner has no meter, no lock and no training: no hazard is small enough.
Verdict owner_meets_no_hazard(const Standing& standing, const Candidate& step) {
    if (hands(*standing.situation) != Skill::owner || step.hazards.empty())
        return {};
    return "not for the owner: it meets a hazard (" + std::string(to_text(step.hazards.front())) +
           ")";
}

// One of the licences named is enough; without it the work is handed over, not done.
Verdict licence(const Standing& standing, const Candidate& step) {
    if (step.needs.licence.empty())
        return {};
    if (std::any_of(step.needs.licence.begin(), step.needs.licence.end(),
                    [&](Licence wanted) { return holds(*standing.situation, wanted); }))
        return {};
    std::vector<std::string> names;
    for (const Licence wanted : step.needs.licence)
        names.emplace_back(to_text(wanted));
    return "hand it over: needs a licence (" + list_of(names, "or") + ") that nobody there has";
}

// Whatever is mended at live parts can be mended dead.
Verdict repairs_are_dead(const Standing& /*standing*/, const Candidate& step) {
    if (step.kind != StepKind::repair || !energized(step) || !meets(step, Hazard::live))
        return {};
    return "no repair is made at live parts";
}

// Energized only to measure or to watch, hands off, by a person who knows what is live there.
Verdict energized_qualified(const Standing& standing, const Candidate& step) {
    if (!energized(step) || !meets(step, Hazard::live))
        return {};
    if (hands(*standing.situation) == Skill::qualified)
        return {};
    return "power stays on near live parts: only a qualified person measures or watches there";
}

// Until it is proved dead a conductor counts as live, so that proving is itself qualified work.
Verdict proving_dead(const Standing& standing, const Candidate& step) {
    const Situation& situation = *standing.situation;
    if (situation.power_off || hands(situation) == Skill::qualified)
        return {};
    if (!wants_lockout(*standing.knowledge, step, situation.reached))
        return {};
    return "power must be off, locked and proved dead first, which is a qualified person's work";
}

// Opening a drain empties a vessel that can burst or scald; an owner works a faucet and no more.
Verdict owner_relieves_nothing(const Standing& standing, const Candidate& step) {
    const Situation& situation = *standing.situation;
    if (hands(situation) != Skill::owner || !wants_zero(*standing.knowledge, step))
        return {};
    return "pressure must be proved zero at an opened drain, which is not the owner's work";
}

// With power back the pump fills what stands open, and pressure proved zero is proved no more.
Verdict no_power_on_open_water(const Standing& standing, const Candidate& step) {
    if (!energized(step) || !wants_zero(*standing.knowledge, step))
        return {};
    return "wants power on and pressure zero at once: the pump would press water into what is open";
}

// Whether a stop that keeps the pump off keeps the step from bringing power: what mends the danger
// may.
bool keeps_power_off(const Knowledge& knowledge, const Stop& stop, const Candidate& step) {
    const bool mends =
        step.kind == StepKind::repair && std::find(stop.mended_by.begin(), stop.mended_by.end(),
                                                   RepairId(step.index)) != stop.mended_by.end();
    return stop.pump_off && brings_power(knowledge, step) && !mends;
}

// A stop that blocks a hazard holds until it is cleared, whoever is there.
Verdict stopped(const Standing& standing, const Candidate& step) {
    for (const StopNow& now : standing.stops) {
        const Stop& stop = (*standing.knowledge)[now.stop];
        if (holds_back(stop, step.hazards) || keeps_power_off(*standing.knowledge, stop, step))
            return "stop: " + stop.head.title;
    }
    return {};
}

// A danger that is over only because the power is off is there again as soon as it is back.
Verdict back_with_the_power(const Standing& standing, const Candidate& step) {
    const Knowledge& knowledge = *standing.knowledge;
    if (!brings_power(knowledge, step))
        return {};
    Situation live = *standing.situation;
    no_longer_off(knowledge, live);
    live.pressure_zero = false;
    if (live == *standing.situation)
        return {};
    for (const StopNow& now : stops_found_now(knowledge, *standing.evidence, live))
        if (keeps_power_off(knowledge, knowledge[now.stop], step))
            return "stop, were the power back: " + knowledge[now.stop].head.title;
    return {};
}

// What tripped would trip again: the breaker on a winding to ground, the guard on a dry well.
Verdict what_tripped_it(const Standing& standing, const Candidate& step) {
    constexpr double as_good_as_known = 0.8;
    const Knowledge& knowledge = *standing.knowledge;
    if (!resets(knowledge, step) || standing.own.empty())
        return {};
    for (const CauseStrength& fix : knowledge[RepairId(step.index)].fixes) {
        if (1 - standing.own[fix.cause.index()] <= as_good_as_known)
            continue;
        return "first what tripped it, or it trips again; likeliest: " +
               knowledge[likeliest_to_trip(knowledge[fix.cause], standing.cause)].head.title;
    }
    return {};
}

// What was done once and did not cure is not done again: neither a breaker nor an overload is reset
// twice, whoever reset it first.
Verdict once_only(const Standing& standing, const Candidate& step) {
    if (step.kind != StepKind::repair)
        return {};
    const auto& made = standing.evidence->repairs;
    if (std::find(made.begin(), made.end(), RepairId(step.index)) != made.end())
        return "was done on this job already and is not repeated";
    for (const SignAmong& tried : (*standing.knowledge)[RepairId(step.index)].tried_when)
        if (const Finding* finding =
                said_now(*standing.knowledge, *standing.evidence, tried.sign, tried.values))
            return "was tried already, in vain: " + to_text(*standing.knowledge, *finding);
    return {};
}

Verdict passed_over(const Standing& standing, const Candidate& step) {
    if (!standing.situation->passed_over.contains(key_of(step)))
        return {};
    return "was passed over";
}

Verdict applies(const Standing& standing, const Candidate& step) {
    if (!cannot_apply(step.only_if, *standing.evidence))
        return {};
    return "does not exist on this installation";
}

// Whether a cause shows the sign, so that it can be its doing; else somebody switched it so.
bool any_cause_shows(const Knowledge& knowledge, SignId sign) {
    return std::any_of(knowledge.causes.begin(), knowledge.causes.end(), [&](const Cause& cause) {
        return std::any_of(cause.shows.begin(), cause.shows.end(),
                           [&](const Shows& shows) { return shows.sign == sign; });
    });
}

// Values with which a look at the pump has nothing to see: it does not run whoever calls for it;
// where it is only called for, or wants power, no power gets to it.
std::vector<std::size_t> nothing_to_see(const Sign& sign, bool running) {
    std::vector<std::size_t> values = sign.no_power;
    if (running)
        values.insert(values.end(), sign.pump_stays_off.begin(), sign.pump_stays_off.end());
    std::sort(values.begin(), values.end());
    values.erase(std::unique(values.begin(), values.end()), values.end());
    return values;
}

// Nothing can be seen of a pump running that was found to stay off, nor of one called for, or under
// power, that has none; and what was switched off to stay off is not reset. A sign counts where
// nothing found of it in this stage says otherwise, so that whoever sees the pump run says so.
Verdict pump_stays_off(const Standing& standing, const Candidate& step) {
    const bool reset = resets(*standing.knowledge, step);
    if (!reset && !energized(step))
        return {};
    // A repair may start what stays off, but not what has no power.
    const bool running = step.kind == StepKind::test && step.needs.pump == "running";
    for (const Finding& finding : standing.evidence->findings) {
        const auto* id = std::get_if<SignId>(&finding.what);
        if (id == nullptr || finding.stage + 1 != standing.evidence->stages())
            continue;
        const std::vector<std::size_t> values = nothing_to_see((*standing.knowledge)[*id], running);
        if (values.empty() || (reset && any_cause_shows(*standing.knowledge, *id)))
            continue;
        if (const Finding* off = said_now(*standing.knowledge, *standing.evidence, *id, values))
            return std::string(reset     ? "what stays off is not reset: "
                               : running ? "wants the pump running, and it was found to stay off: "
                               : calls_for_pump(step)
                                   ? "wants the pump called for, and it has no power: "
                                   : "wants the power on, and it was found off: ") +
                   to_text(*standing.knowledge, *off);
    }
    return {};
}

Verdict tools(const Standing& standing, const Candidate& step) {
    std::vector<std::string> missing;
    for (const std::string& tool : step.tools)
        if (standing.situation->lacking_tools.contains(tool))
            missing.push_back(tool);
    if (missing.empty())
        return {};
    return "not on the truck: " + list_of(missing);
}

Verdict parts(const Standing& standing, const Candidate& step) {
    std::vector<std::string> missing;
    for (const PartUse& use : step.parts)
        if (standing.situation->lacking_parts.contains(use.part))
            missing.push_back((*standing.knowledge)[use.part].head.title);
    if (missing.empty())
        return {};
    return "not on the truck: " + list_of(missing);
}

bool is_looked_at(const Evidence& evidence, SignId sign) {
    return std::any_of(evidence.findings.begin(), evidence.findings.end(), [&](const Finding& it) {
        return it.what == Findable(sign) && it.via != Via::told;
    });
}

// What would kill the new part is looked for before the part is fitted, and what settles a long
// look or a hand-over before that, unless nobody here can.
Verdict measure_first(const Standing& standing, const Candidate& step) {
    if (const auto look = measured_before(standing, step))
        return "first, or it may be in vain or do harm: " + look->title;
    return {};
}

/// Of whoever may make a look at all, by the rules that ask who it is: nothing is off yet.
Skill least_skill(const Knowledge& knowledge, const Candidate& look) {
    constexpr std::array of_who = {skill, way, owner_meets_no_hazard, energized_qualified,
                                   proving_dead};
    for (const Skill who : {Skill::owner, Skill::helper}) {
        Situation there;
        there.who = who;
        there.on_site = true;
        const Evidence nothing;
        const Standing standing{&knowledge, &there, &nothing, {}, {}, {}};
        if (std::none_of(of_who.begin(), of_who.end(),
                         [&](auto forbids) { return forbids(standing, look).has_value(); }))
            return who;
    }
    return Skill::qualified;
}

constexpr std::array rules = {
    HardRule{"stopped", stopped},
    HardRule{"skill", skill},
    HardRule{"way", way},
    HardRule{"owner-meets-no-hazard", owner_meets_no_hazard},
    HardRule{"licence", licence},
    HardRule{"repairs-are-dead", repairs_are_dead},
    HardRule{"energized-qualified", energized_qualified},
    HardRule{"proving-dead", proving_dead},
    HardRule{"owner-relieves-nothing", owner_relieves_nothing},
    HardRule{"no-power-on-open-water", no_power_on_open_water},
    HardRule{"once-only", once_only},
    HardRule{"passed-over", passed_over},
    HardRule{"applies", applies},
    HardRule{"what-tripped-it", what_tripped_it},
    HardRule{"pump-stays-off", pump_stays_off},
    HardRule{"back-with-the-power", back_with_the_power},
    HardRule{"measure-first", measure_first},
    HardRule{"tools", tools},
    HardRule{"parts", parts},
};

}  // namespace

std::span<const HardRule> hard_rules() { return rules; }

Verdict forbids(const Standing& standing, const Candidate& step) {
    for (const HardRule& rule : rules)
        if (Verdict why = rule.forbids(standing, step))
            return why;
    return {};
}

bool likely_here(const Standing& standing, const Candidate& step) {
    constexpr double as_likely_as_not = 0.5;  // judgement
    constexpr double rounding = 1e-9;
    if (standing.setting.empty())
        return true;
    double chance = 1;
    for (const Condition& condition : step.only_if) {
        double holds = 0;
        for (const std::size_t state : condition.states)
            holds += standing.setting[condition.setting.index()][state];
        chance *= holds;
    }
    return chance >= as_likely_as_not - rounding;
}

namespace {

// Of the tests that show the sign and may be made here, or only wait themselves, the one with the
// fewest minutes from here; of one that waits what it waits for.
std::optional<Candidate> quickest_look_at(const Standing& standing, SignId sign) {
    const Knowledge& knowledge = *standing.knowledge;
    std::optional<Candidate> best;
    double least = 0;
    for (std::size_t i = 0; i < knowledge.tests.size(); ++i) {
        if (!shows(knowledge.tests[i], sign))
            continue;
        const Candidate look = candidate(knowledge, TestId(i));
        if (!likely_here(standing, look))
            continue;
        const auto first = forbids(standing, look) ? only_waits_for(standing, look) : look;
        const double minutes = outlay(knowledge, *standing.situation, look).minutes;
        if (first && (!best || minutes < least)) {
            best = first;
            least = minutes;
        }
    }
    return best;
}

}  // namespace

std::optional<Candidate> measured_before(const Standing& standing, const Candidate& step) {
    for (const SignId sign : step.measured_first) {
        if (is_looked_at(*standing.evidence, sign))
            continue;
        if (auto look = quickest_look_at(standing, sign))
            return look;
    }
    return {};
}

std::optional<Candidate> only_waits_for(const Standing& standing, const Candidate& step) {
    if (step.measured_first.empty())
        return {};
    const bool held_otherwise = std::any_of(rules.begin(), rules.end(), [&](const HardRule& rule) {
        return rule.forbids != measure_first && rule.forbids(standing, step);
    });
    return held_otherwise ? std::nullopt : measured_before(standing, step);
}

std::string in_words(Skill skill) {
    const std::string text(to_text(skill));
    return skill == Skill::qualified ? text + " person" : text;
}

bool holds_back(const Stop& stop, std::span<const Hazard> hazards) {
    return stop.blocks_all || std::any_of(hazards.begin(), hazards.end(), [&](Hazard hazard) {
               return std::find(stop.blocks.begin(), stop.blocks.end(), hazard) !=
                      stop.blocks.end();
           });
}

bool calls_for_pump(const Candidate& step) {
    return step.needs.pump == "running" || step.needs.pump == "called";
}

bool resets(const Knowledge& knowledge, const Candidate& step) {
    return step.kind == StepKind::repair && knowledge[RepairId(step.index)].resets;
}

bool brings_power(const Knowledge& knowledge, const Candidate& step) {
    return energized(step) || ends_live(knowledge, step);
}

bool cannot_apply(const Conditions& only_if, const Evidence& evidence) {
    return std::any_of(only_if.begin(), only_if.end(), [&](const Condition& condition) {
        const auto known = evidence.settings.find(condition.setting);
        return known != evidence.settings.end() &&
               !std::binary_search(condition.states.begin(), condition.states.end(), known->second);
    });
}

Skill skill_to_vouch(const Knowledge& knowledge, SignId sign) {
    std::optional<Skill> least;
    for (std::size_t i = 0; i < knowledge.tests.size(); ++i) {
        if (!shows(knowledge.tests[i], sign))
            continue;
        const Skill wanted = least_skill(knowledge, candidate(knowledge, TestId(i)));
        least = std::min(least.value_or(wanted), wanted);
    }
    return least.value_or(Skill::owner);
}

Skill hands(const Situation& situation) { return situation.on_site ? situation.who : Skill::owner; }

Skill vouching(const Situation& situation) { return std::min(hands(situation), situation.vouches); }

void vouch(const Knowledge& knowledge, bool Sign::*stated_by, Situation& situation) {
    const Skill who = vouching(situation);
    for (std::size_t i = 0; i < knowledge.signs.size(); ++i) {
        const SignId sign(i);
        if (!(knowledge[sign].*stated_by))
            continue;
        if (who >= skill_to_vouch(knowledge, sign))
            situation.vouched_state.insert(sign);
        else
            situation.vouched_state.erase(sign);
    }
}

}  // namespace knockwell
