// advice/policy.hpp
//
// What to do from here on, written out: a step, its outcomes, the step under each outcome, and so
// on; for a truck without a computer.
//
// Given    where a job stands, how deep, and how many steps have room
// Idea     the step that advise() puts first; under each outcome the findings are as if it had been
//          found, and one stands where the step leaves one. The unwritten outcome that is most
//          likely to be reached is written next, until there is no room
// Care     a repair that does not end the trouble is a finding: the complaint again, in a new
//          stage. An outcome that brings up a danger is never gone beyond
// Cost     one answer a step
// Held by  tests/advice/policy_test.cpp (the steps are those that advise() gives one by one)
#pragma once
#include "advice/advice.hpp"
#include "advice/truck.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace knockwell {

struct PolicyBranch {
    std::vector<std::string> found;   // "yes", of each thing that is looked at; "it holds"
    double p = 0;                     // given that the step is reached
    std::optional<std::size_t> then;  // place in Policy::steps; nothing = not written out
    bool cured = false;               // the repair held
    std::vector<StopId> stops;        // dangers that this outcome brings up
    CauseId first;                    // the cause that then stands first; invalid where cured
    double first_p = 0;
    std::optional<MenderOf> mender;  // what would be done about that cause
};
struct PolicyStep {
    Suggestion step;
    double reach = 1;                    // chance of coming here
    std::size_t depth = 0;               // steps before it
    std::vector<PolicyBranch> branches;  // the likeliest first
    double rarer = 0;                    // chance of the outcomes that are left out
};
struct Policy {
    std::vector<StopNow> stops;     // that stand now; one that blocks everything leaves no steps
    std::vector<PolicyStep> steps;  // the first is where one begins; each before those it leads to
};
struct PolicyOptions {
    std::size_t depth = 4;     // steps one after the other
    std::size_t most = 12;     // steps in all
    std::size_t branches = 4;  // outcomes of one step
    const Rates* rates = nullptr;
};

/// Empty steps where the evidence is impossible or too wide to add up.
[[nodiscard]] Policy policy_from(const Model& model, const Evidence& evidence,
                                 const Situation& situation, const PolicyOptions& options = {});

}  // namespace knockwell
