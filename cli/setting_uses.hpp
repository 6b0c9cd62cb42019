// cli/setting_uses.hpp
//
// What a setting is asked for: what it raises, what can be only where it is so, and which readings
// its numbers divide.
#pragma once
#include "cli/kb_card.hpp"

namespace knockwell {

/// In the order of the texts; what nothing hangs on has no line.
[[nodiscard]] std::vector<Fact> uses_of(const Knowledge& knowledge, SettingId setting);

}  // namespace knockwell
