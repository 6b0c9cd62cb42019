// cli/leaving.hpp
//
// What must be true before one leaves a job. Common practice, no source.
#pragma once
#include <string>
#include <vector>

namespace knockwell {

/// Warnings first: they hold for every line of the list.
[[nodiscard]] std::vector<std::string> leaving_cautions();

/// The list, in the order in which it is gone through: dead and closed first, then running, then
/// the water.
[[nodiscard]] std::vector<std::string> leaving_checks();

/// The list where a danger stands: nothing is switched on again, closed or tried.
[[nodiscard]] std::vector<std::string> leaving_a_danger();

}  // namespace knockwell
