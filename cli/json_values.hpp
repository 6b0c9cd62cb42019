// cli/json_values.hpp
//
// What every JSON answer is made of. Only the renderings include this.
#pragma once
#include "advice/advice.hpp"
#include "knowledge/model.hpp"

#include <nlohmann/json.hpp>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace knockwell {

using Json = nlohmann::ordered_json;

/// Text from outside, made harmless: whoever prints a string of ours on a terminal is not steered
/// by it.
[[nodiscard]] Json json_text(std::string_view text);
[[nodiscard]] Json json_texts(const std::vector<std::string>& texts);

/// A number to ten significant digits; null where it is not finite, since JSON has no word for
/// that.
[[nodiscard]] Json json_number(double value);
[[nodiscard]] Json json_number(const std::optional<double>& value);

/// Each with its signal word and text.
[[nodiscard]] Json json_cautions(const Knowledge& knowledge,
                                 const std::vector<CautionId>& cautions);

/// Dangerous states, each with its cautions, what to do now and what lifts it.
[[nodiscard]] Json stops_json(const Knowledge& knowledge, const std::vector<StopNow>& stops);

/// Two blanks a level, a newline at the end.
[[nodiscard]] std::string printed(const Json& json);

}  // namespace knockwell
