// trials/tally.hpp
//
// Many calls, each played by every follower, and what it came to: means with paired intervals.
//
// Care     what came out of a call hangs on its seed alone: not on the thread that played it, nor
//          on what was played before. So a run may be broken off and taken up again
#pragma once
#include "trials/play.hpp"

#include <cstdint>
#include <functional>
#include <iosfwd>
#include <map>
#include <memory>
#include <string>
#include <vector>

namespace knockwell::trials {

struct Trials {
    const Model* model = nullptr;
    const SafetyTexts* texts = nullptr;
    std::size_t calls = 100;
    std::uint64_t seed = 1;  // of the first house
    bool redrawn = false;    // each house under numbers of its own, drawn from their counts
    bool unlisted = false;   // only calls with no listed cause behind the complaint, or only others
    std::vector<SettingId> settings{};  // known from the start
};

/// The calls that are played, in order: houses are drawn from the seed on until there are enough.
struct Calls {
    std::vector<Call> calls;
    std::size_t houses = 0;    // drawn
    std::size_t left_out = 0;  // calls of the other sort, listed or not
};
[[nodiscard]] Calls calls_of(const Trials& trials);

/// The house of a call.
[[nodiscard]] House house_of(const Trials& trials, std::uint64_t seed);

/// One call by one follower.
struct Record {
    double minutes = 0;
    std::size_t looks = 0;
    std::size_t repairs = 0;
    std::size_t cut_short = 0;
    bool last_resort = false;
    bool called_back = false;
    std::size_t unsafe = 0;
    bool operator==(const Record&) const = default;
};

[[nodiscard]] Record record_of(const Played& played);

/// By follower's name, by the seed of the house.
using Records = std::map<std::string, std::map<std::uint64_t, Record>>;

/// One line a record, words parted by tabs. Throws where a line is no record.
[[nodiscard]] Records read_records(std::istream& in);
void write_record(std::ostream& out, std::uint64_t seed, const std::string& follower,
                  const Record& record);

/// What one follower came to.
struct Tally {
    std::string name;
    std::vector<double> minutes;  // by call
    std::size_t looks = 0;
    std::size_t repairs = 0;
    std::size_t last_resorts = 0;
    std::size_t called_back = 0;
    std::size_t cut_short = 0;  // calls with a step that was
    std::size_t unsafe = 0;
};

struct Outcomes {
    std::vector<Tally> tallies;
    std::size_t calls = 0;
    std::size_t houses = 0;
    std::size_t left_out = 0;
    std::size_t several = 0;  // calls with two causes or more behind the complaint
};

/// The calls, from the first on, that all of these followers have played.
[[nodiscard]] Outcomes outcomes_of(const Trials& trials, const Records& records,
                                   const std::vector<std::string>& followers);

/// A mean with half the width of its 95 % interval (normal).
struct Mean {
    double value = 0;
    double give = 0;
};
[[nodiscard]] Mean mean_of(const std::vector<double>& values);

/// Of a[i] - b[i].
[[nodiscard]] Mean mean_difference(const std::vector<double>& a, const std::vector<double>& b);

/// Every thread has followers of its own.
using Crew = std::function<std::vector<std::unique_ptr<Follower>>(const Model&)>;

/// Hears every play, one at a time.
using Tell = std::function<void(const Call&, const House&, const Follower&, const Played&)>;

/// Plays the calls that are not among `known`, on so many threads, until `minutes` have passed (0:
/// to the end); calls that were begun are ended.
struct Hurry {
    unsigned threads = 1;
    double minutes = 0;
};
void play_all(const Trials& trials, const Records& known, const Crew& crew, const Hurry& hurry,
              const Tell& tell);

/// All of it at once.
[[nodiscard]] Outcomes run(const Trials& trials, const Crew& crew);

}  // namespace knockwell::trials
