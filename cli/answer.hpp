// cli/answer.hpp
//
// Everything that is said about a job at one moment, worked out once and shown as text or as JSON.
#pragma once
#include "advice/advice.hpp"
#include "advice/rules.hpp"
#include "beliefs/beliefs.hpp"
#include "cli/at_once.hpp"
#include "job/course.hpp"

#include <optional>
#include <span>
#include <string>
#include <variant>
#include <vector>

namespace knockwell {

/// Beliefs with what goes with them.
struct Known {
    Posterior now;
    std::vector<bool> spoken_of;   // [CauseId] by what was found, through whatever links the causes
    std::vector<CauseId> by_rank;  // every cause, most likely first, ties in the order of the text
    Ranges ranges;
    CauseSets sets;  // of a page: all of several causes that are worth a line, and others
    std::optional<double> unlisted;  // nothing where it cannot be worked out
    double misfit = 0;
    std::vector<double> misfit_of_each;  // [finding] where every number is wanted, or they clash
    Advice advice;
    AtOnce at_once;  // of the first step, where every number is wanted
};

struct AnswerNow {
    std::string job;  // identifier; empty where none is kept
    Course course;
    std::vector<StopNow> stops;
    Rates rates;
    std::variant<Known, Impossible, TooWide> says;
    std::optional<Enclosure> bounds;  // where it is too wide: what can be said all the same
    [[nodiscard]] bool clashes() const { return !std::holds_alternative<Known>(says); }
};

/// Why there are no beliefs: `beliefs` is not a posterior. Where they are too wide, the bounds are
/// looked for, for about two seconds.
void put_no_beliefs(AnswerNow& answer, const Model& model, const Answer& beliefs);

/// Several causes at once are told on a page where they are so probable (judgement).
inline constexpr double several_worth_a_line = 0.05;

struct AnswerWanted {
    std::size_t most = 3;  // steps
    Rates rates{};
    bool every_number = true;  // false: only what a page tells
};

[[nodiscard]] AnswerNow answer_now(const Model& model, Course course, const AnswerWanted& wanted);

/// A test that shows that a repair holds.
struct Recheck {
    TestId test;
    Verdict held_back{};  // why it is not for who is there
};

/// Each test with what the hard rules say against it where the job stands now.
/// `setting`: the chances of the settings; where nobody has them (empty) none waits for a look.
[[nodiscard]] std::vector<Recheck> rechecks_now(const Knowledge& knowledge, const Course& course,
                                                std::span<const std::vector<double>> setting,
                                                const std::vector<StopNow>& stops,
                                                const std::vector<TestId>& tests);

}  // namespace knockwell
