// review/causes.hpp
//
// What the shop's jobs came to, cause by cause.
//
// Held by  tests/review/areas_test.cpp
#pragma once
#include "review/shop_book.hpp"
#include "review/statistics.hpp"

#include <cstdint>
#include <vector>

namespace knockwell {

struct CauseLine {
    std::uint32_t cause = 0;
    std::uint64_t jobs = 0;
    std::uint64_t houses = 0;
    std::uint64_t again = 0;       // jobs at a house that had it before
    std::uint64_t call_backs = 0;  // jobs that were call-backs
    std::uint64_t guessed = 0;     // jobs where it was only guessed
    std::uint64_t timed = 0;       // jobs of which minutes were written down
    double minutes = 0;            // ... on average, all that were spent there; 0 = none had any
    double rate = 0;               // jobs a year; in all, where there is no whole year
    Limits limits;                 // of `rate`, 95 %
};

struct CauseReview {
    std::vector<CauseLine> lines;  // most jobs first
    std::uint64_t jobs = 0;        // closed ones
    std::uint64_t without_cause = 0;
    double years = 0;  // from the first to the last
    /// A part of a year may have been its busy or its quiet one: it makes no figure of a year.
    [[nodiscard]] bool by_the_year() const { return years >= 1; }
};

[[nodiscard]] CauseReview review_causes(const ShopBook& book);

}  // namespace knockwell
