// job/vocabulary.hpp
//
// The words of an event that are the program's own, whatever the knowledge: ways to close, persons,
// states, what a job itself can be told of.
//
// Held by  tests/job/refusal_test.cpp, tests/ledger/exchange_test.cpp
#pragma once
#include "job/job.hpp"
#include "knowledge/model.hpp"

#include <array>
#include <string>
#include <string_view>
#include <vector>

namespace knockwell {

/// What a person on a job can be, and be licensed for.
inline constexpr std::array all_skills = {Skill::owner, Skill::helper, Skill::qualified};
inline constexpr std::array all_licences = {Licence::electrician, Licence::pump_installer,
                                            Licence::well_contractor, Licence::laboratory};

/// How one knows of a cause: "seen", "fixed-it", "guessed".
[[nodiscard]] const std::vector<std::string>& ways_to_know();

/// How a call ends: "cured", "not-cured", "handed-over".
[[nodiscard]] const std::vector<std::string>& ways_to_close();

/// "'x' is none of these: a, b or c".
[[nodiscard]] std::string none_of_these(std::string_view typed,
                                        const std::vector<std::string>& allowed);

/// What is wrong with such a word and what to write (lower case, no full stop, safe on a terminal);
/// empty where no command could have written it otherwise. Codes of areas and installations are
/// not looked at, nor is what a correction says: that depends on what it corrects.
[[nodiscard]] std::string against_words(const Event& event);

/// The same of all that a job says, each with its entry ("entry 2: ..."); what corrects an entry is
/// looked at as that entry would be.
[[nodiscard]] std::string against_words(const Job& job);

}  // namespace knockwell
