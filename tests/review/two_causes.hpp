// review/two_causes.hpp, of the tests
//
// Knowledge small enough to draw jobs from by hand: independent causes, a complaint, two looks.
#pragma once
#include "job/story.hpp"
#include "support/knowledge_of.hpp"

namespace knockwell {

/// present: leak 0.1, valve 0.2. no-water: only by them, 0.8 and 0.5. dull: leak 0.9, else 0.05.
/// stuck: valve 0.7. Looks miss nothing; knock-on-tank misses 1 in 10.
inline const Knowledge& two_causes() {
    static const Knowledge knowledge = knowledge_of(R"(
[reports]
told   = { misses = "never", false_alarm = "never" }
looked = { misses = "never", false_alarm = "never" }
[cause.leak]
title   = "Leak"
present = 0.1
shows   = { no-water = 0.8, dull = 0.9 }
[cause.valve]
title   = "Valve shut"
present = 0.2
shows   = { no-water = 0.5, stuck = 0.7 }
[symptom.no-water]
title = "No water"
[observation.dull]
title       = "Tank sounds dull"
seen_anyway = 0.05
[observation.stuck]
title       = "Valve is stuck"
[test.knock-on-tank]
title   = "Knock on the tank"
how     = "Knock."
reveals = ["dull"]
minutes = 2
misses  = 0.1
false_alarm = "never"
[test.turn-valve]
title   = "Turn the valve"
how     = "Turn it."
reveals = ["stuck"]
minutes = 4
misses  = "never"
false_alarm = "never"
[repair.mend-leak]
title   = "Mend the leak"
how     = "Mend it."
fixes   = { leak = "9 in 10" }
minutes = 30
[repair.open-valve]
title   = "Open the valve"
how     = "Open it."
fixes   = { valve = "9 in 10" }
minutes = 10
)");
    return knowledge;
}

}  // namespace knockwell
