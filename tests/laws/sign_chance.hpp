// tests/laws/sign_chance.hpp
//
// P(all findings of one sign | world), by trying every way in which its triggers fire, its masks
// hide it and its findings notice.
#pragma once
#include "laws/worlds.hpp"

#include <cstdint>
#include <unordered_map>
#include <utility>
#include <vector>

namespace knockwell::laws {

/// Misses and false alarms of a finding: the sign's, the test's or the manifest's.
[[nodiscard]] Channel channel_for(const Knowledge& knowledge, const Finding& finding);

/// What a finding says, as a weight for each of `values`.
[[nodiscard]] std::vector<double> said(const Finding& finding, std::size_t values);

class SignChance {
public:
    /// All three must outlive it.
    SignChance(const Knowledge& knowledge, const Evidence& evidence,
               const std::vector<bool>& present, std::size_t sign);

    /// One more than the last cause that shows or hides the sign.
    [[nodiscard]] std::size_t causes_end() const;

    /// The chance, and that with every listed cause silent where something was found present.
    /// Only causes before causes_end() are looked at.
    std::pair<Real, Real> operator()(const World& world);

private:
    using Stages = std::uint32_t;  // bit t: in stage t

    struct Trigger {
        std::vector<Real> high, low;  // chance of each level or kind
        Stages active = 0;
        bool leak = false;
        std::size_t cause = 0;
        [[nodiscard]] static Real none_of(const std::vector<Real>& shares);
    };
    struct Mask {
        Real chance = 0;
        Stages active = 0;
        std::size_t cause = 0;
    };

    [[nodiscard]] Stages active(std::size_t cause, const World& world) const;
    [[nodiscard]] Real tried(const World& world, bool quiet) const;
    [[nodiscard]] Real kinds(Stages hidden, bool quiet) const;
    [[nodiscard]] Real kind_report(const Finding& finding, const std::vector<std::size_t>& kind,
                                   bool hidden, bool quiet) const;
    [[nodiscard]] Real levels(const World& world, Stages hidden, bool quiet) const;
    [[nodiscard]] Real level_report(const World& world, const Finding& finding,
                                    std::size_t value) const;
    [[nodiscard]] std::pair<Real, Real> stretch(const World& world, std::size_t value) const;
    [[nodiscard]] Real reading_report(const World& world, const Finding& finding,
                                      std::size_t value) const;

    const Knowledge& k_;
    const Evidence& e_;
    const Sign& sign_;
    Stages stages_;
    std::vector<const Finding*> mine_;
    bool present_ = false;  // something was found present
    std::vector<Trigger> triggers_;
    std::vector<Mask> masks_;
    std::unordered_map<std::uint64_t, std::pair<Real, Real>> remembered_;
};

}  // namespace knockwell::laws
