// beliefs/noise.hpp
//
// The cheapest of several at prices that seeded noise sways, so that every try at an order finds
// another. Inside this floor only.
//
// Held by  tests/beliefs/branches_test.cpp, tests/beliefs/plan_test.cpp
#pragma once
#include <boost/random/linear_congruential.hpp>

#include <limits>

namespace knockwell {

using Dice = boost::random::minstd_rand;

/// The first of those whose price is least; one without end is never taken.
template <class Thing>
class Cheapest {
public:
    /// `none`: what it is while nothing was taken. Every price rises by up to `noise`, drawn in the
    /// order in which they are weighed.
    Cheapest(Thing none, double noise, Dice& dice) : thing_(none), noise_(noise), dice_(dice) {}

    void weigh(Thing thing, double price) {
        constexpr double unit = 1.0 / 2147483647;
        if (noise_ > 0)
            price += noise_ * unit * dice_();
        if (price < price_) {
            price_ = price;
            thing_ = thing;
        }
    }

    [[nodiscard]] Thing thing() const { return thing_; }

private:
    Thing thing_;
    double price_ = std::numeric_limits<double>::infinity();
    double noise_;
    Dice& dice_;
};

}  // namespace knockwell
