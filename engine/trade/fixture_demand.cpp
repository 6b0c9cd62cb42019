// trade/fixture_demand.cpp
//
// Peak flow that a house's fixtures are allowed for.
//
// Formula  the sum of the allowances, gpm: shower 1.0, lavatory 0.5, toilet with a tank 0.75,
//          kitchen sink 1.0, dishwasher 0.5, laundry sink 1.5, clothes washer 2.0
// Source   Private Water Systems: Pumping Installation, Household Uses (Purdue/US EPA home library)
// Range    houses
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_fixture_demand(const CalcValues& values) {
    double sum = values.at("showers") + 0.5 * values.at("lavatories") +
                 0.75 * values.at("toilets") + values.at("kitchen-sinks");
    sum += 0.5 * values.at("dishwashers") + 1.5 * values.at("laundry-sinks") +
           2.0 * values.at("clothes-washers");
    CalcAnswer answer;
    answer.lines = {{"peak demand allowance", sum, "gpm"}};
    return answer;
}

}  // namespace

WorkedComputation fixture_demand_computation() {
    constexpr Taken pieces{0, 100};
    return {{"fixture-demand",
             "peak flow that a house's fixtures are allowed for",
             "The sum of an allowance for each.",
             {usually("showers", "", "0", "showers and tubs", pieces),
              usually("lavatories", "", "0", "lavatories", pieces),
              usually("toilets", "", "0", "toilets with a tank", pieces),
              usually("kitchen-sinks", "", "0", "kitchen sinks", pieces),
              usually("dishwashers", "", "0", "dishwashers", pieces),
              usually("laundry-sinks", "", "0", "laundry sinks", pieces),
              usually("clothes-washers", "", "0", "clothes washers", pieces)},
             "--lavatories 2 --toilets 1 --kitchen-sinks 1 --dishwashers 1 --clothes-washers 1",
             "sum of allowances: shower 1.0, lavatory 0.5, toilet 0.75, kitchen sink 1.0, "
             "dishwasher 0.5, laundry sink 1.5, clothes washer 2.0 gpm",
             "Private Water Systems: Pumping Installation, Household Uses (Purdue/US EPA home "
             "library)",
             "houses"},
            work_fixture_demand};
}

}  // namespace knockwell
