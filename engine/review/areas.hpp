// review/areas.hpp
//
// What recurs where: for every area and cause the houses that had it against those that would have
// had it, were the area like the rest with its own mix of settings.
//
// Given    closed jobs with the causes that they name, guessed ones among them
// Wanted   cells (area, cause) with more houses than chance lets happen
// Idea     indirect standardisation: of the houses with the same settings (the kind of
//          installation, and what the knowledge says bears on the cause) the share that had the
//          cause, summed over the houses of the area. Nine visits to one house are one house. An
//          exact Poisson tail for each cell; the false discovery rate over all cells; ratios drawn
//          together by the gamma that fits them
// Care     jobs without an area are left out of the rest too: what is expected over all areas is
//          then what was found there, and whatever else sets those jobs apart touches no road
//          the area itself is in the rest, which makes its own excess look smaller, never larger
// Source   N. E. Breslow, N. E. Day, Statistical Methods in Cancer Research II, IARC 1987, chapter
//          2 (standardisation); see statistics.hpp
// Held by  tests/review/areas_test.cpp, tests/review/shops_test.cpp (planted truths)
#pragma once
#include "knowledge/model.hpp"
#include "review/shop_book.hpp"
#include "review/statistics.hpp"

#include <cstdint>
#include <map>
#include <string>
#include <vector>

namespace knockwell {

struct AreaCell {
    std::uint32_t area = 0;
    std::uint32_t cause = 0;
    std::uint64_t observed = 0;  // houses
    double expected = 0;         // houses
    Limits limits;               // of observed / expected, 95 %
    double shrunk = 1;           // the ratio, drawn towards the others
    Limits shrunk_limits;        // of `shrunk`, 95 %
    double p = 1;                // so many or more by chance
    double adjusted = 1;         // by the false discovery rate over all cells
    std::uint64_t guessed = 0;   // of the houses, those where the cause was never more than guessed
    std::uint64_t alone = 0;     // ... those with settings that no house in another area has: they
                                 // are expected by themselves, and show no excess
};

struct AreaReview {
    std::vector<AreaCell> cells;  // smallest p first; only where something was found
    std::size_t tested = 0;       // cells that chance had a say in
    std::uint64_t houses = 0;
    std::uint64_t jobs = 0;
    std::uint64_t without_area = 0;   // closed jobs of which nobody wrote down where they were
    std::uint64_t without_cause = 0;  // of the others, those that name no cause
    GammaSpread spread;
    std::map<std::uint32_t, std::vector<std::string>> allowed_for;  // cause -> settings
};

/// `knowledge` says which settings bear on a cause; a cause that it lacks is not adjusted.
[[nodiscard]] AreaReview review_areas(const ShopBook& book, const Knowledge& knowledge);

/// Settings in the conditions of a cause: what makes it possible or likelier.
[[nodiscard]] std::vector<SettingId> settings_that_bear_on(const Cause& cause);

}  // namespace knockwell
