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

}  // namespace knockwell
