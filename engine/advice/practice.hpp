// advice/practice.hpp
//
// Worked cases kept with the knowledge: these findings must give that cause.
#pragma once
#include "base/problem.hpp"
#include "beliefs/beliefs.hpp"

#include <string>
#include <vector>

namespace knockwell {

struct PracticeResult {
    std::string id;
    std::string title;
    bool passed = false;
    std::vector<std::string>
        failures;  // in words: "'worn-pump' ranks first (41 %), 'failed-bladder' second (38 %)"
    Span span;     // of the case, or of the expectation that failed first
};

/// Every practice case of the knowledge, in the order of the text.
[[nodiscard]] std::vector<PracticeResult> run_practice(const Model& model);

/// The same as warnings `practice-fails` for kb check; an `accept` of the case silences it.
[[nodiscard]] std::vector<Problem> practice_problems(const Model& model);

}  // namespace knockwell
