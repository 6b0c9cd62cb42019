// cli/show_review.hpp
//
// The shop's questions answered: words first, figures second; as text and as JSON.
#pragma once
#include "cli/page.hpp"
#include "knowledge/model.hpp"
#include "review/areas.hpp"
#include "review/causes.hpp"
#include "review/trends.hpp"

#include <string>

namespace knockwell {

/// What a review is about, and how many of those that it names may be chance.
struct ReviewScene {
    const Knowledge* knowledge = nullptr;
    const ShopBook* book = nullptr;
    double false_share = 0.1;
    std::size_t most = 10;
};

void show_areas(Page& page, const ReviewScene& scene, const AreaReview& review);
void show_causes(Page& page, const ReviewScene& scene, const CauseReview& review);
void show_time(Page& page, const ReviewScene& scene, const TimeReview& review);

[[nodiscard]] std::string areas_json(const ReviewScene& scene, const AreaReview& review);
[[nodiscard]] std::string causes_json(const ReviewScene& scene, const CauseReview& review);
[[nodiscard]] std::string time_json(const ReviewScene& scene, const TimeReview& review);

/// "Heron Bottom" of "heron-bottom".
[[nodiscard]] std::string area_title(const std::string& code);

/// "once in 250" of 0.004; "once in more than a million".
[[nodiscard]] std::string once_in(double p);

/// "4 times", "1.8 times".
[[nodiscard]] std::string times_words(double ratio);

}  // namespace knockwell
