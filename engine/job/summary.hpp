// job/summary.hpp
//
// A job in short: what a shop asks of many jobs at once. It needs no knowledge, so that jobs of any
// version of it can be summed up together.
//
// Held by  tests/job/summary_test.cpp
#pragma once
#include "job/job.hpp"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace knockwell {

struct ConfirmedCause {
    std::string cause;
    std::string how;  // seen | fixed-it | guessed
    bool operator==(const ConfirmedCause&) const = default;
};

/// What was found of one sign before the first repair and after the last one.
struct FoundAndLeft {
    std::optional<std::string> found;  // "12 psi"; nothing where nobody looked
    std::optional<std::string> left;  // nothing where no repair was made, or nobody looked after it
    bool operator==(const FoundAndLeft&) const = default;
};

/// A ledger keeps it beside the job (ledger/short_form.hpp): what is changed here, or in what comes
/// into it, wants another `summary_form` there.
struct Summary {
    /// A step whose minutes were said.
    struct Making {
        bool repair = false;
        std::string step;  // the repair; the test that was made, or by which something was found
        double minutes = 0;
        bool operator==(const Making&) const = default;
    };

    std::string id;
    std::string area;
    std::string installation;
    std::vector<std::string> knowledge;       // versions that it was worked with, in that order
    std::optional<std::string> call_back_of;  // the earlier job
    std::int64_t opened = 0;
    std::optional<std::int64_t> closed;  // moment of the last closing that stands
    std::string outcome;                 // of that closing; empty while the job is open
    std::string complaint;               // the sign reported first; may be empty
    std::map<std::string, std::string> settings;
    std::vector<ConfirmedCause> causes;            // each once, as it was confirmed last
    std::map<std::string, FoundAndLeft> readings;  // by sign
    std::vector<std::string> repairs;              // in the order in which they were made
    std::vector<std::string> tests;                // each once, in the order of the first making
    std::vector<std::string> in_vain;  // of these, those that nothing was found by: not sure, or
                                       // nothing written down
    std::vector<Making> makings;       // steps with minutes, in the order of the entries
    double minutes = 0;                // all that were said
    std::vector<std::string> clashes;  // what contradicts itself, as merged trucks can bring it
                                       // about, in words
    bool operator==(const Summary&) const = default;
};

[[nodiscard]] Summary summary_of(const Job& job);

/// All that contradicts itself: the clashes of the summary, and an area or an installation that two
/// trucks corrected to different codes. (Whoever corrects a code takes an earlier correction back.)
[[nodiscard]] std::vector<std::string> clashes_of(const Job& job);

}  // namespace knockwell
