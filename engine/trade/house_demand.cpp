// trade/house_demand.cpp
//
// Flow and daily water that a house wants.
//
// Formula  peak = day's use / 2 h; fixtures at 2.5 gpm each; gallons a day by bedrooms
// Source   Water System Planning: Estimating Water Needs (Penn State Extension, 2017/2022);
//          Individual Water Supply Wells Fact Sheet 2 and 10 NYCRR App. 5-B.4 (New York State Dept.
//          of Health): 110 gal a day and bedroom; Env-Ws 372.10 Table 372-1 (State of New
//          Hampshire): 150
// Range    houses; state figures are examples
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_house_demand(const CalcValues& values) {
    constexpr double new_york = 110;
    constexpr double new_hampshire = 150;
    const double bedrooms = values.at("bedrooms");
    const double day = values.find("daily").value_or(bedrooms * new_york);
    CalcAnswer answer;
    answer.lines = {{"day's use by New York's figure", bedrooms * new_york, "gal"},
                    {"day's use by New Hampshire's figure", bedrooms * new_hampshire, "gal"},
                    {"flow to deliver the day's use in the peak", day / values.at("peak"), "gpm"},
                    {"flow of the fixtures", values.at("fixtures") * values.at("each"), "gpm"}};
    return answer;
}

}  // namespace

WorkedComputation house_demand_computation() {
    return {{"house-demand",
             "flow and daily water that a house wants",
             "To hold against pump and well.",
             {needed("bedrooms", "", "bedrooms", {0, 100}),
              may_be_left_out("daily", "gal", "day's use where it is known", {0, 100000}),
              usually("peak", "min", "2h", "time in which the day's use is drawn", {1, 1440}),
              usually("fixtures", "", "2", "fixtures open at once", {0, 100}),
              usually("each", "gpm", "2.5gpm", "flow of each", {0, 50})},
             "--bedrooms 3",
             "day's use / peak; fixtures * flow of each",
             "Water System Planning: Estimating Water Needs (Penn State Extension); 10 NYCRR App. "
             "5-B.4 (New York State Dept. of Health); Env-Ws 372.10 Table 372-1 (State of New "
             "Hampshire)",
             "houses; the state figures are examples"},
            work_house_demand};
}

}  // namespace knockwell
