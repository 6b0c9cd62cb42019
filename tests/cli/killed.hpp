// cli/killed.hpp, of the tests
//
// A command killed (signal 9) at many moments, which close in on the one at which it is done: so no
// speed of a machine lets every kill come too late.
#pragma once
#include "cli/stage.hpp"

#include <chrono>
#include <cstdint>
#include <random>
#include <string>
#include <vector>

namespace knockwell {

/// Runs the command in a process of its own and kills that after so long; whether it came to an end
/// before.
[[nodiscard]] bool killed_after(Stage& stage, const std::vector<std::string>& command,
                                std::chrono::microseconds after);

/// How long the whole command takes here; it must end well.
[[nodiscard]] std::chrono::microseconds time_of(Stage& stage,
                                                const std::vector<std::string>& command);

class KillMoments {
public:
    /// `takes`: about how long the whole command takes here.
    explicit KillMoments(std::chrono::microseconds takes) : longest_(takes) {}

    [[nodiscard]] std::chrono::microseconds next();
    /// Whether the last kill came before anything was done: the next may wait longer, else less.
    void came_in_time(bool yes);

    /// Kills that came before anything was done.
    [[nodiscard]] std::uint64_t in_time() const { return in_time_; }
    /// At least `least` rounds and five are over, and one kill came in time; or ten times as many,
    /// and none ever did.
    [[nodiscard]] bool enough(std::uint64_t least) const;

private:
    std::mt19937 dice_{7};
    std::chrono::microseconds longest_;
    std::uint64_t rounds_ = 0;
    std::uint64_t in_time_ = 0;
};

}  // namespace knockwell
