// advice/practice.hpp
//
// Worked cases kept with the knowledge: these findings must give that cause.
#pragma once
#include "base/problem.hpp"
#include "base/source.hpp"
#include "beliefs/beliefs.hpp"

#include <optional>
#include <string>
#include <vector>

namespace knockwell {

struct PracticeResult {
    std::string id;
    std::string title;
    bool passed = false;
    std::vector<std::string>
        failures;  // in words: "'worn-pump' ranks first (41 %), 'failed-bladder' second (38 %)"
    std::optional<std::string> accepted;  // of one that failed: why it may, by its own `accept`
    Span span;                            // of the case, or of the expectation that failed first
    Span where;                           // of the case
    // Places are counted from 1; 0 where no cause is asked for, or nothing could be worked out.
    std::size_t wanted = 0;     // how many causes must come first: 1, or those of `both`
    std::size_t place = 0;      // of the cause, or of the last of `both`
    std::size_t complaint = 0;  // of the cause, or of the first of `both`, from the phone alone:
                                // `says`, and of `set` what the owner can answer there
    bool complains = false;     // a cause is asked for and something is said
};

/// Whether each case is also asked with nothing but what the customer says on the phone.
enum class Complaint { not_asked, too };

/// Every practice case of the knowledge, in the order of the text.
[[nodiscard]] std::vector<PracticeResult> run_practice(const Model& model,
                                                       Complaint complaint = Complaint::not_asked);

/// How often the true cause came out, for the cases of one folder that ask for one.
struct PracticeRates {
    std::string folder;
    std::size_t cases = 0;
    std::size_t first = 0;       // first, or all of `both` the first ones
    std::size_t three = 0;       // among the first three, all of `both`
    std::size_t complaints = 0;  // cases in which something is said
    std::size_t five = 0;        // from that alone among the first five; of `both` one of them
};

/// One for each folder that holds cases, in the order of the text.
[[nodiscard]] std::vector<PracticeRates> practice_rates(const std::vector<PracticeResult>& results,
                                                        const std::vector<Source>& sources);

/// The same as warnings `practice-fails` for kb check; an `accept` of the case silences it.
[[nodiscard]] std::vector<Problem> practice_problems(const Model& model);

}  // namespace knockwell
