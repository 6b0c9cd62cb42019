// cli/numbers_json.hpp
//
// The numbers against the jobs, every figure of them as JSON.
#pragma once
#include "cli/json_values.hpp"
#include "cli/show_review.hpp"

namespace knockwell {

[[nodiscard]] Json numbers_json(const ReviewScene& scene, const NumbersReview& review);

}  // namespace knockwell
