// cli/overturn.hpp
//
// What would overturn a ranking: the looks under whose outcomes a cause loses the first place, or
// gains it.
#pragma once
#include "advice/candidate.hpp"
#include "beliefs/beliefs.hpp"

#include <string>
#include <vector>

namespace knockwell {

struct Overturn {
    Candidate look;
    std::vector<std::string> found;  // the likeliest such outcome
    double p = 0;                    // its chance
    double all = 0;                  // chance of all such outcomes of the look
    CauseId first;                   // the cause that then stands first
    double first_p = 0;
};

/// At most `most`, those whose chance is largest first; looks that cannot exist here and outcomes
/// under 0.1 % are left out. Who may make the look does not matter here. `own` as of Advice: what
/// tripped stands first only as far as it came by itself.
[[nodiscard]] std::vector<Overturn> overturns_of(const Model& model, const Evidence& evidence,
                                                 const Posterior& now,
                                                 const std::vector<double>& own, CauseId cause,
                                                 std::size_t most);

}  // namespace knockwell
