// advice/truck.hpp
//
// What the truck should carry: the parts that most probable repairs take, before anybody has
// looked.
//
// Given    shares p_c of the trouble (advice/mending.hpp) and repairs with chances f_rc and minutes
// Wanted   the fewest repairs that make up so much of what would be repaired, and their parts
// Idea     each cause goes to the one repair or refer that would be made for it, the largest
//          f_rc / minutes; a repair's share is the sum of its causes' shares; the largest shares
//          are taken until enough is covered
// Care     the looks on site say which of them it is, so a part is used with the share of the
//          repairs that take it, not once for each repair that might be tried in vain
// Held by  tests/advice/truck_test.cpp (shares added up by hand)
#pragma once
#include "advice/candidate.hpp"
#include "advice/situation.hpp"
#include "beliefs/beliefs.hpp"

#include <optional>
#include <vector>

namespace knockwell {

/// The repair or refer that would be made for a cause, and its chance to end it.
struct MenderOf {
    StepKind kind = StepKind::repair;
    std::size_t index = 0;  // in Knowledge: repairs, refers
    double chance = 0;
    bool own_licence = false;  // a refer to a licence that who is there holds
};

/// Nothing where no repair and no refer takes it. What cannot exist here, and what was made on this
/// job already, is left out. A refer takes what it takes for who is there (advice/handover.hpp).
/// Ties go to the one written first, repairs before refers.
[[nodiscard]] std::optional<MenderOf> mender_of(const Knowledge& knowledge,
                                                const Evidence& evidence,
                                                const Situation& situation, CauseId cause);

struct RepairShare {
    RepairId repair;
    double share = 0;  // of the trouble
};
struct ReferShare {
    ReferId refer;
    double share = 0;  // of the trouble
};
struct PartWanted {
    PartId part;
    double pieces = 1;  // the most that one repair takes
    double used = 0;    // chance that it is
    std::vector<RepairId> by;
};
struct TruckList {
    std::vector<RepairShare> repairs;  // those that are covered, the largest share first
    std::vector<PartWanted> parts;     // of these, the likeliest used first
    std::vector<std::string> tools;    // of these, in the order of the alphabet
    double covered = 0;      // of what would be repaired, the share that these parts cover: 0 to 1
    double repaired = 0;     // of the trouble, what a repair takes
    double handed_over = 0;  // what a refer takes
    std::vector<ReferShare> refers;  // of that each, the largest share first
    double own_licence = 0;  // what is work of the licence of who drives, and no listed repair
    double nobodys = 0;      // what nothing listed explains, or nothing listed mends
};

/// `cover` from 0 to 1. Empty where nothing was found present: then there is nothing to repair.
/// `situation` says who drives, and with which licences.
[[nodiscard]] TruckList truck_list(const Model& model, const Evidence& evidence,
                                   const Posterior& now, const Situation& situation,
                                   double cover = 0.9);

}  // namespace knockwell
