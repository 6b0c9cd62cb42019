// ledger/histories.hpp, of the tests
//
// Random histories of several trucks: each opens jobs, adds to its own and to the others' as it has
// them, corrects, closes, merges what it meets; each with a clock that is wrong in its own way.
#pragma once
#include "ledger/scratch.hpp"

#include <cstdint>
#include <memory>
#include <random>
#include <string>
#include <vector>

namespace knockwell {

/// Trucks, each with its ledger.
class Fleet {
public:
    Fleet(std::uint64_t seed, std::size_t trucks);

    /// One truck does one thing.
    void step();
    [[nodiscard]] std::size_t size() const { return ledgers_.size(); }
    [[nodiscard]] Ledger& ledger(std::size_t truck) { return *ledgers_[truck]; }
    [[nodiscard]] std::filesystem::path file(std::size_t truck) const {
        return room_ / ("truck-" + std::to_string(truck) + ".sqlite");
    }
    [[nodiscard]] std::filesystem::path fresh() {
        return room_ / ("ledger-" + std::to_string(++fresh_) + ".sqlite");
    }
    /// Every entry that any truck ever wrote, as "JOB WORDS".
    [[nodiscard]] const std::vector<std::string>& written() const { return written_; }

private:
    [[nodiscard]] std::size_t below(std::size_t most) {
        return static_cast<std::size_t>(engine_() % most);
    }
    [[nodiscard]] std::int64_t clock_of(std::size_t truck);
    [[nodiscard]] Event random_event(const Job& job, std::int64_t at);
    void open(std::size_t truck);
    void add(std::size_t truck);

    Scratch room_;
    std::mt19937_64 engine_;
    std::vector<std::unique_ptr<Ledger>> ledgers_;
    std::vector<std::int64_t> wrong_by_;  // seconds that each clock is ahead
    std::int64_t now_ = story_begins;
    std::size_t fresh_ = 0;
    std::uint32_t jobs_ = 0;
    std::uint32_t entries_ = 0;
    std::vector<std::string> written_;
};

/// The ledger as its export has it: equal bytes = equal ledgers.
[[nodiscard]] std::string exported(const Ledger& ledger);

}  // namespace knockwell
