// job/course.hpp
//
// Events -> what is known and where one stands, at any moment of a job.
#pragma once
#include "advice/situation.hpp"
#include "beliefs/evidence.hpp"
#include "job/job.hpp"

#include <string>
#include <vector>

namespace knockwell {

struct Course {
    Evidence evidence;
    Situation situation;
    std::vector<std::string> lost;  // events that the present knowledge does not understand, in
                                    // words; they are kept and not used
};

/// What the truck lacks is forgotten at `left`. Power off, pressure zero, what lifted a stop, and
/// open accesses are forgotten at `left`, `resumed`, and when another person takes over (every
/// `person` event). What can only have been done with power on, or with water up, ends power off or
/// pressure zero too; nothing but a `state` event begins them. Power on closes in mind every access
/// that is opened only dead, pressure up those that are opened only without pressure; both must be
/// stated again. A test or repair reaches its accesses where opening them needs neither.
/// Identifiers must be exact: an event of a ledger is never taken for the nearest thing of other
/// knowledge. A repair that the knowledge does not have still ends its stage: what was found before
/// it is then left out, but for the dangers. Care: nothing is made safe by a correction. What an
/// event made be forgotten stays forgotten when the event is taken back or corrected, and power
/// off, pressure zero, a drained tank, an open access or a lifted stop that only the correction
/// says is not taken from it: whoever is there states it anew.
[[nodiscard]] Course course_of(const Knowledge& knowledge, const Job& job);

/// What is wrong with the code of an area or an installation ("is empty", safe on a terminal);
/// empty where nothing is.
[[nodiscard]] std::string against_code(const std::string& code);

/// The same as a sentence with the code's name: "the area is empty".
[[nodiscard]] std::string against_code(const std::string& name, const std::string& code);

/// Whether the event can be added: it names what exists, its value can be read, its time is not
/// before the opening, the job is open. Empty = yes; else what is wrong and what to write (lower
/// case, no full stop, safe on a terminal).
[[nodiscard]] std::string refusal(const Knowledge& knowledge, const Job& job, const Event& event);

/// The same for a correction of a closed job: neither its time nor whether it is open is asked.
[[nodiscard]] std::string refusal_of_correction(const Knowledge& knowledge, const Job& job,
                                                const Event& event);

/// The event as it should be kept: names of values in full, "yes" where nothing was typed, plain
/// numbers with their unit, tests by their identifier; so that later knowledge cannot read it
/// otherwise. What cannot be read is left as it is.
[[nodiscard]] Event spelled_out(const Knowledge& knowledge, Event event);

}  // namespace knockwell
