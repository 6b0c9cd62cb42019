// trade/air_share.cpp
//
// How much of a tank's air cushion is left, from the water that it gives into a bucket.
//
// Formula  share = Vd / (V * f), f the drawdown factor that the tank would have with its precharge
//          2 psi under cut-in: Boyle, with absolute pressures
// Source   How to calculate and control pressure tank drawdown (National Driller, Feb 2006)
// Range    slow cycles, steady temperature; cut-in and cut-out as seen on a gauge that is right
// Care     the pump stays off while the bucket fills, or its water is counted too. A bladder that
//          leaks and a charge that is low both give less: the share does not tell them apart
// Held by  tests/trade/calc_test.cpp
#include "trade/computations.hpp"
#include "trade/drawdown.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_air_share(const CalcValues& values) {
    const auto outcome =
        drawdown_as_wanted(values.at("tank"), values.at("cut-in"), values.at("cut-out"));
    if (const auto* wrong = std::get_if<OutOfRange>(&outcome))
        return *wrong;
    const double sound = std::get<Drawdown>(outcome).drawdown_gal;
    CalcAnswer answer;
    answer.cautions = {"Keep away from a tank that is swollen, rusted through or above its plate. "
                       "Switch the pump off at its breaker only with dry hands on a dry floor."};
    answer.lines = {{"share of the air left", 100 * values.at("drawdown") / sound, "%"},
                    {"drawdown of a sound tank", sound, "gal"}};
    answer.remarks = {"A low charge and a leaking bladder both give less; the air valve and the "
                      "drained precharge tell them apart.",
                      "Well over 100 % means that the pump ran into the bucket, the tank is larger "
                      "than was typed, or the gauge lies."};
    return answer;
}

}  // namespace

WorkedComputation air_share_computation() {
    return {
        {"air-share",
         "share of a tank's air cushion that is left",
         "From the water it gives into a bucket between cut-out and cut-in, the pump off.",
         {needed("drawdown", "gal", "water drawn between cut-out and cut-in, pump off", {0, 10000}),
          needed("tank", "gal", "whole volume of the tank, from its plate", {1, 10000}),
          needed("cut-in", "psi", "pressure at which the pump starts", {5, 300}),
          needed("cut-out", "psi", "pressure at which the pump stops", {5, 300})},
         "--drawdown 2gal --tank 20gal --cut-in 40psi --cut-out 60psi",
         "Vd / (V*((Pp+Pa)/(Pci+Pa) - (Pp+Pa)/(Pco+Pa))), Pp = Pci - 2 psi",
         "How to calculate and control pressure tank drawdown (National Driller, Feb 2006)",
         "sea level, slow cycles, steady temperature"},
        work_air_share};
}

}  // namespace knockwell
