#include "trade/cycle.hpp"

namespace knockwell {
namespace {

constexpr double minutes_per_hour = 60;

void check_pump(RangeCheck& check, double drawdown_gal, double pump_gpm) {
    check.between("drawdown", drawdown_gal, 0, 10000, "gal", true);
    check.between("pump-flow", pump_gpm, 0, 1000, "gpm", true);
}

Cycle cycle_at(double drawdown_gal, double pump_gpm, double demand_gpm) {
    const double off = drawdown_gal / demand_gpm;
    const double run = drawdown_gal / (pump_gpm - demand_gpm);
    return Cycle{off, run, off + run, minutes_per_hour / (off + run)};
}

}  // namespace

Outcome<Cycle> cycle(const CycleInputs& inputs) {
    RangeCheck check;
    check_pump(check, inputs.drawdown_gal, inputs.pump_gpm);
    check.between("demand", inputs.demand_gpm, 0, 1000, "gpm", true);
    if (check.fine())
        check.demand(inputs.demand_gpm < inputs.pump_gpm,
                     "demand: at or above the pump's flow the pump never stops");
    if (!check.fine())
        return check.wrong();
    return cycle_at(inputs.drawdown_gal, inputs.pump_gpm, inputs.demand_gpm);
}

Outcome<Cycle> shortest_cycle(double drawdown_gal, double pump_gpm) {
    RangeCheck check;
    check_pump(check, drawdown_gal, pump_gpm);
    if (!check.fine())
        return check.wrong();
    return cycle_at(drawdown_gal, pump_gpm, pump_gpm / 2);
}

Outcome<StartsCeiling> starts_ceiling(double hp) {
    RangeCheck check;
    check.between("motor", hp, 0, 100, "hp", true);
    if (!check.fine())
        return check.wrong();
    constexpr double small_motor_hp = 0.75;
    return StartsCeiling{hp <= small_motor_hp ? 15.0 : 7.5, 300};
}

}  // namespace knockwell
