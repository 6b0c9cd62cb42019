// advice/ahead.hpp
//
// How long it takes until the trouble is over if one begins with this look, or with this repair:
// two steps ahead, over looks and repairs alike.
//
// Given    shares of the trouble by cause (the rest: nothing listed); looks with the chance of each
//          outcome under each cause; repairs with their chances; what each costs in minutes from
//          here and from where another one leaves you
// Wanted   Q(step) = its minutes + the mean of V over what it shows; V the least of: mending in
//          order and then the last resort; one look more and then mending in order; one repair, one
//          look, and then mending in order
// Idea     one trouble at a time, and looks that are independent once the cause is known: then
//          shares times likelihoods, never divided by their sum, are all that is needed, and
//          no look can do harm. The likelihoods are those of the exact inference: P(outcome |
//          cause) = P(outcome) P(cause | outcome) / P(cause)
// Source   R. A. Howard, Information value theory, IEEE Trans. SSC-2(1), 1966, pp. 22-26, one step;
//          D. Heckerman, J. S. Breese, K. Rommelse, Decision-theoretic troubleshooting,
//          CACM 38(3), 1995, pp. 49-57, repairs after a look
// Held by  tests/advice/ahead_test.cpp, tests/trials/ (against the best of all plans)
#pragma once
#include "advice/mending.hpp"

#include <cstddef>
#include <vector>

namespace knockwell {

/// Minutes of every repair and of every look from one standing.
struct Fares {
    std::vector<double> mends;  // [mend]
    std::vector<double> looks;  // [look]
};

/// What one look can show: chance of each outcome under each cause, and where nothing listed is it.
struct Showing {
    std::vector<std::vector<double>> outcome;  // [outcome][cause]
    std::vector<double> unlisted;              // [outcome]
};

/// A small world of causes numbered from 0, looks and repairs, as seen from one moment.
struct Outlook {
    std::vector<double> shares;           // [cause]
    double unlisted = 0;                  // with the shares: the whole trouble, 1
    std::vector<std::vector<Fix>> mends;  // [mend]; causes by their number here
    std::vector<Showing> looks;           // [look]
    Fares here;                           // and after a repair, when all is closed again
    std::vector<Fares> after_look;        // [look]
    LastResort last_resort{};             // by the numbers that the causes have here
    std::vector<double> in_vain{};        // [mend] as in Mend; empty = nothing
};

struct Ahead {
    double at_once = 0;         // mending in order, looking no further
    std::vector<double> looks;  // [look] Q
    std::vector<double> alone;  // [look] Q with nothing but mending after it
    std::vector<double> mends;  // [mend] Q
};

/// One step ahead for all, two for the `closely` best looks and the `closely` best repairs.
[[nodiscard]] Ahead look_ahead(const Outlook& outlook, std::size_t closely);

}  // namespace knockwell
