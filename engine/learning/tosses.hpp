// learning/tosses.hpp
//
// One set of findings as tosses of the coins. Inside this floor only.
#pragma once
#include "beliefs/expected.hpp"
#include "learning/coins.hpp"

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace knockwell {

/// Where the numbers of each coin stand in one row: tosses, then how many fell on each side; of a
/// rate also the sum of the chances that they had.
class CoinRow {
public:
    explicit CoinRow(const std::vector<Coin>& coins);
    [[nodiscard]] std::size_t first(std::uint32_t coin) const { return first_[coin]; }
    [[nodiscard]] std::size_t count(std::uint32_t coin) const {
        return first_[coin + 1] - first_[coin];
    }
    [[nodiscard]] std::size_t size() const { return first_.back(); }

private:
    std::vector<std::size_t> first_;
};

/// The coins that findings speak of, and their numbers one after the other.
struct Tosses {
    double log_chance = 0;  // of the findings
    std::size_t shape = 0;  // equal: they take the same plan
    std::vector<std::uint32_t> coins;
    std::vector<double> numbers;
};

/// For one thread.
class Tosser {
public:
    /// All must outlive it.
    Tosser(const Model& model, const std::vector<Coin>& coins, const CoinRow& row);

    /// Nothing where the findings are impossible or too wide.
    [[nodiscard]] std::optional<Tosses>
    of(const Evidence& evidence, std::span<const double> strengths, const SaidOfCauses& said = {});

    /// What is expected of findings as these, of which `expected` tells.
    [[nodiscard]] Tosses tosses(const Evidence& evidence, const Expected& expected,
                                std::span<const double> strengths) const;

private:
    void toss(std::uint32_t coin, const Expected& expected, std::span<const double> strengths,
              Tosses& into) const;
    void toss_chances(const Evidence& evidence, const Expected& expected,
                      std::span<const double> strengths, Tosses& into) const;
    void toss_rate(std::uint32_t coin, const Expected& expected, std::span<const double> strengths,
                   Tosses& into) const;

    const Network* network_;
    const std::vector<Coin>* coins_;
    const CoinRow* row_;
    Expecting expecting_;
    std::vector<std::vector<std::uint32_t>> of_sign_;   // [SignId]
    std::vector<std::vector<std::uint32_t>> of_cause_;  // [CauseId] its rate and what brings it on
    std::vector<std::vector<std::uint32_t>> acts_of_;   // [CauseId]
    std::vector<std::uint32_t> of_chance_;  // [StrengthIndex] its coin, of a channel or a repair
};

}  // namespace knockwell
