// A step that could hurt somebody is refused when it is read, not priced when it is offered.
#include "base/words.hpp"
#include "knowledge/check.hpp"

#include <algorithm>
#include <optional>
#include <utility>

namespace knockwell {
namespace {

/// What a test, a repair and the asking of a setting have in common here.
struct Work {
    std::string who;
    Step step;
};

bool is_sound(const ReadRun& run, const Step& step) {
    const auto broken = [&](Kind kind, std::size_t index) {
        return run.broken.contains({kind, index});
    };
    std::size_t steps = 0;  // a ring of accesses is told already, and a long way too
    for (AccessId at = step.at; at.valid(); at = run.knowledge[at].via)
        if (broken(Kind::access, at.index()) || ++steps > longest_way)
            return false;
    const std::vector<CautionId> cautions = cautions_of(run.knowledge, step);
    return std::none_of(cautions.begin(), cautions.end(),
                        [&](CautionId caution) { return broken(Kind::caution, caution.index()); });
}

/// Where the step gets `hazard` from.
Note origin(const ReadRun& run, const Work& work, Hazard hazard) {
    for (const AccessId at : way_to(run.knowledge, work.step.at)) {
        const Access& access = run.knowledge[at];
        if (std::find(access.hazards.begin(), access.hazards.end(), hazard) != access.hazards.end())
            return {access.head.span, "'" + std::string(to_text(hazard)) + "' is met at access '" +
                                          access.head.id + "'"};
    }
    return {work.step.head.span,
            "'" + std::string(to_text(hazard)) + "' is met in " + work.who + " itself"};
}

void check_cautions(ReadRun& run, const Work& work) {
    const Knowledge& knowledge = run.knowledge;
    const std::vector<CautionId> cautions = cautions_of(knowledge, work.step);
    for (const Hazard hazard : hazards_of(knowledge, work.step)) {
        const bool covered = std::any_of(cautions.begin(), cautions.end(), [&](CautionId id) {
            const std::vector<Hazard>& covers = knowledge[id].covers;
            return std::find(covers.begin(), covers.end(), hazard) != covers.end();
        });
        if (covered)
            continue;
        std::vector<std::string> fitting;
        for (const Caution& caution : knowledge.cautions)
            if (std::find(caution.covers.begin(), caution.covers.end(), hazard) !=
                caution.covers.end())
                fitting.push_back(caution.head.id);
        if (fitting.size() > 3)
            fitting.resize(3);
        run.error("no-caution", work.step.head.span,
                  work.who + " has no caution for the hazard '" + std::string(to_text(hazard)) +
                      "'",
                  fitting.empty() ? "write a caution that covers it, and name it in 'cautions'"
                                  : "name a caution that covers it: " + list_of(fitting, "or"),
                  {origin(run, work, hazard)});
    }
}

/// What the owner of the well must be kept away from; several reasons are one problem.
void check_owner(ReadRun& run, const Work& work) {
    const Needs& needs = work.step.needs;
    if (needs.skill != Skill::owner)
        return;
    std::vector<Note> reasons;
    for (const Hazard hazard : hazards_of(run.knowledge, work.step))
        reasons.push_back(origin(run, work, hazard));
    for (const AccessId at : way_to(run.knowledge, work.step.at)) {
        const Access& access = run.knowledge[at];
        const std::string name = "access '" + access.head.id + "'";
        if (access.skill != Skill::owner)
            reasons.push_back({access.head.span, name + " is for skill '" +
                                                     std::string(to_text(access.skill)) + "'"});
        if (access.power_off)
            reasons.push_back({access.head.span, name + " is a cover that comes off dead"});
        if (access.pressure_zero)
            reasons.push_back({access.head.span, name + " is opened at pressure zero"});
    }
    if (needs.pressure == Pressure::zero)
        reasons.push_back({work.step.head.span, "it needs the pressure proved zero"});
    if (needs.tank_drained)
        reasons.push_back({work.step.head.span, "it needs the tank drained"});
    if (!needs.licence.empty())
        reasons.push_back({work.step.head.span, "it needs a licence"});
    if (!reasons.empty())
        run.error("owner-limits", work.step.head.span, work.who + " is not for the owner",
                  "give it skill 'helper' or 'qualified': the owner looks, listens, reads the "
                  "gauge, works a faucet and, on a dry floor, switches a breaker off",
                  std::move(reasons));
}

void check_live(ReadRun& run, const Work& work, bool is_repair) {
    const Needs& needs = work.step.needs;
    if (needs.power != Power::on)
        return;
    if (is_repair) {
        run.error("live-work", work.step.head.span, work.who + " is done with the power on",
                  "power is on only to measure or to watch; repair dead");
        return;
    }
    const std::vector<Hazard> hazards = hazards_of(run.knowledge, work.step);
    if (std::find(hazards.begin(), hazards.end(), Hazard::live) == hazards.end() ||
        needs.skill == Skill::qualified)
        return;
    run.error(
        "live-work", work.step.head.span,
        work.who + " is done at live parts by skill '" + std::string(to_text(needs.skill)) + "'",
        "only a qualified person measures or watches there", {origin(run, work, Hazard::live)});
}

/// Where `work` or its way is made with no pressure; nothing where it need not be.
std::optional<Note> where_zero(const ReadRun& run, const Work& work) {
    const Needs& needs = work.step.needs;
    if (needs.pressure == Pressure::zero)
        return Note{work.step.head.span, "it needs the pressure proved zero"};
    if (needs.tank_drained)
        return Note{work.step.head.span, "it needs the tank drained"};
    for (const AccessId at : way_to(run.knowledge, work.step.at))
        if (run.knowledge[at].pressure_zero)
            return Note{run.knowledge[at].head.span,
                        "access '" + run.knowledge[at].head.id + "' is opened at pressure zero"};
    return std::nullopt;
}

/// The same of power.
std::optional<Note> where_off(const ReadRun& run, const Work& work) {
    if (work.step.needs.power == Power::off)
        return Note{work.step.head.span, "it needs the power off"};
    for (const AccessId at : way_to(run.knowledge, work.step.at))
        if (run.knowledge[at].power_off)
            return Note{run.knowledge[at].head.span, "access '" + run.knowledge[at].head.id +
                                                         "' is a cover that comes off dead"};
    return std::nullopt;
}

/// Power goes off and pressure down because somebody could be hurt. A stop holds back by hazards,
/// so where none is written it holds nothing back.
void check_hazards(ReadRun& run, const Work& work) {
    // An owner opens nothing: that is told already, and the switching off of a pump to look and
    // listen is all that is left.
    if (work.step.needs.skill == Skill::owner)
        return;
    const std::vector<Hazard> met = hazards_of(run.knowledge, work.step);
    const auto meets = [&](Hazard hazard) {
        return std::find(met.begin(), met.end(), hazard) != met.end();
    };
    const auto tell = [&](Hazard hazard, Note why) {
        const std::string name(to_text(hazard));
        run.error("hazard-missing", work.step.head.span,
                  work.who + " meets no hazard '" + name + "', so that no stop that blocks '" +
                      name + "' holds it back",
                  "write hazards = [\"" + name +
                      "\"] in it, or in the access that is opened, and a caution that covers it",
                  {std::move(why)});
    };
    const auto zero = where_zero(run, work);
    if (zero && !meets(Hazard::pressure))
        tell(Hazard::pressure, *zero);
    const auto off = where_off(run, work);
    // Off for the water's sake, so that the pump presses nothing into what is open.
    const bool for_water = zero || meets(Hazard::pressure);
    if (off && !for_water && !meets(Hazard::live))
        tell(Hazard::live, *off);
}

/// No pump runs, and no pressure stands, where the way was opened at pressure zero.
void check_way_opened(ReadRun& run, const Work& work) {
    const Needs& needs = work.step.needs;
    const bool runs = needs.pump == "running" || needs.pump == "called";
    const auto zero = where_zero(run, work);
    if (!zero || !(runs || needs.pressure == Pressure::up))
        return;
    run.error("needs-clash", work.step.head.span,
              work.who + " needs the " + (runs ? "pump " + needs.pump : "pressure up") +
                  " where the pressure is proved zero",
              "look from a place that stays closed, or leave that need away", {*zero});
}

void check_work(ReadRun& run, const Work& work, bool is_repair) {
    if (!is_sound(run, work.step))
        return;
    check_cautions(run, work);
    check_owner(run, work);
    check_live(run, work, is_repair);
    check_hazards(run, work);
    check_way_opened(run, work);
}

/// An access that is reached via more accesses than anybody walks through. Rings are told
/// elsewhere.
void check_ways(ReadRun& run) {
    const std::vector<Access>& accesses = run.knowledge.accesses;
    for (const Access& access : accesses) {
        std::size_t steps = 1;
        AccessId at = access.via;
        for (; at.valid() && steps <= longest_way; at = run.knowledge[at].via)
            ++steps;
        // Only the first that is too far: what lies behind it is the same mistake.
        if (steps == longest_way + 1 && !at.valid())
            run.error("too-deep", access.head.span,
                      "access '" + access.head.id + "' lies behind more than " +
                          std::to_string(longest_way - 1) + " others",
                      "begin the way nearer to it");
    }
}

/// Where `measured_first` of a test names `sign`; the test where it is not found.
Span where_waited_for(const ReadRun& run, std::size_t test, const std::string& sign) {
    for (const Definition& definition : run.definitions)
        if (definition.kind == Kind::test && definition.index == test)
            for (const Entry& entry : definition.entry->value.entries())
                if (entry.key == "measured_first")
                    for (const Node& name : entry.value.items())
                        if (name.text == sign)
                            return name.span;
    return run.knowledge.tests[test].step.head.span;
}

/// A look that others wait for waits for none itself, so that nothing ever waits in a ring.
void check_wait(ReadRun& run, std::size_t index) {
    const Test& test = run.knowledge.tests[index];
    for (const SignId sign : test.step.measured_first)
        for (const Test& shows : run.knowledge.tests) {
            if (shows.step.measured_first.empty() ||
                std::find(shows.reveals.begin(), shows.reveals.end(), Findable(sign)) ==
                    shows.reveals.end())
                continue;
            const bool itself = &shows == &test;
            run.error("bad-condition", where_waited_for(run, index, run.knowledge[sign].head.id),
                      called("test", test.step.head.id) + " waits for '" +
                          run.knowledge[sign].head.id + "' ('measured_first'), which " +
                          (itself ? "it shows itself"
                                  : called("test", shows.step.head.id) +
                                        " shows, and that waits for a look too"),
                      itself ? "name what another test shows"
                             : "name what that one waits for, or let it wait for nothing");
        }
}

Step asking(const Setting& setting) {
    Step step;
    step.head = setting.head;
    step.at = setting.at;
    step.needs.skill = setting.skill;
    step.cautions = setting.cautions;
    return step;
}

}  // namespace

void check_steps(ReadRun& run) {
    check_ways(run);
    const Knowledge& knowledge = run.knowledge;
    for (std::size_t i = 0; i < knowledge.settings.size(); ++i)
        if (!run.broken.contains({Kind::setting, i}) && !knowledge.settings[i].table)
            check_work(
                run,
                {called("setting", knowledge.settings[i].head.id), asking(knowledge.settings[i])},
                false);
    for (std::size_t i = 0; i < knowledge.tests.size(); ++i)
        if (!run.broken.contains({Kind::test, i})) {
            check_work(run,
                       {called("test", knowledge.tests[i].step.head.id), knowledge.tests[i].step},
                       false);
            check_wait(run, i);
        }
    for (std::size_t i = 0; i < knowledge.repairs.size(); ++i)
        if (!run.broken.contains({Kind::repair, i}))
            check_work(
                run,
                {called("repair", knowledge.repairs[i].step.head.id), knowledge.repairs[i].step},
                true);
}

}  // namespace knockwell
