#include "base/words.hpp"
#include "trade/atmosphere.hpp"
#include "trade/computations.hpp"
#include "trade/cycle.hpp"
#include "trade/deadhead.hpp"
#include "trade/head.hpp"

namespace knockwell {
namespace {

constexpr const char* water_source =
    "NWCG Table 3.1 Water handling unit estimations (US National Wildfire Coordinating Group)";
constexpr const char* cold_water = "cold fresh water, heads of 0 to 3000 ft";
constexpr const char* vessel_hazard =
    "This pressure is above the tank's plate, or too near it: a pump that never stops can burst "
    "the tank. Keep "
    "everybody away from it, switch the pump off at its breaker, lock it off, and have a licensed "
    "person find out why it did not stop.";
constexpr const char* compare_plate =
    "Compare with the pressure on the tank's plate before anything else; if it is above, a pump "
    "that never stops can burst the tank. Keep away, switch the pump off at its breaker and lock "
    "it.";

Outcome<CalcAnswer> one_line(const char* label, const Outcome<double>& outcome, const char* unit) {
    if (const auto* wrong = std::get_if<OutOfRange>(&outcome))
        return *wrong;
    CalcAnswer answer;
    answer.lines = {{label, std::get<double>(outcome), unit}};
    return answer;
}

Outcome<CalcAnswer> work_head(const CalcValues& values) {
    return one_line("head", head_of_pressure(values.at("pressure")), "ft");
}

Outcome<CalcAnswer> work_pressure(const CalcValues& values) {
    return one_line("pressure", pressure_of_head(values.at("head")), "psi");
}

Outcome<CalcAnswer> work_total_head(const CalcValues& values) {
    return one_line("total dynamic head",
                    total_head({values.at("lift"), values.at("friction"), values.at("pressure")}),
                    "ft");
}

void add_cycle(CalcAnswer& answer, const Cycle& found) {
    answer.lines.push_back({"pump rests", found.off_min, "min"});
    answer.lines.push_back({"pump runs", found.run_min, "min"});
    answer.lines.push_back({"whole cycle", found.cycle_min, "min"});
    answer.lines.push_back({"starts", found.starts_per_hour, "1/h"});
}

// What the motor may be given, against the draw that starts it most often.
void add_ceiling(CalcAnswer& answer, const StartsCeiling& ceiling, const Cycle& worst,
                 double motor_hp) {
    answer.lines.push_back({"most starts the motor may be given", ceiling.per_hour, "1/h"});
    const bool too_many = worst.starts_per_hour > ceiling.per_hour;
    answer.remarks.emplace_back(
        too_many ? "The pump can start more often than its motor may: the drawdown is too small."
                 : "Even at the worst draw the motor starts no more often than it may.");
    answer.remarks.push_back("Over a day the ceiling is " + number(ceiling.per_day) +
                             " starts, for motors of any size.");
    if (motor_hp >= 1)
        answer.remarks.emplace_back(
            "Makers of motors from 1 hp on often ask for no more than 100 a "
            "day (from memory); where the sheet says so, it holds.");
}

Outcome<CalcAnswer> work_cycle(const CalcValues& values) {
    const double drawdown = values.at("drawdown");
    const double flow = values.at("pump-flow");
    const auto demand = values.find("demand");
    const auto worst = shortest_cycle(drawdown, flow);
    const auto at_draw = demand ? cycle({drawdown, flow, *demand}) : worst;
    const auto motor = values.find("motor");
    const auto ceiling = starts_ceiling(motor.value_or(1));

    OutOfRange wrong;
    const Cycle* found = value_or_collect(at_draw, wrong);
    const StartsCeiling* allowed = value_or_collect(ceiling, wrong);
    const Cycle* shortest = std::get_if<Cycle>(&worst);
    if (!found || !allowed || !shortest)
        return wrong;

    CalcAnswer answer;
    if (demand)
        add_cycle(answer, *found);
    answer.lines.push_back({"shortest cycle", shortest->cycle_min, "min"});
    answer.lines.push_back({"most starts", shortest->starts_per_hour, "1/h"});
    if (motor)
        add_ceiling(answer, *allowed, *shortest, *motor);
    answer.remarks.emplace_back(
        "The drawdown must be the true one: check the precharge first. The motor's own plate or "
        "sheet overrules the ceilings.");
    return answer;
}

Outcome<CalcAnswer> work_deadhead(const CalcValues& values) {
    const auto plate = values.find("plate");
    RangeCheck check;
    check.between("plate", plate.value_or(1), 0, highest_gauge_psi, "psi", true);
    OutOfRange wrong = check.wrong();
    const auto outcome = deadhead_psi({values.at("shutoff-head"), values.at("static-lift")});
    const double* psi = value_or_collect(outcome, wrong);
    if (!wrong.says.empty())
        return wrong;

    CalcAnswer answer;
    if (!plate || *psi > near_the_plate * *plate)
        answer.cautions.emplace_back(plate ? vessel_hazard : compare_plate);
    answer.lines = {{"pressure at the tank", *psi, "psi"}};
    if (plate)
        answer.lines.push_back({"room below the plate", *plate - *psi, "psi"});
    answer.remarks = {
        "No water flows, so the well stands at its static level; the pumping level would make the "
        "danger look smaller. Where static is unknown, take the shallowest that can be believed.",
        "A relief valve must pass the pump's whole flow and be set no higher than the plate; local "
        "code overrules."};
    return answer;
}

}  // namespace

std::vector<WorkedComputation> pump_computations() {
    const CalcInput pressure = needed("pressure", "psi", "pressure at the tank");
    return {
        {{"head",
          "feet of water for a pressure",
          "The column of water that a pressure carries.",
          {needed("pressure", "psi", "gauge pressure")},
          "--pressure 40psi",
          "2.31*psi",
          water_source,
          cold_water},
         work_head},
        {{"pressure",
          "pressure for feet of water",
          "The pressure at the foot of a column of water.",
          {needed("head", "ft", "height of the column")},
          "--head 100ft",
          "ft/2.31",
          water_source,
          cold_water},
         work_pressure},
        {{"total-head",
          "total dynamic head of a pump at work",
          "Lift from the pumping level, friction, and the pressure at the tank.",
          {needed("lift", "ft", "pumping level to the tank"),
           needed("friction", "ft", "friction in drop pipe and line"), pressure},
          "--lift 180ft --friction 8ft --pressure 60psi",
          "lift + friction + 2.31*psi",
          "first principles; " + std::string(water_source),
          cold_water},
         work_total_head},
        {{"cycle",
          "how long a pump rests and runs, and how often it starts",
          "At a steady draw, and at the draw that starts it most often.",
          {needed("drawdown", "gal", "true drawdown of the tank"),
           needed("pump-flow", "gpm", "flow of the pump"),
           may_be_left_out("demand", "gpm", "steady draw; without it only the worst draw is shown"),
           may_be_left_out("motor", "hp",
                           "size of the motor, to compare with what it may be given")},
          "--drawdown 10gal --pump-flow 10gpm --demand 3gpm --motor 0.5hp",
          "Vd/D + Vd/(Qp-D); worst at D = Qp/2: 4*Vd/Qp, 15*Qp/Vd starts an hour",
          "first principles; Water System Design Manual (Washington State Dept. of Health, Dec "
          "2009), "
          "eq. 11-1; ceilings: Performance standard for pressurized water storage tanks, foreword "
          "(reproduced extract)",
          "steady draw below the pump's flow"},
         work_cycle},
        {{"deadhead",
          "pressure at the tank if the pump never stops",
          "A welded or blind switch lets the pump build this pressure.",
          {needed("shutoff-head", "ft", "the pump's head at no flow, from its curve"),
           needed("static-lift", "ft", "standing water level to the tank"),
           may_be_left_out("plate", "psi", "pressure on the tank's plate")},
          "--shutoff-head 400ft --static-lift 150ft --plate 100psi",
          "(shut-off head - static lift)/2.31",
          "first principles; " + std::string(water_source),
          cold_water},
         work_deadhead},
    };
}

}  // namespace knockwell
