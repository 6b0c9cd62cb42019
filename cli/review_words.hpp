// cli/review_words.hpp
//
// The sentences on recurrence that the terminal and the page share.
#pragma once
#include "cli/show_review.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace knockwell {

/// Those that are named at the false discovery rate of the scene.
template <class Finding>
[[nodiscard]] std::vector<Finding> named(const ReviewScene& scene,
                                         const std::vector<Finding>& all) {
    std::vector<Finding> found;
    for (const Finding& one : all)
        if (one.adjusted <= scene.false_share)
            found.push_back(one);
    return found;
}

/// Two figures that mean something: "2.1", "13", "0.42".
[[nodiscard]] std::string figure(double value);
[[nodiscard]] std::string houses_words(std::uint64_t count);
/// "73 minutes each in the 40 jobs that say"; some minutes must be known.
[[nodiscard]] std::string each_minutes_words(const CauseLine& line);
[[nodiscard]] std::string cause_words(const ReviewScene& scene, std::uint32_t cause);
/// "2026-03" of months since the year 0.
[[nodiscard]] std::string month_words(int month);
[[nodiscard]] std::string trend_words(const Trend& trend);
/// What to ask and to carry where the cause recurs ("there"), or when ("now"), in sentences; may
/// be empty.
[[nodiscard]] std::vector<std::string>
what_follows(const Knowledge& knowledge, const std::string& cause, const std::string& where);
[[nodiscard]] std::string promise(const ReviewScene& scene);

/// A sentence on each cause and road whose houses have nobody to be compared with, the most of them
/// first; what would help is written down.
[[nodiscard]] std::vector<std::string> alone_words(const ReviewScene& scene,
                                                   const AreaReview& review);

/// "Heron Bottom" of "heron-bottom".
[[nodiscard]] std::string area_title(const std::string& code);

/// "once in 250" of 0.004; "once in more than a million".
[[nodiscard]] std::string once_in(double p);

/// percent, but never "0 %": chance is never out of the question.
[[nodiscard]] std::string chance_words(double p);

/// Fewer houses or jobs than this are a small number.
constexpr std::uint64_t small_number = 5;

/// Where no job is closed of those that count.
[[nodiscard]] std::string no_closed_job(const ReviewScene& scene);

/// "4 times", "1.8 times".
[[nodiscard]] std::string times_words(double ratio);

/// What one pair of road and cause comes to: the finding first, then its figures and what follows.
[[nodiscard]] std::vector<std::string>
cell_sentences(const ReviewScene& scene, const AreaReview& review, const AreaCell& cell);
[[nodiscard]] std::vector<std::string> trend_sentences(const ReviewScene& scene,
                                                       const Trend& trend);
/// Which jobs were looked at, when, and with what knowledge: nobody is to hold two reviews
/// against each other without knowing these.
[[nodiscard]] std::string scope_words(const ReviewScene& scene);
/// How the jobs are listed that name a cause; "" for any road.
[[nodiscard]] std::string its_jobs(const ReviewScene& scene, const std::string& cause,
                                   const std::string& area);
/// The same of the first line of a review of causes, as an example for all.
[[nodiscard]] std::string jobs_behind_a_line(const ReviewScene& scene, const CauseReview& review);
/// The same of a review of repairs, and of the call-backs.
[[nodiscard]] std::string jobs_behind_a_line(const ReviewScene& scene, const RepairLine& first);
/// How much was looked at.
[[nodiscard]] std::vector<std::string> opening_words(const AreaReview& review);
[[nodiscard]] std::string opening_words(const ReviewScene& scene, const CauseReview& review);
[[nodiscard]] std::string opening_words(const TimeReview& review);

}  // namespace knockwell
