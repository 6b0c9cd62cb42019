// cli/lettered.hpp
//
// What a test shows that looks at several things, told by letters: "a no, b stays-off".
#pragma once
#include "advice/advice.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace knockwell {

class Lettered {
public:
    /// `id`: of the step.
    Lettered(const Knowledge& knowledge, StepKind kind, std::string_view id);

    /// What stands for what: "a: Breaker warm to the touch; b: Does the pump run, or (no) not?"; of
    /// one thing "Yes is: Breaker warm to the touch". Empty where the step's title says enough.
    [[nodiscard]] std::string legend() const;

    /// `found`: of each thing. "a no, b stays-off"; without letters as it is.
    [[nodiscard]] std::string told(const std::vector<std::string>& found) const;

    /// For programs: "gauge-watch: no, pump-at-cut-in: stays-off".
    [[nodiscard]] std::string spelled(const std::vector<std::string>& found) const;

private:
    /// Whether it looks at more than one thing; else there are no letters.
    [[nodiscard]] bool any() const { return ids_.size() > 1; }

    std::vector<std::string> ids_, meanings_;
};

}  // namespace knockwell
