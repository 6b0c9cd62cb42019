// cli/html_review.hpp
//
// The shop's questions answered on one page for a browser: words first, then the picture, then
// every figure of it in a table.
//
// Held by  tests/cli/html_test.cpp
#pragma once
#include "cli/html.hpp"
#include "cli/show_review.hpp"

namespace knockwell {

[[nodiscard]] HtmlPage review_page(const ReviewScene& scene, const ReviewAnswers& answers);

/// The part on the numbers against the jobs.
void put_numbers(HtmlPage& page, const ReviewScene& scene, const NumbersReview& review);

}  // namespace knockwell
