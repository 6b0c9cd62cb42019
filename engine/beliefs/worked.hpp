// beliefs/worked.hpp
//
// A reading that a computation of the trade works out: "drawdown=2gal,tank=20gal" -> 39 percent.
#pragma once
#include "beliefs/evidence.hpp"
#include "knowledge/model.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <variant>

namespace knockwell {

/// The reading, in its unit, from the inputs in `text` and the settings of `known`; what is typed
/// comes before what is known. Nothing where an input is left open and `known` is null. Otherwise
/// what is wrong (lower case, no full stop, safe on a terminal). `reading.worked` must be there.
[[nodiscard]] std::variant<std::optional<double>, std::string>
worked_reading(const Knowledge& knowledge, const Reading& reading, std::string_view text,
               const Evidence* known);

/// "drawdown=..., tank=... (cut-in=... and cut-out=... where they are not set)"
[[nodiscard]] std::string inputs_to_type(const WorkedOut& worked);

}  // namespace knockwell
