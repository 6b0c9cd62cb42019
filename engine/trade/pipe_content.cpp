// trade/pipe_content.cpp
//
// Water in a length of pipe or casing, and how long the pump needs to fill it again.
//
// Formula  gal = 0.0408*d^2*L; seconds = 60*gal/gpm
// Source   Shock chlorination of wells and water systems, Tables I-II (Mesa County Health Dept.
//          Regional Laboratory, Colorado); filling: first principles
// Range    round, inside 0.2 to 120 inches
// Held by  tests/trade/checks.toml
#include "trade/pipe_content.hpp"

#include "trade/computations.hpp"

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_pipe_content(const CalcValues& values) {
    const double each = gal_per_ft(values.at("inside"));
    const double content = each * values.at("length");
    CalcAnswer answer;
    answer.lines = {{"content", content, "gal"}, {"content of a foot", each, "gal"}};
    if (const auto flow = values.find("flow"))
        answer.lines.push_back({"time to fill", 60 * content / *flow, "s"});
    return answer;
}

}  // namespace

WorkedComputation pipe_content_computation() {
    return {{"pipe-content",
             "water in a length of pipe or casing",
             "What drains back through a check valve that leaks, or what chlorine must reach.",
             {needed("inside", "in", "inside diameter", {0.2, 120}),
              usually("length", "ft", "1ft", "length", {0.01, 20000}),
              may_be_left_out("flow", "gpm", "flow that fills it again", {0.05, 10000})},
             "--inside 1.049in --length 100ft --flow 10gpm",
             "0.0408*d^2*L; 60*gal/gpm",
             "Shock chlorination of wells and water systems, Tables I-II (Mesa County Health Dept. "
             "Regional Laboratory, Colorado)",
             "round pipe or casing, full"},
            work_pipe_content};
}

}  // namespace knockwell
