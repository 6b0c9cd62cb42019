// beliefs/questions.hpp
//
// What a look could find, as sums that differ from the evidence's own only in a few weights: so one
// plan serves every look. Inside this floor only.
//
// Given    a sign without a finding, looked at in the last stage
// Idea     "at most this level", "none of the first k kinds noticed" are products over the causes:
// u_c for every cause that is present and acts. The chance of an outcome is a sum of a few such
// products with coefficients of either sign Source   absorption of negatives (Heckerman, UAI 1989),
// level by level (noisy-MAX in cumulative form: Diez, UAI 1993)
#pragma once
#include "beliefs/beliefs.hpp"

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace knockwell {

/// A product: `factor` times u for every cause of the list that is present (and acts, where asked),
/// and only those worlds in which a setting has this state.
struct Question {
    struct OfCause {
        std::uint32_t cause = 0;
        double times = 1;
        bool through_acts = false;
    };
    struct OfSetting {
        std::uint32_t setting = 0;
        std::size_t state = 0;
    };
    double factor = 1;
    std::vector<OfCause> causes;
    std::vector<OfSetting> settings;
    [[nodiscard]] bool empty() const { return causes.empty() && settings.empty(); }
};

/// Outcomes of one look as sums of questions: P(outcome) = sum_q coefficient[outcome][q] * E[q].
struct Questions {
    std::vector<Question> ask;
    std::vector<std::vector<std::size_t>> values;  // [outcome][sign looked at]
    std::vector<std::vector<double>> coefficient;  // [outcome][question]
};

/// Nothing where the look cannot be put so: one of its signs has a finding already, or there are
/// too many outcomes.
[[nodiscard]] std::optional<Questions> questions_of(const Model& model, const Evidence& evidence,
                                                    std::span<const double> strengths,
                                                    const Look& look);

}  // namespace knockwell
