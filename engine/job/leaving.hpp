// job/leaving.hpp
//
// What is said of the list that one goes through before leaving, and what of it is still open.
//
// Given    the entries of a job
// Wanted   the lines that nobody has said anything of: while there are any, a job is not closed
// Idea     a line is checked, does not apply here, or is left without, because of something that is
//          kept; a line with readings wants the readings, and they must bear it out
// Care     what was said before the last repair, the last lock-out or a reopening says nothing of
//          how the place is left
// Held by  tests/job/leaving_test.cpp
#pragma once
#include "job/job.hpp"
#include "job/leaving_list.hpp"
#include "knowledge/model.hpp"

#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace knockwell {

/// The note that a job was closed with a danger; `words`: who knows of it, and what is off.
[[nodiscard]] std::string despite_note(const std::string& words);

/// Those words, of every such note that stands.
[[nodiscard]] std::vector<std::string> closed_despite(const Job& job);

/// Whether a note has the form in which the first version of the program kept what was checked or
/// left: it counts in old entries, and nobody may write it by hand.
[[nodiscard]] bool counts_as_checked(std::string_view note);

// ---- entries of the kind `about`

/// How their `what` begins: "left:cut-in" with "38 psi", "leaving:covers" with "checked",
/// "not-here" or "without: no clamp meter".
constexpr std::string_view left_prefix = "left:";
constexpr std::string_view leaving_prefix = "leaving:";
constexpr std::string_view without_prefix = "without: ";

/// Whether the entry is one of these, well or badly written.
[[nodiscard]] bool is_about_leaving(const Event& event);

/// What is wrong with it and what to write (lower case, no full stop, safe on a terminal); empty
/// where nothing is.
[[nodiscard]] std::string against_leaving(const Event& event);

/// The reading in its own unit; what cannot be read is left as it is.
[[nodiscard]] Event spelled_leaving(Event event);

// ---- what a job says

struct LeavingNow {
    std::map<std::string, double> readings;      // by word, in the unit of the table
    std::map<std::string, std::string> said;     // by word: "checked", "not-here"
    std::map<std::string, std::string> without;  // by word: why
    bool operator==(const LeavingNow&) const = default;
};

/// What was said since the place was last changed; the last word on a line holds. Notes in which
/// the first version of the program kept the same ("checked before leaving: covers", "as left:
/// cut-in = 38 psi") are read too.
[[nodiscard]] LeavingNow leaving_of(const Job& job);

struct OpenLine {
    std::string word;
    std::string says;
    std::string against;  // what the readings say to the contrary; may be empty
};

/// What the readings say that no place can show, mended or not (lower case, no full stop); empty
/// where they say nothing of the kind, or where it is said why the line is left without.
[[nodiscard]] std::string misread(const LeavingNow& now);

/// The lines of which nothing is said yet, or that the readings contradict. Where nobody but the
/// owner had a hand in it, only what an owner can see to; `cured`: with what shows that the trouble
/// is gone, and with the rechecks of the repairs; without what is not there by a known setting.
/// Readings that cannot be keep a line open always.
[[nodiscard]] std::vector<OpenLine> still_open(const Knowledge& knowledge, const Job& job,
                                               bool cured);

}  // namespace knockwell
