// trials/tally.hpp
//
// Many calls, each played by every follower, and what it came to: means with paired intervals.
#pragma once
#include "trials/play.hpp"

#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace knockwell::trials {

struct Trials {
    const Model* model = nullptr;
    const SafetyTexts* texts = nullptr;
    std::size_t calls = 100;  // with a listed cause behind the complaint
    std::uint64_t seed = 1;   // of the first house
    bool redrawn = false;     // each house under numbers of its own, drawn from their counts
    std::vector<SettingId> settings;  // known from the start
};

/// What one follower came to.
struct Tally {
    std::string name;
    std::vector<double> minutes;  // by call
    std::size_t looks = 0;
    std::size_t repairs = 0;
    std::size_t last_resorts = 0;
    std::size_t called_back = 0;
    std::vector<std::string> unsafe;  // with the seed of the house
};

struct Outcomes {
    std::vector<Tally> tallies;  // as the followers
    std::size_t houses = 0;      // drawn
    std::size_t unlisted = 0;    // calls that no listed cause explains: not played
    std::size_t several = 0;     // calls with two causes or more behind the complaint
};

/// A mean with half the width of its 95 % interval (normal).
struct Mean {
    double value = 0;
    double give = 0;
};
[[nodiscard]] Mean mean_of(const std::vector<double>& values);

/// Of a[i] - b[i].
[[nodiscard]] Mean mean_difference(const std::vector<double>& a, const std::vector<double>& b);

/// `tell` hears every play, for a diary.
using Tell = std::function<void(const Call&, const House&, const Follower&, const Played&)>;

[[nodiscard]] Outcomes run(const Trials& trials,
                           const std::vector<std::unique_ptr<Follower>>& followers,
                           const Tell& tell = {});

}  // namespace knockwell::trials
