// trade/computations.hpp
//
// The table behind trade/calc.hpp: each computation with the function that fills its answer.
#pragma once
#include "trade/calc.hpp"
#include "trade/outcome.hpp"

#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace knockwell {

/// Inputs in the units that the computation names. Asking for one that is neither given nor
/// optional is a mistake of ours.
class CalcValues {
public:
    explicit CalcValues(std::map<std::string, double> values) : values_(std::move(values)) {}
    [[nodiscard]] double at(const std::string& name) const { return values_.at(name); }
    [[nodiscard]] std::optional<double> find(const std::string& name) const;

private:
    std::map<std::string, double> values_;
};

/// Cautions, lines and remarks; formula, source and range are the computation's own.
using CalcWork = Outcome<CalcAnswer> (*)(const CalcValues&);

struct WorkedComputation {
    Computation computation;
    CalcWork work = nullptr;
};

[[nodiscard]] CalcInput needed(const char* name, const char* unit, const char* help);
[[nodiscard]] CalcInput may_be_left_out(const char* name, const char* unit, const char* help);

/// Tank: drawdown, air-left, precharge, drive-precharge, tank-weight.
[[nodiscard]] std::vector<WorkedComputation> tank_computations();

/// Pump: head, pressure, total-head, cycle, deadhead.
[[nodiscard]] std::vector<WorkedComputation> pump_computations();

}  // namespace knockwell
