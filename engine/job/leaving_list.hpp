// job/leaving_list.hpp
//
// What must be true before one leaves a job, and the readings that are kept as they are left.
//
// Source   the lines are common practice, no source
// Held by  tests/job/leaving_test.cpp
#pragma once
#include <string>
#include <string_view>
#include <vector>

namespace knockwell {

/// A reading that is kept as it is left, besides the signs of the knowledge.
struct LeftReading {
    std::string_view word;  // "cut-in"
    std::string_view unit;  // "psi"
    std::string_view says;
    double most = 0;  // from 0 on; beyond it was misread
};

/// One line of the list, with the word that names it.
struct LeavingCheck {
    std::string_view word;  // "covers"
    std::string_view says;
    std::vector<std::string_view> readings{};  // words of those that it wants
    bool owner = false;                        // an owner can see to it without opening anything
    bool cured = false;                        // only where the trouble is said to be gone
    std::string_view not_with{};               // a setting and its state: "tank-kind=plain", with
                                               // which there is no such thing
    bool of_the_pump = false;                  // not after work that came nowhere near it
};

/// Warnings first: they hold for every line of the list.
[[nodiscard]] std::vector<std::string> leaving_cautions();

/// The list, in the order in which it is gone through: dead and closed first, then running, then
/// the water, then the people.
[[nodiscard]] const std::vector<LeavingCheck>& leaving_checks();

[[nodiscard]] const std::vector<LeftReading>& left_readings();

/// Nothing where there is none of that word.
[[nodiscard]] const LeavingCheck* leaving_check(std::string_view word);
[[nodiscard]] const LeftReading* left_reading(std::string_view word);

/// The list where a danger stands: nothing is switched on again, closed or tried.
[[nodiscard]] std::vector<std::string> leaving_a_danger();

}  // namespace knockwell
