// advice/worth.hpp
//
// What a look is worth: bits about what is wrong, and minutes that it saves until the trouble is
// over.
//
// bits     sum over the causes able to explain what was found, of the expected drop of entropy
//          (beliefs: bits); a bystander earns nothing
// minutes  mending at once in order, less the look with what follows it (advice/ahead.hpp), each
// from
//          where one would stand: what the look opened stays open
// Held by  tests/advice/advise_test.cpp
#pragma once
#include "advice/advice.hpp"
#include "advice/candidate.hpp"
#include "advice/cost.hpp"
#include "advice/mending.hpp"

#include <vector>

namespace knockwell {

/// A repair or a refer with what it ends.
struct Mender {
    Candidate step;
    std::vector<Fix> fixes;
    double recheck = 0;  // minutes of the tests that show that it is mended
    double in_vain = 0;  // minutes more where it ends nothing: parts, somebody's way
};

/// What there is to mend, and with what: the same for every look.
struct Trouble {
    bool found = false;  // something was found present
    std::vector<CauseId> explainers;
    std::vector<double> own;     // [CauseId], of what tripped: see by_themselves
    std::vector<double> shares;  // [CauseId], of the trouble as things are
    std::vector<Mender>
        menders;  // whoever may do them: what is held back here has to be done all the same
    std::vector<Mend> mends;  // of the menders, from where one stands
    LastResort last_resort;   // mends by the quickest of them
    Mending at_once;          // looking no further
};

/// trouble_shares, but for what a reset puts back: what tripped is trouble of its own only where
/// nothing that trips it is there, else it goes with the mending of that. The sum stays.
[[nodiscard]] std::vector<double> shares_of_trouble(const std::vector<double>& blame,
                                                    const std::vector<double>& own,
                                                    const std::vector<CauseId>& explainers);

/// The same, of what is found and believed now.
[[nodiscard]] std::vector<double> shares_of_trouble(const Model& model, const Evidence& evidence,
                                                    const Posterior& now);

[[nodiscard]] Trouble trouble_of(const Model& model, const Evidence& evidence, const Posterior& now,
                                 const Situation& situation, const Rates* rates = nullptr);

/// [cause] minutes of the quickest mending of it from here, with what `trouble_of` counts; 0 where
/// there is none.
[[nodiscard]] std::vector<double>
quickest_mending(const Knowledge& knowledge, const Evidence& evidence, const Situation& situation);

/// Fills in the bits of a look whose minutes stand already. Nothing is filled in where no outcome
/// could be predicted.
void weigh(Suggestion& look, const Trouble& trouble, const Posterior& now,
           const std::vector<Outcome>& outcomes);

/// Fills in what each outcome of a look would bring first, the likeliest outcome first. `outcomes`
/// have the chances of all causes, those too that explain nothing yet: one of them may come first.
/// `own` as of Trouble.
void tell_outcomes(Suggestion& suggested, const Model& model, const Evidence& evidence,
                   const std::vector<double>& own, const Posterior& now, const Look& look,
                   const std::vector<Outcome>& outcomes);

/// A look as the road ahead needs it: where one stands after it, and what it could show.
struct WeighedLook {
    const Candidate* step = nullptr;
    const std::vector<Outcome>* outcomes = nullptr;
    Situation then;
};

/// Minutes until the trouble is over, by the step that one begins with.
struct Road {
    double at_once = 0;         // mending in order, looking no further
    std::vector<double> looks;  // [look]
    std::vector<double> alone;  // [look] with nothing but mending after it
    std::vector<double> mends;  // [mender of the trouble]; infinite where it ends nothing
};

/// One step ahead for all, two for the `closely` best looks and repairs.
[[nodiscard]] Road road_from(const Knowledge& knowledge, const Trouble& trouble,
                             const Posterior& now, const Situation& situation,
                             const std::vector<WeighedLook>& looks, std::size_t closely);

}  // namespace knockwell
