// tests/laws/random_case.hpp
//
// Small random knowledge with random evidence, from a seed alone: every kind of gate and of
// finding, some strengths certain.
#pragma once
#include "beliefs/evidence.hpp"
#include "knowledge/model.hpp"

#include <cstdint>
#include <string>

namespace knockwell::laws {

/// Up to 9 causes every feature is met at once. Beyond that the number of worlds is kept below some
/// ten millions: one setting, at most two causes that a repair touches and two that come and go.
struct Size {
    std::size_t causes = 6;
    std::size_t signs = 4;
    std::size_t findings = 4;
    [[nodiscard]] bool large() const { return causes > 9; }
};

struct Case {
    Knowledge knowledge;
    Evidence evidence;
};

[[nodiscard]] Case random_case(std::uint64_t seed, const Size& size);

/// Enough to see what the case is.
[[nodiscard]] std::string to_text(const Case& it);

}  // namespace knockwell::laws
