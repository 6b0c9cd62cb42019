// trade/tank_size.cpp
//
// Tank that lets a pump run long enough.
//
// Formula  V = Qp*t / f, f the drawdown factor of Boyle's law with the precharge 2 psi under
//          cut-in; a state's design equation: V = (Pco+14.7)*15*Qp / ((Pco-Pci)*starts an hour)
// Source   Tech Topics: using multiple pressure tanks for larger systems (National Driller, 2008):
//          one minute of run to 3/4 hp; two minutes from 1 hp is common practice, no source. Water
//          System Design Manual (Washington State Dept. of Health, Dec 2009), eq. 11-1, bladder
//          factor 1
// Range    pump of 0.5 to 1000 gpm, run of 0.1 to 60 minutes, gauge pressures of 5 to 300 psi
// Held by  tests/trade/checks.toml
#include "trade/atmosphere.hpp"
#include "trade/computations.hpp"
#include "trade/drawdown.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_tank_size(const CalcValues& values) {
    const double flow = values.at("pump-flow");
    const double low = values.at("cut-in");
    const double high = values.at("cut-out");
    const auto outcome = drawdown_as_wanted(1, low, high);
    if (const auto* wrong = std::get_if<OutOfRange>(&outcome))
        return *wrong;
    const double drawdown = flow * values.at("run");
    CalcAnswer answer;
    answer.lines = {
        {"drawdown wanted", drawdown, "gal"},
        {"smallest tank for that run", drawdown / std::get<Drawdown>(outcome).factor, "gal"},
        {"tank by the state's equation",
         (high + sea_level_psi) * 15 * flow / ((high - low) * values.at("starts")), "gal"}};
    answer.remarks = {"The state's equation is an example for public systems; local code and the "
                      "tank's plate overrule."};
    return answer;
}

}  // namespace

WorkedComputation tank_size_computation() {
    return {
        {"tank-size",
         "smallest tank that lets a pump run long enough",
         "A minute of run up to 3/4 hp, two from 1 hp.",
         {needed("pump-flow", "gpm", "flow of the pump", {0.5, 1000}),
          usually("run", "min", "1min", "run wanted from start to stop", {0.1, 60}),
          needed("cut-in", "psi", "pressure at which the pump starts", {5, 300}),
          needed("cut-out", "psi", "pressure at which the pump stops", {5, 300}),
          usually("starts", "", "6", "starts an hour allowed by the state's equation", {1, 60})},
         "--pump-flow 10gpm --run 1min --cut-in 30psi --cut-out 50psi",
         "Qp*t/f; (Pco+14.7)*15*Qp/((Pco-Pci)*starts)",
         "Tech Topics: using multiple pressure tanks for larger systems (National Driller, "
         "2008); Water System Design Manual (Washington State Dept. of Health, Dec 2009), eq. "
         "11-1",
         "precharge 2 psi under cut-in, sea level, bladder whole"},
        work_tank_size};
}

}  // namespace knockwell
