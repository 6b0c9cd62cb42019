// advice/handover.hpp
//
// What a refer takes for who is there, and how it is offered to him.
//
// Given    a refer, the licence that it is to, and the causes that it takes
// Idea     whoever does not hold that licence hands over all of it. Whoever holds it is handed
//          nothing: what a repair that he may make can mend is that repair's, and costs its
//          minutes; what only the refer takes is left to him as work of his own licence
// Care     a repair that was made, was passed over or does not exist here mends nothing any more;
//          a part or a tool that is not on the truck hands nothing over
// Held by  tests/advice/handover_test.cpp
#pragma once
#include "advice/candidate.hpp"
#include "advice/situation.hpp"
#include "beliefs/evidence.hpp"

#include <vector>

namespace knockwell {

struct Handover {
    std::vector<CauseId> takes;  // in the order of the causes; empty = no step at all
    bool own = false;            // who is there holds the licence that it is to
};

/// On the phone nobody holds a licence.
[[nodiscard]] bool holds(const Situation& situation, Licence licence);

[[nodiscard]] Handover handover(const Knowledge& knowledge, const Evidence& evidence,
                                const Situation& situation, ReferId refer);

/// The refer as a step of who is there: handed over, or told as work of his own licence.
[[nodiscard]] Candidate referred(const Knowledge& knowledge, const Evidence& evidence,
                                 const Situation& situation, ReferId refer);

}  // namespace knockwell
