// cli/leaving.hpp
//
// What must be true before one leaves a job. Common practice, no source.
#pragma once
#include <string>
#include <string_view>
#include <vector>

namespace knockwell {

/// One line of the list, with the word that says that it was checked.
struct LeavingCheck {
    std::string_view word;  // "covers"
    std::string says;
    bool owner = false;  // an owner can see to it without opening anything
};

/// A reading that is kept as it is left, besides the signs of the knowledge.
struct LeftReading {
    std::string_view word;  // "cut-in"
    std::string_view unit;  // "psi"
    std::string_view says;
    bool owner = false;
};

/// Warnings first: they hold for every line of the list.
[[nodiscard]] std::vector<std::string> leaving_cautions();

/// The list, in the order in which it is gone through: dead and closed first, then running, then
/// the water, then the people.
[[nodiscard]] std::vector<LeavingCheck> leaving_checks();

/// Cut-in, cut-out, amps and precharge.
[[nodiscard]] std::vector<LeftReading> left_readings();

/// The list where a danger stands: nothing is switched on again, closed or tried.
[[nodiscard]] std::vector<std::string> leaving_a_danger();

}  // namespace knockwell
