// cli/show_paper.hpp
//
// What stays behind when a job is left, as text and as JSON.
#pragma once
#include "cli/page.hpp"
#include "cli/paper.hpp"

#include <nlohmann/json_fwd.hpp>

namespace knockwell {

void show_paper(Page& page, const LeavingPaper& paper);

/// Readings as left, with their units; what was said of the list; what is left without, and why.
[[nodiscard]] nlohmann::ordered_json left_json(const LeavingNow& left);

[[nodiscard]] nlohmann::ordered_json paper_json(const LeavingPaper& paper);

}  // namespace knockwell
