// advice/situation.hpp
//
// Where one stands: who is there, what is open, what is off. What is not stated is taken as the
// more dangerous or the less able.
#pragma once
#include "knowledge/model.hpp"

#include <set>
#include <string>
#include <vector>

namespace knockwell {

struct Situation {
    Skill who = Skill::owner;  // whoever is not named is the owner
    std::vector<Licence> licences;
    bool on_site = false;        // false: on the phone
    std::set<AccessId> reached;  // open now
    bool power_off =
        false;  // off, locked and proved dead by the person who is there, in this visit
    bool pressure_zero = false;  // an opened drain has stopped running, in this visit
    bool tank_drained = false;
    bool water_open =
        false;  // what let the pressure out may still stand open, whatever it reads now
    std::set<std::string> lacking_tools;  // not on the truck; not stated = there
    std::set<PartId> lacking_parts;
    std::set<std::string> passed_over;   // steps that cannot be done here, or were not sure: kind
                                         // and id, "test:knock-on-tank"
    std::set<SignId> stops_cleared_by;   // signs found `yes` after a stop came up
    std::set<SignId> vouched_state;      // signs that the power or the pressure stated last stands
                                         // for, by who may vouch for them and after the danger
    std::set<StopId> stops_from_before;  // shown by findings that are no longer kept, and not
                                         // mended since
    Skill vouches = Skill::owner;  // whose word lifts a stop: of who is there, or was before that
                                   // was corrected, the less able
    bool operator==(const Situation&) const = default;
};

}  // namespace knockwell
