// job/apply.hpp
//
// One event added to a course. What can be applied can be added to a job, and the reverse.
#pragma once
#include "job/course.hpp"

#include <string>

namespace knockwell {

/// Takes the event into the course; otherwise leaves the course as it was and says what is wrong
/// and what to write (lower case, no full stop, safe on a terminal). Undos, being about other
/// events, only have their number read.
[[nodiscard]] std::string apply(const Knowledge& knowledge, const Event& event, Course& course);

/// Power off, pressure zero, a drained tank, open accesses and what lifted a stop hold no more.
void forget_what_was_made_safe(Situation& situation);

}  // namespace knockwell
