// cli/numbers_words.hpp
//
// The sentences on the numbers against the jobs, which the terminal and the page share.
#pragma once
#include "cli/review_words.hpp"

#include <string>
#include <vector>

namespace knockwell {

/// What there is to say on the numbers, in this order.
enum class NumbersPart { guesses, calibration, minutes, tests, lacking, strengths, repairs };

/// Those of them on which there is something to say.
[[nodiscard]] std::vector<NumbersPart> parts_of(const NumbersReview& review);

/// "Was the first guess right?"
[[nodiscard]] std::string heading_of(NumbersPart part);

/// What follows from a part, in a sentence; empty where nothing does.
[[nodiscard]] std::string what_follows(const ReviewScene& scene, const NumbersReview& review,
                                       NumbersPart part);

/// How many jobs were told again, what was left out, and whether the counts were learned from jobs.
[[nodiscard]] std::vector<std::string> told_again_words(const NumbersReview& review);

/// "61 of 100 (61 %)"; "none" of 0.
[[nodiscard]] std::string of_words(std::uint64_t count, std::uint64_t all);

/// Whether more or less came to pass than was said, then Brier and logarithmic score with what they
/// are made of.
[[nodiscard]] std::vector<std::string> score_words(const NumbersReview& review);

/// The sign's title; "no complaint written down".
[[nodiscard]] std::string complaint_words(const Knowledge& knowledge, const std::string& sign);

[[nodiscard]] std::string step_title(const Knowledge& knowledge, bool repair,
                                     const std::string& id);

/// "written 9 in 10; ..." with what was found instead.
[[nodiscard]] std::string strength_words(const Knowledge& knowledge, const StrengthCell& cell);

/// How often a sign was foretold: "12", "12 to 14".
[[nodiscard]] std::string foretold_words(const StrengthCell& cell);

/// What came with a cause that the knowledge lacks: the findings seen most often, at most four.
[[nodiscard]] std::string came_with_words(const LackingLine& line);

[[nodiscard]] std::string lacking_words(const LackingLine& line);

/// Of all steps together.
[[nodiscard]] std::string all_minutes_words(const NumbersReview& review);

[[nodiscard]] std::string minutes_against_words(const MinutesLine& line);

[[nodiscard]] std::string test_words(const TestLine& line);

[[nodiscard]] std::string repair_words(const RepairLine& line);

}  // namespace knockwell
