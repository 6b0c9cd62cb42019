// cli/effects.hpp
//
// What each outcome of a look would change: causes before and after.
#pragma once
#include "advice/looks.hpp"
#include "beliefs/beliefs.hpp"

#include <string>
#include <vector>

namespace knockwell {

struct Moved {
    CauseId cause;
    double before = 0;
    double after = 0;
};

struct Effect {
    std::vector<std::string> found;  // "yes", of each thing that is looked at
    double p = 0;
    CauseId first;             // the cause that would stand first
    double first_p = 0;        // and its chance
    std::vector<Moved> moved;  // those that would move most, at most three, the largest move first
};

/// One for each outcome, the likeliest first; empty where they cannot be worked out. `own` as of
/// Advice, so that what comes first is what the next steps say of the same outcome.
[[nodiscard]] std::vector<Effect> effects_of(const Model& model, const Evidence& evidence,
                                             const Posterior& now, const std::vector<double>& own,
                                             const Look& look);

}  // namespace knockwell
