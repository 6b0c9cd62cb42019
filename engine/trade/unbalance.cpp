// trade/unbalance.cpp
//
// Unbalance of three-phase volts, and how far a motor must be spared for it.
//
// Formula  100*max|V - average|/average
// Source   NEMA MG 1 definition, worked figures quoted in an engineering discussion; derating:
//          Engineering ToolBox web tables (2 % 0.95, 3 % 0.89, 4 % 0.82, 5 % 0.76)
// Range    three-phase motors only, such as those on a drive or converter; not above 5 %
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace knockwell {
namespace {

constexpr auto derating = std::to_array<double>({1, 1, 0.95, 0.89, 0.82, 0.76});

Outcome<CalcAnswer> work_unbalance(const CalcValues& values) {
    const double a = values.at("first");
    const double b = values.at("second");
    const double c = values.at("third");
    const double average = (a + b + c) / 3;
    const double worst =
        std::max({std::abs(a - average), std::abs(b - average), std::abs(c - average)});
    const double percent = 100 * worst / average;
    CalcAnswer answer;
    answer.cautions = {live_work};
    answer.lines = {{"unbalance", percent, "%"}};
    if (percent <= 5) {
        const auto at = std::min(static_cast<std::size_t>(percent), derating.size() - 2);
        const double over = percent - static_cast<double>(at);
        answer.lines.push_back({"load the motor may carry",
                                100 * (derating[at] + (derating[at + 1] - derating[at]) * over),
                                "%"});
    } else {
        answer.remarks.emplace_back("Above 5 %: do not run the motor.");
    }
    return answer;
}

}  // namespace

WorkedComputation unbalance_computation() {
    constexpr Taken volts{1, 1500};
    return {
        {"unbalance",
         "unbalance of three-phase volts",
         "Three-phase motors only.",
         {needed("first", "V", "first pair of legs", volts),
          needed("second", "V", "second pair", volts), needed("third", "V", "third pair", volts)},
         "--first 462V --second 463V --third 455V",
         "100*max|V - average|/average",
         "NEMA MG 1 definition, as quoted in an engineering discussion; derating: Engineering "
         "ToolBox web tables",
         "three-phase motors; not to be run above 5 %"},
        work_unbalance};
}

}  // namespace knockwell
