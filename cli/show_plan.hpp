// cli/show_plan.hpp
//
// A decision card: numbered steps, and under each outcome the number to go on with. As text for a
// terminal, as a page of HTML that needs nothing but itself, and as JSON.
#pragma once
#include "advice/policy.hpp"
#include "cli/page.hpp"
#include "job/course.hpp"

#include <string>
#include <vector>

namespace knockwell {

/// What stands over the card.
struct PlanHead {
    std::string job;                 // empty where none is kept
    std::string day;                 // "2026-11-25"
    std::string version;             // of the knowledge
    std::string who;                 // "a qualified person, on site"
    std::vector<std::string> known;  // "Pump: submersible", "No water at any faucet: yes"
    Rates rates;
    std::vector<std::string> warnings;     // dangers of other jobs at this house
    std::vector<std::string> most_likely;  // "Breaker has tripped or the fuse has blown 14 %"
};

void show_plan(Page& page, const Knowledge& knowledge, const PlanHead& head, const Policy& plan);

/// Everything that comes from a file or an argument is escaped; there is no script, no address and
/// no picture in it.
[[nodiscard]] std::string plan_html(const Knowledge& knowledge, const PlanHead& head,
                                    const Policy& plan);

[[nodiscard]] std::string plan_json(const Knowledge& knowledge, const PlanHead& head,
                                    const Policy& plan);

}  // namespace knockwell
