#include "advice/cost.hpp"

#include <algorithm>
#include <utility>

namespace knockwell {
namespace {

bool stands_open(const Situation& situation) {
    return situation.pressure_zero || situation.tank_drained || situation.water_open;
}

// Builds an outlay one preparation after the other, carrying the state that they leave behind.
class Steward {
public:
    Steward(const Knowledge& knowledge, const Situation& situation, const Candidate& step)
        : knowledge_(&knowledge), step_(&step) {
        outlay_.then = situation;
    }

    Outlay make() {
        if (step_->needs.pressure == Pressure::up)
            build_pressure();
        for (const AccessId id : way_left(*knowledge_, step_->at, outlay_.then.reached)) {
            prepare_for(id);
            reach(id);
        }
        prepare_for_step();
        if (step_->kind == StepKind::question && outlay_.then.on_site)
            outlay_.first.push_back(
                {"Find the customer", minutes_to_find_the_customer, {}, Prepares::find_customer});
        outlay_.minutes += step_->minutes;
        for (const Preparation& it : outlay_.first)
            outlay_.minutes += it.minutes;
        return outlay_;
    }

private:
    void prepare_for(AccessId id) {
        const Access& access = (*knowledge_)[id];
        const bool live = std::find(access.hazards.begin(), access.hazards.end(), Hazard::live) !=
                          access.hazards.end();
        if (access.power_off || (live && wants_dead(*knowledge_, *step_)))
            lock_out();
        if (access.pressure_zero)
            take_pressure_off();
    }

    void prepare_for_step() {
        if (energized(*step_)) {
            put_back();
            set_dead();
            restore();
        } else if (wants_lockout(*knowledge_, *step_, outlay_.then.reached)) {
            lock_out();
        } else if (step_->needs.power == Power::off) {
            switch_off();
        }
        // At its end the power is back on all that was taken apart before.
        if (ends_live(*knowledge_, *step_))
            put_back();
        if (step_->needs.pressure == Pressure::zero || step_->needs.tank_drained)
            take_pressure_off();
    }

    void reach(AccessId id) {
        const Access& access = (*knowledge_)[id];
        outlay_.first.push_back(
            {access.head.title, access.minutes, access.cautions, Prepares::reach, id});
        outlay_.then.reached.insert(id);
    }

    void lock_out() { lock_out(against(Hazard::live)); }

    void lock_out(std::vector<CautionId> cautions) {
        if (outlay_.then.power_off)
            return;
        outlay_.first.push_back(
            {"Switch the power off at the breaker or disconnect, lock it, try to "
             "start the pump, and prove every leg dead with a proved meter",
             minutes_to_lock_out, std::move(cautions), Prepares::lock_out});
        outlay_.then.power_off = true;
    }

    // By hand at a breaker: enough to listen, never to touch, so that the state is not remembered.
    void switch_off() {
        if (outlay_.then.power_off)
            return;
        outlay_.first.push_back({"Switch the pump off at its breaker, with dry hands and on a dry "
                                 "floor; leave it if the way there is wet",
                                 minutes_to_switch_off, against(Hazard::live),
                                 Prepares::switch_off});
    }

    // Draining the tank takes the pressure off too, so where both are wanted only it is done.
    void take_pressure_off() {
        const bool drain = step_->needs.tank_drained;
        if (drain ? outlay_.then.tank_drained : outlay_.then.pressure_zero)
            return;
        lock_out();
        if (drain) {
            outlay_.first.push_back({"Drain the tank until its opened drain has stopped running; "
                                     "drained of water it still holds its air charge",
                                     minutes_to_drain_tank, against(Hazard::pressure),
                                     Prepares::drain});
        } else {
            outlay_.first.push_back(
                {"Open a drain and leave it open until it has stopped running; a "
                 "gauge at zero proves nothing",
                 minutes_to_relieve, against(Hazard::pressure), Prepares::relieve});
        }
        outlay_.then.pressure_zero = true;
        outlay_.then.water_open = true;
        outlay_.then.tank_drained = outlay_.then.tank_drained || drain;
    }

    void set_dead() {
        if (step_->set_dead.empty())
            return;
        lock_out();
        outlay_.first.push_back({step_->set_dead, 0, against(Hazard::live), Prepares::set_dead});
    }

    // What was taken apart is put together before power or water comes back, the innermost first:
    // bare leads, a parted cable, a plug that holds the pressure. A cover behind which this step
    // watches stays off.
    void put_back() {
        for (const AccessId id : taken_apart()) {
            const Access& access = (*knowledge_)[id];
            lock_out(against(Hazard::live, access.cautions));
            outlay_.first.push_back({access.put_back, access.put_back_minutes, access.cautions,
                                     Prepares::put_back, id});
            outlay_.then.reached.erase(id);
            if (access.via.valid())
                outlay_.then.reached.insert(access.via);  // past which one came
        }
    }

    [[nodiscard]] std::vector<AccessId> taken_apart() const {
        const std::vector<AccessId> stays = way_to(*knowledge_, step_->at);
        std::vector<AccessId> open;
        for (const AccessId reached : outlay_.then.reached)
            for (const AccessId id : way_to(*knowledge_, reached))
                if (!(*knowledge_)[id].put_back.empty() &&
                    std::find(stays.begin(), stays.end(), id) == stays.end() &&
                    std::find(open.begin(), open.end(), id) == open.end())
                    open.push_back(id);
        std::stable_sort(open.begin(), open.end(), [&](AccessId a, AccessId b) {
            return way_to(*knowledge_, a).size() > way_to(*knowledge_, b).size();
        });
        return open;
    }

    // With the power on already only what stands open is left to close.
    void restore() {
        if (!outlay_.then.power_off) {
            if (close_water())
                outlay_.first.push_back({"Close the drain and whatever holds pressure",
                                         minutes_to_restore, against(Hazard::pressure),
                                         Prepares::pressure_up});
            return;
        }
        const bool covers = close_covers();
        const bool water = close_water();
        std::string says = covers && water ? "Put the covers back on, close the drain and whatever "
                                             "holds pressure; then, with"
                           : covers        ? "Put the covers back on; then, with"
                           : water ? "Close the drain and whatever holds pressure; then, with"
                                   : "With";
        says += " everybody clear and nothing touched, restore the power; hands off from here";
        outlay_.first.push_back(
            {std::move(says), minutes_to_restore, against(Hazard::live), Prepares::restore});
        outlay_.then.power_off = false;
    }

    void build_pressure() {
        if (!stands_open(outlay_.then))
            return;
        put_back();
        restore();
        outlay_.first.push_back({"Let the pump build pressure, watching the gauge from a distance",
                                 minutes_to_build_pressure, against(Hazard::pressure),
                                 Prepares::pressure_up});
    }

    // Whatever was opened dead, but for what this step watches behind.
    bool close_covers() {
        const std::vector<AccessId> way = way_to(*knowledge_, step_->at);
        return std::erase_if(outlay_.then.reached, [&](AccessId id) {
                   const Access& access = (*knowledge_)[id];
                   return access.power_off && !access.pressure_zero &&
                          std::find(way.begin(), way.end(), id) == way.end();
               }) > 0;
    }

    // Water that was let out comes back with power, so what was proved of it holds no more.
    bool close_water() {
        const bool open = stands_open(outlay_.then);
        water_is_back(*knowledge_, outlay_.then);
        return open;
    }

    std::vector<CautionId> against(Hazard hazard) const { return against(hazard, step_->cautions); }

    std::vector<CautionId> against(Hazard hazard, const std::vector<CautionId>& among) const {
        std::vector<CautionId> cautions;
        for (const CautionId id : among) {
            const auto& covers = (*knowledge_)[id].covers;
            if (std::find(covers.begin(), covers.end(), hazard) != covers.end())
                cautions.push_back(id);
        }
        return cautions;
    }

    const Knowledge* knowledge_;
    const Candidate* step_;
    Outlay outlay_;
};

}  // namespace

Outlay outlay(const Knowledge& knowledge, const Situation& situation, const Candidate& step) {
    return Steward(knowledge, situation, step).make();
}

Situation left_by(const Knowledge& knowledge, const Situation& situation, const Candidate& repair) {
    Situation then = outlay(knowledge, situation, repair).then;
    if (knowledge[RepairId(repair.index)].power_after)
        power_is_back(knowledge, then);
    return then;
}

void no_longer_zero(const Knowledge& knowledge, Situation& situation) {
    situation.pressure_zero = false;
    situation.tank_drained = false;
    std::erase_if(situation.reached, [&](AccessId id) { return knowledge[id].pressure_zero; });
}

void water_is_back(const Knowledge& knowledge, Situation& situation) {
    no_longer_zero(knowledge, situation);
    situation.water_open = false;
}

void no_longer_off(const Knowledge& knowledge, Situation& situation) {
    situation.power_off = false;
    std::erase_if(situation.stops_cleared_by,
                  [&](SignId id) { return knowledge[id].stated_by_power_off; });
}

void power_is_back(const Knowledge& knowledge, Situation& situation) {
    no_longer_off(knowledge, situation);
    water_is_back(knowledge, situation);
    std::erase_if(situation.reached, [&](AccessId id) { return knowledge[id].power_off; });
}

}  // namespace knockwell
