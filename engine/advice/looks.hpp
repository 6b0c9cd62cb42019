// advice/looks.hpp
//
// Which looks are left: tests not yet made in this stage, symptoms not yet asked, settings not yet
// known.
#pragma once
#include "advice/candidate.hpp"
#include "beliefs/beliefs.hpp"

#include <set>
#include <string>
#include <vector>

namespace knockwell {

struct LookLeft {
    Candidate step;
    Look look;
};

/// What a test, a question or the asking for a setting looks at.
[[nodiscard]] Look look_of(const Knowledge& knowledge, const Candidate& step);

/// What a test reveals and nobody has found in this stage by that test, or by a look on site that
/// names no test.
[[nodiscard]] std::vector<Findable> left_to_find(const Knowledge& knowledge,
                                                 const Evidence& evidence, TestId test);

/// "yes", "stays-off": how an outcome has each thing that is looked at, in that order.
[[nodiscard]] std::vector<std::string>
found_at(const Knowledge& knowledge, const std::vector<Findable>& at, const Outcome& outcome);

/// As if the outcome had been found.
[[nodiscard]] Evidence with_outcome(const Evidence& evidence, const Look& look,
                                    const Outcome& outcome);

/// In the order of the text: tests, symptoms, settings. A test counts as made when everything that
/// it reveals was found in this stage by that test or by a look on site that names no test: whoever
/// has looked is not sent to look again. Another test of the same sign leaves it open, and so does
/// that one of these signs is to be looked at `again`. What a sign that was found settles
/// (`leaves_moot`) is left out.
[[nodiscard]] std::vector<LookLeft> looks_left(const Knowledge& knowledge, const Evidence& evidence,
                                               const std::set<SignId>& again = {});

}  // namespace knockwell
