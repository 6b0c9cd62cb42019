// cli/choices.hpp
//
// What can be answered to a question, as numbered lines, and which dangers are asked for first.
#pragma once
#include "advice/advice.hpp"
#include "advice/looks.hpp"
#include "knowledge/model.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace knockwell {

struct Choice {
    std::string says;   // "yes", "below-cut-in"
    std::string value;  // as an event of a job keeps it
};

/// Every value that can be found: yes before no, kinds before "no", levels from the lowest to the
/// highest.
[[nodiscard]] std::vector<Choice> choices_of(const Knowledge& knowledge, const Findable& what);
/// The states of a setting.
[[nodiscard]] std::vector<Choice> choices_of(const Setting& setting);

/// The signs of danger (advice/phone.hpp) that were not found there yet.
[[nodiscard]] std::vector<SignId> danger_signs(const Knowledge& knowledge,
                                               const Evidence& evidence);

/// What customers complain of, `most` of them at most; signs of danger are left out. First what
/// trouble brings up most: how often it is told of beyond what is told of with nothing wrong, so
/// that snow cleared in half of all yards does not stand before a house without water.
[[nodiscard]] std::vector<SignId> complaints(const Model& model, const Evidence& evidence,
                                             const Posterior& now, std::size_t most);

/// Any step by its kind and its place in the knowledge, as it is for who is there.
[[nodiscard]] Candidate step_at(const Knowledge& knowledge, const Evidence& evidence,
                                const Situation& situation, StepKind kind, std::size_t index);

/// The step that an identifier names; nothing has that index where there is none.
[[nodiscard]] std::size_t index_of(const Knowledge& knowledge, StepKind kind, std::string_view id);

}  // namespace knockwell
