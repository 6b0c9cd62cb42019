// knowledge/check.hpp
//
// What is wrong between definitions that are each well written: cycles, edges that can cross, and
// steps that could hurt somebody. What hangs on a broken definition is not looked at.
#pragma once
#include "knowledge/reading.hpp"

namespace knockwell {

/// Adds the problems cycle, edges-cross, too-many-cases, too-many-outcomes, no-caution,
/// owner-limits, live-work, hazard-missing.
void check(ReadRun& run);

/// Causes and readings that hang on more cases of their settings than can be gone through.
void check_cases(ReadRun& run);

/// brought_on_by, given and conditions among causes and tables; `via` among accesses. Told link by
/// link.
void check_cycles(ReadRun& run);

/// Levels of a reading that stand still or cross under some choice of the settings.
void check_edges(ReadRun& run);

/// Hazards without caution or not written at all, work an owner must not do, live work, and tests
/// that wait for one that waits.
void check_steps(ReadRun& run);

}  // namespace knockwell
