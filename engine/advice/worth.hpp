// advice/worth.hpp
//
// What a look is worth: bits about what is wrong, and minutes that it saves until the trouble is
// over.
//
// bits     sum over the causes able to explain what was found, of the expected drop of entropy
//          (beliefs: bits); a bystander earns nothing
// minutes  sum_o P(o) [ cost under o of the order that is best now
//                       - cost under o of the order that is best then ] - minutes of the look,
//          each cost from where one would stand: what the look opened stays open. An outcome that
//          leaves the same repair first saves nothing: what it says of the repairs after it can
//          wait until that one has failed
// Source   R. A. Howard, Information value theory, IEEE Trans. SSC-2(1), 1966, pp. 22-26, one step
//          ahead
// Held by  tests/advice/advise_test.cpp
#pragma once
#include "advice/advice.hpp"
#include "advice/candidate.hpp"
#include "advice/cost.hpp"
#include "advice/mending.hpp"

#include <string>
#include <vector>

namespace knockwell {

/// A repair or a refer with what it ends.
struct Mender {
    Candidate step;
    std::vector<Fix> fixes;
};

/// What there is to mend, and with what: the same for every look.
struct Trouble {
    bool found = false;  // something was found present
    std::vector<CauseId> explainers;
    std::vector<double> shares;  // [CauseId], of the trouble as things are
    std::vector<Mender>
        menders;  // whoever may do them: what is held back here has to be done all the same
    std::vector<Mend> mends;  // of the menders, from where one stands
    Mending at_once;          // looking no further
};

[[nodiscard]] Trouble trouble_of(const Model& model, const Evidence& evidence, const Posterior& now,
                                 const Situation& situation);

/// Fills bits, minutes saved and outcomes of a look whose minutes stand already. `there` is where
/// one stands after it. Nothing is filled in where no outcome could be predicted.
void weigh(Suggestion& look, const Knowledge& knowledge, const Trouble& trouble,
           const Posterior& now, const std::vector<Findable>& at,
           const std::vector<Outcome>& outcomes, const Situation& there);

}  // namespace knockwell
