// beliefs/run.hpp
//
// Evidence -> sum -> plan -> numbers, in one call. Inside this floor only.
#pragma once
#include "beliefs/build.hpp"
#include "beliefs/parts.hpp"
#include "beliefs/whole.hpp"

#include <span>
#include <vector>

namespace knockwell {

struct Run {
    Built built;
    Shares shares;
    bool too_wide = false;
    double width = 0;
    double cost = 0;  // operations that its plans count
    [[nodiscard]] bool ok() const { return !too_wide && shares.possible; }
};

/// With the shares of every variable.
[[nodiscard]] Run run(const Model& model, const Evidence& evidence,
                      std::span<const double> strengths, const BuildChoice& choice);

/// ln P(e) under the point values: minus infinity where it is impossible, no number where it is too
/// wide to add up (for a danger they are opposites).
struct LogChance {
    double log = 0;
    double cost = 0;  // operations that its plans count
};
[[nodiscard]] LogChance log_chance_and_cost(const Model& model, const Evidence& evidence,
                                            const BuildChoice& choice = {});

/// Without its cost.
[[nodiscard]] inline double log_chance(const Model& model, const Evidence& evidence,
                                       const BuildChoice& choice = {}) {
    return log_chance_and_cost(model, evidence, choice).log;
}

/// P(cause present in the last stage | e) for every cause: exact for those that are in the sum and
/// those that can be carried down from them exactly.
[[nodiscard]] std::vector<double> cause_chances(const Model& model, const Evidence& evidence,
                                                std::span<const double> strengths, const Run& run);

/// As predict(), but only the chances of `causes` are worked out, the others stay as they are
/// `now`.
[[nodiscard]] std::vector<Outcome> predict_some(const Model& model, const Evidence& evidence,
                                                const Look& look, std::span<const double> now,
                                                std::span<const CauseId> causes);

}  // namespace knockwell
