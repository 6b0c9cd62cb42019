// cli/show_truck.hpp
//
// While the customer is on the phone: whether to roll, what the truck should carry, and what is
// done first on arrival.
#pragma once
#include "advice/phone.hpp"
#include "cli/page.hpp"

#include <string>
#include <vector>

namespace knockwell {

/// "Roll now.", with the reason in figures.
[[nodiscard]] std::string roll_words(const Knowledge& knowledge, const PhoneStage& stage);

/// What a part must match; empty where nothing is known of it.
[[nodiscard]] std::string match_words(const Part& part);

/// Dangers first, then whether to roll, the next question, the truck list, the arrival.
void show_phone_stage(Page& page, const Knowledge& knowledge, const PhoneStage& stage,
                      const Rates& rates = {});

/// `warnings`: dangers of other jobs at this house.
[[nodiscard]] std::string phone_stage_json(const Knowledge& knowledge, const std::string& job,
                                           const std::vector<std::string>& warnings,
                                           const PhoneStage& stage, const Rates& rates = {});

}  // namespace knockwell
