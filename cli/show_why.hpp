// cli/show_why.hpp
//
// Why a step: what each outcome would change, in words and figures.
#pragma once
#include "advice/candidate.hpp"
#include "beliefs/beliefs.hpp"
#include "cli/effects.hpp"
#include "cli/page.hpp"

#include <vector>

namespace knockwell {

/// A test, a question or a setting.
void show_effects(Page& page, const Knowledge& knowledge, const Candidate& step,
                  const std::vector<Effect>& effects);

/// A repair or a refer: the causes that it takes away, with their chances.
void show_what_it_mends(Page& page, const Knowledge& knowledge, const Posterior& now,
                        const Candidate& step);

}  // namespace knockwell
