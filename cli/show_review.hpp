// cli/show_review.hpp
//
// The shop's questions answered: words first, figures second; as text and as JSON.
#pragma once
#include "cli/page.hpp"
#include "cli/places.hpp"
#include "knowledge/model.hpp"
#include "review/areas.hpp"
#include "review/causes.hpp"
#include "review/numbers.hpp"
#include "review/trends.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace knockwell {

/// Which jobs a review is of, and when and with what it was drawn up.
struct ReviewScope {
    std::string version = {};   // of the knowledge
    std::int64_t drawn_up = 0;  // moments in seconds since 1970
    std::uint64_t jobs = 0;     // closed ones
    std::int64_t first = 0;     // opened; 0 where there are none
    std::int64_t last = 0;
};

/// What a review is about, and how many of those that it names may be chance.
struct ReviewScene {
    const Knowledge* knowledge = nullptr;
    const ShopBook* book = nullptr;
    double false_share = 0.1;
    std::size_t most = 10;
    const Places* places = nullptr;  // where the areas lie; nothing: no map
    std::string since = {};          // the day from which on jobs count; empty: all do
    ReviewScope scope = {};
};

/// The questions that were asked, each with its answer.
struct ReviewAnswers {
    std::optional<AreaReview> areas;
    std::optional<CauseReview> causes;
    std::optional<TimeReview> time;
    std::optional<NumbersReview> numbers;
};

void show_review(Page& page, const ReviewScene& scene, const ReviewAnswers& answers);

/// The answer, or an object of them by their names where `all` was asked for.
[[nodiscard]] std::string review_json(const ReviewScene& scene, const ReviewAnswers& answers,
                                      bool all);

void show_numbers(Page& page, const ReviewScene& scene, const NumbersReview& review);

}  // namespace knockwell
