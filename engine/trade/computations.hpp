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

/// Cautions, lines and remarks; formula and range are the computation's own, the source too where
/// none is filled in.
using CalcWork = Outcome<CalcAnswer> (*)(const CalcValues&);

struct WorkedComputation {
    Computation computation;
    CalcWork work = nullptr;
};

/// What an input can be, in its unit, both ends allowed.
struct Taken {
    double least = -1e15;
    double most = 1e15;
};

[[nodiscard]] CalcInput needed(const char* name, const char* unit, const char* help,
                               Taken taken = {});
[[nodiscard]] CalcInput may_be_left_out(const char* name, const char* unit, const char* help,
                                        Taken taken = {});
/// Taken as `standard` where nothing is said.
[[nodiscard]] CalcInput usually(const char* name, const char* unit, const char* standard,
                                const char* help, Taken taken = {});
/// One of these words; the value is its place among them.
[[nodiscard]] CalcInput chosen_from(const char* name, std::vector<std::string> choices,
                                    const char* help);

/// Cautions that more than one computation gives.
inline constexpr const char* live_work =
    "Energized only to measure: a qualified person, insulated tools, dry footing, hands off what "
    "is measured. 115 V kills as 230 V does.";
inline constexpr const char* proved_dead =
    "Power off, locked and proved dead on every leg before a lead comes off; never an ohm or a "
    "megohm test on a live circuit or into a drive.";
inline constexpr const char* never_mix =
    "Never mix chlorine with acid or ammonia: the fumes kill. Goggles, gloves, fresh air; dry "
    "chlorine into water and never water onto it.";

// One computation a file: formula, source and range stand there.
[[nodiscard]] WorkedComputation air_share_computation();
[[nodiscard]] WorkedComputation capacitor_computation();
[[nodiscard]] WorkedComputation capacitor_bleed_computation();
[[nodiscard]] WorkedComputation contact_heat_computation();
[[nodiscard]] WorkedComputation copper_computation();
[[nodiscard]] WorkedComputation disinfection_computation();
[[nodiscard]] WorkedComputation dose_strength_computation();
[[nodiscard]] WorkedComputation fixture_demand_computation();
[[nodiscard]] WorkedComputation galvanic_computation();
[[nodiscard]] WorkedComputation hardness_computation();
[[nodiscard]] WorkedComputation hole_flow_computation();
[[nodiscard]] WorkedComputation house_demand_computation();
[[nodiscard]] WorkedComputation insulation_computation();
[[nodiscard]] WorkedComputation larson_computation();
[[nodiscard]] WorkedComputation leak_rate_computation();
[[nodiscard]] WorkedComputation limit_computation();
[[nodiscard]] WorkedComputation locked_rotor_computation();
[[nodiscard]] WorkedComputation motor_amps_computation();
[[nodiscard]] WorkedComputation pipe_content_computation();
[[nodiscard]] WorkedComputation pipe_loss_computation();
[[nodiscard]] WorkedComputation plate_force_computation();
[[nodiscard]] WorkedComputation pump_down_computation();
[[nodiscard]] WorkedComputation pump_power_computation();
[[nodiscard]] WorkedComputation recovery_computation();
[[nodiscard]] WorkedComputation refill_flow_computation();
[[nodiscard]] WorkedComputation running_amps_computation();
[[nodiscard]] WorkedComputation saturation_computation();
[[nodiscard]] WorkedComputation shutoff_share_computation();
[[nodiscard]] WorkedComputation specific_capacity_computation();
[[nodiscard]] WorkedComputation speed_change_computation();
[[nodiscard]] WorkedComputation suction_lift_computation();
[[nodiscard]] WorkedComputation supply_volts_computation();
[[nodiscard]] WorkedComputation tank_size_computation();
[[nodiscard]] WorkedComputation three_wire_computation();
[[nodiscard]] WorkedComputation unbalance_computation();
[[nodiscard]] WorkedComputation volts_lost_computation();
[[nodiscard]] WorkedComputation water_hammer_computation();
[[nodiscard]] WorkedComputation well_storage_computation();
[[nodiscard]] WorkedComputation winding_computation();
[[nodiscard]] WorkedComputation winding_heat_computation();
[[nodiscard]] WorkedComputation wire_drop_computation();

/// Tank: drawdown, air-left, precharge, drive-precharge, tank-weight.
[[nodiscard]] std::vector<WorkedComputation> tank_computations();

/// Pump: head, pressure, total-head, cycle, deadhead.
[[nodiscard]] std::vector<WorkedComputation> pump_computations();

}  // namespace knockwell
