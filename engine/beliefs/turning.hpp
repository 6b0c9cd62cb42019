// beliefs/turning.hpp
//
// A question as changes to the numbers of the sum that the evidence left. Inside this floor only.
//
// Care     what acts only now and then is mixed once for all signs that it would show
// Held by  tests/laws/ (predict_all against predict)
#pragma once
#include "beliefs/asking.hpp"
#include "beliefs/build.hpp"
#include "beliefs/questions.hpp"

#include <cstdint>
#include <span>
#include <vector>

namespace knockwell {

class Turning {
public:
    /// All must outlive it; the sum was built with `acts_knobs`.
    Turning(const Network& network, std::span<const double> strengths, const Built& built)
        : network_(network), strengths_(strengths), built_(built) {}

    /// Good until the next call.
    [[nodiscard]] std::span<const Knob> knobs(const Questions& of, const Questions::Ask& ask);

private:
    void turn(std::uint32_t cause, double always, double acting);

    const Network& network_;
    std::span<const double> strengths_;
    const Built& built_;
    std::vector<Knob> knobs_;
    std::vector<Questions::OfCause> causes_;  // room to sort them
};

/// Findings less likely than this beside the rest leave too few digits of what is asked without
/// them.
inline constexpr double least_found = 1e-3;

/// The evidence but for what was found of these signs.
[[nodiscard]] Evidence without(const Evidence& evidence, std::span<const SignId> signs);

}  // namespace knockwell
