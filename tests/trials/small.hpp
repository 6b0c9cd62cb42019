// trials/small.hpp
//
// Problems small enough to be played out in full: some causes of one complaint, noisy checks,
// repairs, two places that cost minutes to reach. What a follower takes on the average, and what
// the best of all plans takes, both worked out and not sampled.
//
// Given    causes present by themselves, each bringing the complaint with a chance; checks that see
//          some of the causes, miss each with a chance and raise a false alarm with another;
//          repairs that mend some of them with a chance; the complaint seen without error
// Wanted   expected minutes until the complaint is gone, or the last resort
// Idea     belief = a share for each way in which every cause can be (absent, there, there and
//          bringing the complaint), times the leak; a plan is walked through every outcome; the
//          best plan is the least of all actions, remembered by what has been seen
// Care     every check is made once at most, by the best plan and by the follower
#pragma once
#include "trials/followers.hpp"

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

namespace knockwell::trials {

struct SmallCheck {
    std::vector<std::size_t> sees;
    double misses = 0, false_alarm = 0, minutes = 0;
    std::size_t place = 0;  // 0: nowhere in particular
};
struct SmallRepair {
    std::vector<std::pair<std::size_t, double>> fixes;
    double minutes = 0;
    std::size_t place = 0;
};
struct SmallProblem {
    std::vector<double> present, brings;  // by cause
    double leak = 0;
    std::vector<SmallCheck> checks;
    std::vector<SmallRepair> repairs;
    std::vector<double> place_minutes;  // [place - 1]; place 2 lies behind place 1

    /// The same in TOML, for the engine.
    [[nodiscard]] std::string toml() const;
};

[[nodiscard]] SmallProblem small_problem(std::uint64_t seed);

/// Expected minutes of the best plan.
[[nodiscard]] double best_minutes(const SmallProblem& problem);

/// Expected minutes of a follower. The follower must go by what it sees of the visit alone.
[[nodiscard]] double expected_minutes(const SmallProblem& problem, const Model& model,
                                      Follower& follower);

}  // namespace knockwell::trials
