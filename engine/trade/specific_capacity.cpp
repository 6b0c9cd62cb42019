// trade/specific_capacity.cpp
//
// Gallons a minute that a well gives for each foot of drawdown.
//
// Formula  gpm / (pumping level - static level)
// Source   first principles; a fall by a quarter calls for cleaning (from memory)
// Range    steady flow and levels; a record of the same flow and season
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_specific_capacity(const CalcValues& values) {
    const double fall = values.at("pumping") - values.at("static");
    RangeCheck check;
    check.demand(fall > 0, "pumping: must be deeper than the static level");
    if (!check.fine())
        return check.wrong();
    const double capacity = values.at("flow") / fall;
    CalcAnswer answer;
    answer.lines = {{"specific capacity", capacity, "gpm/ft"}, {"drawdown", fall, "ft"}};
    if (const auto record = values.find("record")) {
        answer.lines.push_back({"share of the record", 100 * capacity / *record, "%"});
        if (capacity < 0.75 * *record)
            answer.remarks.emplace_back("It has fallen by more than a quarter: crust, slime or "
                                        "sand close the well (the quarter is from memory).");
    }
    return answer;
}

}  // namespace

WorkedComputation specific_capacity_computation() {
    return {{"specific-capacity",
             "flow of a well for each foot of drawdown",
             "The number that tells a tired well from a tired pump.",
             {needed("flow", "gpm", "steady flow", {0.05, 10000}),
              needed("static", "ft", "standing level below the top", {0, 5000}),
              needed("pumping", "ft", "level below the top while pumping", {0, 5000}),
              may_be_left_out("record", "", "gpm for each foot on record", {0.0001, 10000})},
             "--flow 10gpm --static 40ft --pumping 60ft --record 0.8",
             "gpm/(pumping - static)",
             "first principles; a quarter's fall calls for cleaning, from memory",
             "levels that have come to rest"},
            work_specific_capacity};
}

}  // namespace knockwell
