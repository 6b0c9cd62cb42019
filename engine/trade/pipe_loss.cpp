// trade/pipe_loss.cpp
//
// Pressure that water loses by friction in a pipe, and its speed.
//
// Formula  ft/100 ft = 0.2083*(100/C)^1.852 * gpm^1.852 / d^4.8655 (Hazen-Williams), d in inches;
//          ft/s = 0.4087*gpm/d^2
// Source   Engineering ToolBox web tables (Hazen-Williams); other printed forms differ by up to 1
//          %. C: plastic 150, polyethylene 140, copper 130, galvanized 100 (fire-protection
//          reference page); badly pitted steel 60 to 80 from memory
// Range    cold water, turbulent flow
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"
#include "trade/head.hpp"

#include <cmath>

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_pipe_loss(const CalcValues& values) {
    const double flow = values.at("flow");
    const double inside = values.at("inside");
    const double per_100 = 0.2083 * std::pow(100 / values.at("smoothness"), 1.852) *
                           std::pow(flow, 1.852) / std::pow(inside, 4.8655);
    const double loss = per_100 * values.at("length") / 100;
    CalcAnswer answer;
    answer.lines = {{"loss", loss, "ft"},
                    {"loss in pressure", loss / ft_per_psi, "psi"},
                    {"speed", 0.4087 * flow / (inside * inside), "ft/s"}};
    answer.remarks = {"Valves and elbows come on top. How rough an old steel pipe is, nobody knows "
                      "without opening it: try 60 and 100."};
    return answer;
}

}  // namespace

WorkedComputation pipe_loss_computation() {
    return {{"pipe-loss",
             "pressure lost by friction in a pipe, and the speed in it",
             "Hazen-Williams.",
             {needed("flow", "gpm", "flow through the pipe", {0.1, 10000}),
              needed("inside", "in", "inside diameter", {0.2, 60}),
              usually("length", "ft", "100ft", "length of the pipe", {0.1, 20000}),
              usually("smoothness", "", "140",
                      "Hazen-Williams C: plastic 150, polyethylene 140, copper 130, steel 100, "
                      "old steel 60 to 80",
                      {40, 160})},
             "--flow 10gpm --inside 1.049in --length 100ft --smoothness 150",
             "0.2083*(100/C)^1.852*gpm^1.852/d^4.8655 for each 100 ft; 0.4087*gpm/d^2",
             "Engineering ToolBox web tables (Hazen-Williams)",
             "cold water, turbulent flow; printed forms differ by up to 1 %"},
            work_pipe_loss};
}

}  // namespace knockwell
