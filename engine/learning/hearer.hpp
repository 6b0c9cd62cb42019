// learning/hearer.hpp
//
// What one lesson says of the coins, and what many installations say together. Inside this floor
// only.
#pragma once
#include "beliefs/installations.hpp"
#include "learning/lessons.hpp"
#include "learning/tosses.hpp"

#include <span>
#include <vector>

namespace knockwell {

/// A lesson, or an installation where all was quiet, under the numbers as they are.
struct HeardLesson {
    bool possible = false;
    Tosses tosses;
};

/// Whoever hears lessons; each has room of its own, so that two may work side by side.
class Hearer {
public:
    Hearer(const Model& model, const std::vector<Coin>& coins, const CoinRow& row,
           const Evidence& all_quiet)
        : tosser_(model, coins, row), row_(&row), sum_(row.size(), 0.0), met_(coins.size(), false),
          all_quiet_(&all_quiet), installations_(model, all_quiet) {}

    [[nodiscard]] HeardLesson hear(const std::vector<Way>& ways, std::span<const double> strengths);
    [[nodiscard]] HeardLesson hear(const Evidence& evidence, std::span<const double> strengths);

    /// Installations where all was quiet, to be asked side by side.
    [[nodiscard]] Installations& installations() { return installations_; }

    /// What was added up of them.
    [[nodiscard]] Tosses heard_there(std::span<const double> strengths) {
        return tosser_.tosses(*all_quiet_, installations_.sum(), strengths);
    }

private:
    [[nodiscard]] Tosses mixed(const std::vector<Tosses>& all);

    Tosser tosser_;
    const CoinRow* row_;
    std::vector<double> sum_;
    std::vector<bool> met_;
    const Evidence* all_quiet_;
    Installations installations_;
};

}  // namespace knockwell
