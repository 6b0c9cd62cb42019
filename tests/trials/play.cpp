#include "trials/play.hpp"

#include "advice/cost.hpp"
#include "advice/handover.hpp"
#include "advice/looks.hpp"
#include "advice/mending.hpp"
#include "advice/rules.hpp"
#include "advice/worth.hpp"
#include "base/words.hpp"
#include "trials/dice.hpp"

#include <algorithm>
#include <array>
#include <stdexcept>
#include <variant>

namespace knockwell::trials {
namespace {

// Symptoms that say more about another one, and that nobody calls about by themselves; what was
// before the trouble the knowledge marks itself.
constexpr std::array says_more_of_another{
    "same-hours-each-day",
    "with-neighbours-pumping",
    "smell-where",
};

bool opens_a_call(const Sign& sign) {
    return sign.symptom && !sign.circumstance &&
           std::find(says_more_of_another.begin(), says_more_of_another.end(), sign.head.id) ==
               says_more_of_another.end();
}

// Nobody goes on for so long.
constexpr std::size_t most_steps = 120;

template <class Id, class Things>
Id named(const Things& things, const std::string& id) {
    for (std::size_t i = 0; i < things.size(); ++i) {
        if constexpr (requires { things[i].step; }) {
            if (things[i].step.head.id == id)
                return Id(i);
        } else if (things[i].head.id == id) {
            return Id(i);
        }
    }
    throw std::runtime_error("no step is called " + id);
}

bool is_danger(const SignAmong& when, SignId sign, std::size_t value) {
    return when.sign == sign &&
           std::find(when.values.begin(), when.values.end(), value) != when.values.end();
}

class Player {
public:
    Player(const Model& model, const SafetyTexts& texts, const House& house, const Call& call,
           const std::vector<SettingId>& settings, Follower& follower)
        : follower_(&follower), visit_{&model, call, house, {}, {}, {}, {}},
          eye_(texts, {"qualified", {"pump-installer"}, true}) {
        for (const SettingId id : settings)
            visit_.evidence.settings[id] = house.state(id);
        visit_.situation.who = visit_.situation.vouches = Skill::qualified;
        visit_.situation.licences = {Licence::pump_installer};
        visit_.situation.on_site = true;
        visit_.second_visit = quickest_mending(knowledge(), visit_.evidence, visit_.situation);
        find(call.complaint, call.says, Via::told, {});
        follower.start(visit_);
    }

    Played make() {
        while (!over_) {
            if (played_.looks + played_.repairs > most_steps || !make_safe()) {
                give_up();
                break;
            }
            if (!visit_.stops.empty() && blocks_all())
                continue;
            const std::optional<Suggestion> offer = follower_->next(visit_);
            played_.cut_short += follower_->was_cut_short() ? 1U : 0U;
            if (offer)
                take(*offer);
            else
                give_up();
        }
        return played_;
    }

private:
    const Knowledge& knowledge() const { return *visit_.model->knowledge; }

    void say(double minutes, const std::string& what) {
        played_.diary.push_back(number(minutes) + " min  " + what);
    }

    bool blocks_all() const {
        return std::any_of(visit_.stops.begin(), visit_.stops.end(),
                           [&](const StopNow& it) { return knowledge()[it.stop].blocks_all; });
    }

    // Who minds stops by himself has nothing to offer while one blocks everything.
    void offer_nothing() {
        if (!follower_->minds_stops())
            return;
        if (const auto offer = follower_->next(visit_))
            played_.unsafe.push_back("offered while everything is stopped: " + offer->id);
    }

    // Clears every stop that holds; false where nothing lifts one.
    bool make_safe() {
        visit_.stops = stops_now(*visit_.model, visit_.evidence, visit_.situation);
        if (visit_.stops.empty())
            return true;
        if (blocks_all())
            offer_nothing();
        played_.minutes += minutes_to_make_safe;
        for (const StopNow& now : visit_.stops) {
            const Stop& stop = knowledge()[now.stop];
            say(minutes_to_make_safe, "stop: " + stop.head.id);
            if (stop.cleared_by.empty())
                return false;
            visit_.situation.stops_cleared_by.insert(stop.cleared_by.front());
            eye_.cleared(knowledge()[stop.cleared_by.front()].head.id);
        }
        visit_.stops = stops_now(*visit_.model, visit_.evidence, visit_.situation);
        return true;
    }

    void find(SignId sign, std::size_t value, Via via, TestId test) {
        Finding finding;
        finding.what = sign;
        finding.value = value;
        finding.via = via;
        finding.test = test;
        finding.stage = visit_.evidence.repairs.size();
        add(visit_.evidence, finding);
        eye_.found(knowledge()[sign].head.id, knowledge()[sign].value_name(value));
        for (const Stop& stop : knowledge().stops) {
            for (const SignAmong& when : stop.when)
                if (is_danger(when, sign, value))
                    for (const SignId clears : stop.cleared_by) {
                        visit_.situation.stops_cleared_by.erase(clears);
                        visit_.situation.vouched_state.erase(clears);
                        // As of a job (engine/job/apply.cpp): it is not let out for good.
                        if (knowledge()[clears].stated_by_pressure_zero)
                            no_longer_zero(knowledge(), visit_.situation);
                    }
        }
        for (const Stop& stop : knowledge().stops)
            if (value == 1 && knowledge()[sign].form == SignForm::flag &&
                std::find(stop.cleared_by.begin(), stop.cleared_by.end(), sign) !=
                    stop.cleared_by.end()) {
                visit_.situation.stops_cleared_by.insert(sign);
                eye_.cleared(knowledge()[sign].head.id);
            }
    }

    void watch(const Suggestion& offer) {
        Offer seen{std::string(to_text(offer.kind)), offer.id, {}, words_of(offer.cautions)};
        for (const Preparation& it : offer.first)
            seen.first.push_back({it.says, words_of(it.cautions)});
        for (std::string& rule : eye_.watch(seen))
            played_.unsafe.push_back(seen.kind + ":" + seen.id + ": " + rule);
    }

    std::vector<std::string> words_of(const std::vector<CautionId>& cautions) const {
        std::vector<std::string> words;
        for (const CautionId id : cautions)
            words.push_back(knowledge()[id].head.id);
        return words;
    }

    // Who locks out and proves dead says so.
    void stand(const Situation& then) {
        visit_.situation = then;
        for (bool Sign::*stated_by : {&Sign::stated_by_power_off, &Sign::stated_by_pressure_zero})
            vouch(knowledge(), stated_by, visit_.situation);
    }

    void take(const Suggestion& offer) {
        watch(offer);
        const Candidate step = candidate_of(knowledge(), offer);
        const Outlay cost = outlay(knowledge(), visit_.situation, step);
        played_.minutes += cost.minutes;
        stand(cost.then);
        if (step.kind == StepKind::repair)
            repair(RepairId(step.index), cost.minutes);
        else if (step.kind == StepKind::refer)
            refer(ReferId(step.index), cost.minutes);
        else
            look(step, cost.minutes);
    }

    void look(const Candidate& step, double minutes) {
        ++played_.looks;
        std::string told = std::string(to_text(step.kind)) + ":" + step.id;
        const Look look = look_of(knowledge(), step);
        for (const Findable& what : look.at) {
            if (const auto* setting = std::get_if<SettingId>(&what)) {
                visit_.evidence.settings[*setting] = visit_.house.state(*setting);
                told += " = " + knowledge()[*setting].states[visit_.house.state(*setting)];
                continue;
            }
            const SignId sign = std::get<SignId>(what);
            const std::size_t value =
                visit_.house.report(sign, look.via, look.test, visit_.evidence.repairs.size());
            find(sign, value, look.via, look.test);
            told += " " + knowledge()[sign].head.id + "=" + knowledge()[sign].value_name(value);
        }
        say(minutes, told);
    }

    // The complaint looked at with the power back: gone?
    void see_whether_gone(double recheck) {
        Candidate again;
        again.kind = StepKind::test;
        again.minutes = minutes_to_see_that_it_is_gone + recheck;
        again.needs.power = Power::on;
        again.needs.pressure = Pressure::up;
        const Outlay cost = outlay(knowledge(), visit_.situation, again);
        for (const Preparation& it : cost.first)
            for (std::string& rule : eye_.prepared({it.says, words_of(it.cautions)}))
                played_.unsafe.push_back("looking again: " + rule);
        played_.minutes += cost.minutes;
        stand(cost.then);
        const SignId sign = visit_.call.complaint;
        const std::size_t truth = visit_.house.truth(sign);
        const bool missed = even(visit_.call.seed, {100, visit_.evidence.repairs.size()}) <
                            knowledge().manifest.looked.misses.mean();
        if (truth == 0 || missed) {
            over_ = true;
            played_.called_back = truth != 0;
            if (played_.called_back)
                played_.minutes += minutes_of_second_visit(visit_);
            say(cost.minutes, truth == 0 ? "gone" : "seems gone, and is not");
            return;
        }
        say(cost.minutes, "still there");
        find(sign, truth, Via::looked, {});
    }

    void repair(RepairId id, double minutes) {
        ++played_.repairs;
        say(minutes, "repair:" + knowledge()[id].step.head.id);
        visit_.house.repair(id);
        visit_.evidence.repairs.push_back(id);
        double recheck = 0;
        for (const TestId test : knowledge()[id].recheck)
            recheck += knowledge()[test].step.minutes;
        see_whether_gone(recheck);
    }

    void refer(ReferId id, double minutes) {
        ++played_.repairs;
        const std::vector<CauseId> takes = taken_by(visit_, id);
        const bool any = std::any_of(takes.begin(), takes.end(),
                                     [&](CauseId it) { return visit_.house.wrong(it); });
        say(minutes, "refer:" + knowledge()[id].head.id + (any ? " finds it" : " finds nothing"));
        visit_.situation.passed_over.insert("refer:" + knowledge()[id].head.id);
        // What was mended is no longer there; it is not said that it never was.
        visit_.house.hand_over(takes);
        if (any && visit_.house.truth(visit_.call.complaint) == 0) {
            over_ = true;
            return;
        }
        for (const CauseId cause : takes)
            known_absent(cause);
    }

    void known_absent(CauseId cause) {
        visit_.evidence.causes.push_back({cause, false, visit_.evidence.repairs.size()});
    }

    void give_up() {
        over_ = true;
        played_.last_resort = true;
        played_.minutes += minutes_of_second_visit(visit_);
        say(minutes_of_second_visit(visit_), "last resort");
    }

    Follower* follower_;
    Visit visit_;
    SafetyEye eye_;
    Played played_;
    bool over_ = false;
};

}  // namespace

double minutes_of_second_visit(const Visit& visit) {
    double minutes = minutes_of_last_resort;
    for (const CauseId cause : visit.house.behind(visit.call.complaint))
        minutes += visit.second_visit[cause.index()];
    return minutes;
}

std::optional<Call> call_of(const Knowledge& knowledge, const House& house, std::uint64_t seed) {
    std::optional<Call> call;
    double first = 2;
    for (std::size_t s = 0; s < knowledge.signs.size(); ++s) {
        const Sign& sign = knowledge.signs[s];
        const SignId id(s);
        if (!opens_a_call(sign))
            continue;
        const double place = even(seed, {101, s});
        if (place > first || house.truth(id) == 0)
            continue;
        const std::size_t says = house.report(id, Via::told, {}, 0);
        if (says == 0)
            continue;
        first = place;
        const std::size_t causes = house.behind(id).size();
        call = Call{seed, id, says, causes > 0, causes};
    }
    return call;
}

Suggestion offered(const Knowledge& knowledge, const Situation& situation, const Candidate& step) {
    const Outlay cost = outlay(knowledge, situation, step);
    Suggestion it;
    it.kind = step.kind;
    it.id = step.id;
    it.cautions = step.cautions;
    it.first = cost.first;
    it.minutes = cost.minutes;
    return it;
}

Candidate candidate_of(const Knowledge& knowledge, const Suggestion& offer) {
    switch (offer.kind) {
    case StepKind::test:
        return candidate(knowledge, named<TestId>(knowledge.tests, offer.id));
    case StepKind::question:
        return candidate(knowledge, named<SignId>(knowledge.signs, offer.id));
    case StepKind::setting:
        return candidate(knowledge, named<SettingId>(knowledge.settings, offer.id));
    case StepKind::repair:
        return candidate(knowledge, named<RepairId>(knowledge.repairs, offer.id));
    case StepKind::refer:
        break;
    }
    return candidate(knowledge, named<ReferId>(knowledge.refers, offer.id));
}

std::vector<CauseId> taken_by(const Visit& visit, ReferId refer) {
    return handover(*visit.model->knowledge, visit.evidence, visit.situation, refer).takes;
}

Played play(const Model& model, const SafetyTexts& texts, const House& house, const Call& call,
            const std::vector<SettingId>& settings, Follower& follower) {
    return Player(model, texts, house, call, settings, follower).make();
}

}  // namespace knockwell::trials
