// trade/well_storage.cpp
//
// Water that stands in a well over the pump, and what it gives in a peak.
//
// Formula  standing = gal/ft*(depth - static - room for the pump); supply = standing + yield*time
// Source   Domestic Wells - Introduction and Overview, Box 1 and Exercise 1 solution (The
//          Groundwater Project, 2022)
// Range    round well; the yield holds for the whole time
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"
#include "trade/pipe_content.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_well_storage(const CalcValues& values) {
    const double water = values.at("depth") - values.at("static") - values.at("room");
    RangeCheck check;
    check.demand(water > 0, "static: leaves no water over the pump");
    if (!check.fine())
        return check.wrong();
    const double standing = gal_per_ft(values.at("inside")) * water;
    CalcAnswer answer;
    answer.lines = {
        {"standing water over the pump", standing, "gal"},
        {"supply in that time", standing + values.at("yield") * values.at("time"), "gal"}};
    return answer;
}

}  // namespace

WorkedComputation well_storage_computation() {
    return {
        {"well-storage",
         "water standing in a well, and what it gives in a peak",
         "A weak well lives on what stands in it.",
         {needed("depth", "ft", "depth of the well", {1, 5000}),
          needed("inside", "in", "inside diameter", {1, 120}),
          needed("static", "ft", "standing level below the top", {0, 5000}),
          usually("room", "ft", "15ft", "room below and over the pump that is not used", {0, 500}),
          usually("yield", "gpm", "0gpm", "inflow of the well", {0, 1000}),
          usually("time", "min", "2h", "length of the peak", {0, 100000})},
         "--depth 50m --inside 152mm --static 5m --room 5m --yield 2lpm",
         "0.0408*d^2*(depth - static - room); + yield*time",
         "Domestic Wells - Introduction and Overview, Box 1 and Exercise 1 solution (The "
         "Groundwater Project, 2022)",
         "round well, steady inflow"},
        work_well_storage};
}

}  // namespace knockwell
