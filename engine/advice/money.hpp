// advice/money.hpp
//
// What time and parts cost the shop, so that a step is weighed in money too.
//
// Given    the price of an hour, and prices of parts: the shop's own, else those of the knowledge
// Wanted   money of a step = minutes x hour / 60 + its parts, and the same the other way round: the
//          minutes that the parts of a repair are worth
// Idea     the part that the true cause needs is paid on every way, the last resort's too; what
//          hangs on the order of work is the part that is put in in vain. So a repair that does not
//          end the trouble costs its minutes and what its parts are worth in minutes, and one that
//          does costs its minutes (advice/mending.hpp)
// Care     without the price of an hour parts cannot be held against minutes: then they count
//          nothing, and advice is what it is without any prices
// Held by  tests/advice/money_test.cpp
#pragma once
#include "knowledge/model.hpp"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace knockwell {

struct Rates {
    std::optional<double> hour;           // over 0; in `currency`
    std::string currency;                 // "dollars"; may be empty
    std::map<std::string, double> price;  // part -> one piece, 0 or more; before the knowledge's
    bool operator==(const Rates&) const = default;
};

/// Of one piece; nothing where nobody says.
[[nodiscard]] std::optional<double> price_of(const Knowledge& knowledge, const Rates& rates,
                                             PartId part);

struct PartsPrice {
    double sum = 0;
    bool whole = true;  // no part is without a price
};
[[nodiscard]] PartsPrice price_of(const Knowledge& knowledge, const Rates& rates,
                                  const std::vector<PartUse>& parts);

/// Money of so many minutes; nothing without the price of an hour.
[[nodiscard]] std::optional<double> money_of(const Rates& rates, double minutes);

/// Minutes that these parts are worth; 0 without the price of an hour, and without rates.
[[nodiscard]] double minutes_of_parts(const Knowledge& knowledge, const Rates* rates,
                                      const std::vector<PartUse>& parts);

}  // namespace knockwell
