// cli/lettered.hpp
//
// What a test shows that looks at several things, told by letters: "a no, b stays-off".
#pragma once
#include "advice/advice.hpp"

#include <string>
#include <vector>

namespace knockwell {

class Lettered {
public:
    Lettered(const Knowledge& knowledge, const Suggestion& step);

    /// Whether it looks at more than one thing; else there are no letters.
    [[nodiscard]] bool any() const { return !titles_.empty(); }

    /// "a: What the gauge does; b: What the pump does".
    [[nodiscard]] std::string legend() const;

    /// Of "What the gauge does: no; What the pump does: stays-off", or of "gauge-watch: no,
    /// pump-at-cut-in: stays-off"; as it is where it is made otherwise.
    [[nodiscard]] std::string told(const std::string& found) const;

private:
    std::vector<std::string> ids_, titles_;
};

}  // namespace knockwell
