// learning/coins.hpp
//
// The numbers that jobs can teach. Each is a coin that is tossed in a job, or shares of one that
// has several sides: how a cause shows in a sign, brings another on, hides a sign, comes and goes;
// what a sign shows without any; how often a cause is there by itself; how often a look misses what
// is there or sees what is not; how often a repair cures, or breaks something.
//
// Care     shares of settings and multipliers stay as they are written: what is known of a setting
//          is the ground on which a job stands, not evidence; a multiplier carries no count. So do
//          "always", "never" and exact numbers. Misses and false alarms of customers (`told`,
//          `phone_report`) stay too: who says nothing of a sign was not asked, so that what is said
//          is nearly always yes, and would seem never to be wrong
// Held by  tests/learning/learn_test.cpp, tests/learning/channels_test.cpp
#pragma once
#include "knowledge/model.hpp"
#include "network/network.hpp"

#include <cstdint>
#include <limits>
#include <string>
#include <vector>

namespace knockwell {

/// One number where it stands in the text.
struct CoinSide {
    std::string name;  // "cause.failed-bladder.shows.air-valve.no-air"
    StrengthIndex strength = 0;
    double weight = 0;  // cases that its writer gives it (Dirichlet)
    Span span;          // of the value, with its quotes
    bool operator==(const CoinSide&) const = default;
};

struct Coin {
    /// channel: misses or false alarms of looks, tossed once for each trigger or look that they
    /// could spoil; repair: what it does to a cause that is there, or may bring.
    enum class Kind { rate, brings, shows, hides, acts, leak, channel, repair };
    static constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();
    Kind kind = Kind::shows;
    std::uint32_t cause = none;  // that must be there for a toss; of a rate: itself
    std::uint32_t other = none;  // `brings`: the cause that is brought on
    std::uint32_t sign = none;
    std::vector<CoinSide> sides;  // at least one
    double rest = 0;              // weight of no side
    /// Of `channel` and `repair`: the number that is what is left of 1.
    StrengthIndex left = none;
    /// Of a rate that is known to a factor: standard deviation of its logarithmic odds; else 0.
    double spread = 0;

    [[nodiscard]] double cases() const;
    bool operator==(const Coin&) const = default;
};

/// In the order of the network. `network` = compile(`knowledge`).
[[nodiscard]] std::vector<Coin> coins_of(const Knowledge& knowledge, const Network& network);

}  // namespace knockwell
