// trade/shutoff_share.cpp
//
// Shut-off head of a pump against its record.
//
// Formula  100*(lift + 2.31*psi)/record
// Source   first principles; 2.31 ft to the psi as in trade/head.hpp
// Range    no water flows, so the level in the well stands at its static level
// Care     a pump against a shut valve can pass the tank's plate: stop below it
// Held by  tests/trade/calc_test.cpp
#include "trade/atmosphere.hpp"
#include "trade/computations.hpp"
#include "trade/head.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_shutoff_share(const CalcValues& values) {
    const double head = values.at("lift") + ft_per_psi * values.at("pressure");
    CalcAnswer answer;
    answer.cautions = {"Never let the pressure pass the lowest plate of tank and relief valve: "
                       "stop the pump below it."};
    answer.lines = {{"shut-off head", head, "ft"},
                    {"share of the record", 100 * head / values.at("record"), "%"}};
    return answer;
}

}  // namespace

WorkedComputation shutoff_share_computation() {
    return {{"shutoff-share",
             "shut-off head of a pump against its record",
             "The gauge with the valve shut, and the lift under it.",
             {needed("pressure", "psi", "gauge pressure, the valve behind it shut",
                     {0, highest_gauge_psi}),
              needed("lift", "ft", "standing level to the gauge", {0, highest_head_ft}),
              needed("record", "ft", "shut-off head on record or on the pump's curve",
                     {1, highest_head_ft})},
             "--pressure 62psi --lift 150ft --record 400ft",
             "100*(lift + 2.31*psi)/record",
             "first principles; NWCG Table 3.1 Water handling unit estimations (US National "
             "Wildfire Coordinating Group)",
             "no flow, well at its static level"},
            work_shutoff_share};
}

}  // namespace knockwell
