// beliefs/questions.hpp
//
// What a look could find, as sums that differ from the evidence's own only in a few weights: so one
// plan serves every look. Inside this floor only.
//
// Given    a sign looked at in the last stage. Where it has findings there, what is asked is asked
//          of the evidence without them: they and the look together
// Idea     "at most this level", "none of the first k kinds noticed" are products over the causes:
//          u_c for every cause that is present and acts. The chance of an outcome is a sum of a few
//          such products with coefficients of either sign
// Source   absorption of negatives (Heckerman, UAI 1989), level by level (noisy-MAX in cumulative
//          form: Diez, UAI 1993)
#pragma once
#include "beliefs/beliefs.hpp"
#include "beliefs/lists.hpp"
#include "beliefs/sum.hpp"

#include <cstdint>
#include <span>
#include <vector>

namespace knockwell {

/// Questions and what they are good for: P(outcome) = sum_q coefficient[outcome][q] * E[q]. Kept in
/// a few arrays, so that one may be used again for the next look.
struct Questions {
    struct OfCause {
        std::uint32_t cause = 0;
        double times = 1;
        bool through_acts = false;
    };
    struct OfSetting {
        std::uint32_t setting = 0;
        std::size_t state = 0;
    };
    /// A product: `factor` times u for every cause of the list that is present (and acts, where
    /// asked), and only those worlds in which the settings have these states.
    struct Ask {
        double factor = 1;
        Slice causes, settings;
    };
    std::vector<Ask> ask;
    std::vector<OfCause> causes;
    std::vector<OfSetting> settings;
    std::size_t outcomes = 0;
    std::vector<std::size_t> values;  // [outcome][sign looked at]
    std::vector<double> coefficient;  // [outcome][question]

    [[nodiscard]] double by(std::size_t outcome, std::size_t question) const {
        return coefficient[outcome * ask.size() + question];
    }
    void clear();
};

/// Evidence, which must outlive it, with the findings of each sign at hand.
class BySign {
public:
    BySign(const Evidence& evidence, std::size_t signs);
    [[nodiscard]] const Evidence& evidence() const { return evidence_; }
    [[nodiscard]] bool has(SignId sign) const { return !places_[sign.index()].empty(); }
    [[nodiscard]] std::vector<const Finding*> findings(SignId sign) const;

private:
    const Evidence& evidence_;
    Lists places_;  // [sign] places in evidence.findings
};

/// Signs of a look that have findings, ascending.
[[nodiscard]] std::vector<SignId> found_already(const BySign& found, const Look& look);

/// Fills `into`: questions to the evidence without the findings of those signs. P(outcome) is then
/// that of outcome and findings. False where the look cannot be put so: one of its signs has a
/// finding of an earlier stage, or several where they may be missed one by one, or there are too
/// many outcomes.
[[nodiscard]] bool put_questions(const Model& model, const BySign& found,
                                 std::span<const double> strengths, const Look& look,
                                 Questions& into);

}  // namespace knockwell
