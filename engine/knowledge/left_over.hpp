// knowledge/left_over.hpp
//
// Definitions that are there for others only, and that no other names: left over after a change,
// or not named yet where they were meant to be.
#pragma once
#include "knowledge/model.hpp"

#include <vector>

namespace knockwell {

/// In the order of the text. A table is none: it can be asked for by itself.
struct LeftOver {
    std::vector<SettingId> settings;  // no condition, no table and no reading asks for it
    std::vector<AccessId> accesses;   // nothing is done there, and no way leads through it
    std::vector<CautionId> cautions;  // stands before nothing
    std::vector<PartId> parts;        // no repair takes it
    bool operator==(const LeftOver&) const = default;
};
[[nodiscard]] LeftOver left_over(const Knowledge& knowledge);

}  // namespace knockwell
