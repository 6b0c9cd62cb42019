// cli/show_text.hpp
//
// Answers as plain text. What each line means stands in docs/answers.md.
#pragma once
#include "cli/answer.hpp"
#include "cli/page.hpp"
#include "cli/reasons.hpp"

#include <string>
#include <vector>

namespace knockwell {

/// Dangerous states, each with what to do now.
void show_stops(Page& page, const Knowledge& knowledge, const std::vector<StopNow>& stops);

/// Stops first, then causes, then the next step with its cautions before it. `most` causes are
/// shown.
void show_answer(Page& page, const Model& model, const AnswerNow& answer, std::size_t most);

/// What speaks for and against causes; `answer` must have beliefs.
void show_reasons(Page& page, const Model& model, const AnswerNow& answer,
                  const std::vector<Reasons>& reasons);

/// A test that shows that a repair holds, with its cautions before what to do; of one that is not
/// for who is there, why, and nothing of how it is done.
void show_recheck(Page& page, const Knowledge& knowledge, const Recheck& recheck);

}  // namespace knockwell
