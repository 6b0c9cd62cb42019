#include "trade/computations.hpp"
#include "trade/drawdown.hpp"
#include "trade/precharge.hpp"
#include "trade/tank_weight.hpp"

namespace knockwell {
namespace {

constexpr const char* read_it_drained =
    "Read or change the precharge only with the power locked out and every leg proved dead, and "
    "the tank drained until an opened drain stops running; a drained tank still holds its air, so "
    "loosen nothing on it.";
constexpr const char* not_above_plate = "Never add air above the pressure on the tank's plate.";
constexpr const char* sick_tank =
    "Keep away from a tank that is swollen, rusted through or above its plate pressure: no "
    "knocking, no rocking. Never lift a tank to weigh it.";
constexpr const char* plate_overrules =
    "The tank's plate, local code and licensed practice overrule these figures.";
constexpr const char* drawdown_source =
    "How to calculate and control pressure tank drawdown (National Driller, Feb 2006)";

CalcInput atmosphere() {
    return usually("atmosphere", "psi", "14.7psi",
                   "pressure of the air: 14.7 psi at sea level, 11.8 psi at 6,000 ft");
}

Outcome<CalcAnswer> work_drawdown(const CalcValues& values) {
    const auto outcome = drawdown({values.at("tank"), values.at("precharge"), values.at("cut-in"),
                                   values.at("cut-out"), values.at("atmosphere")});
    if (const auto* wrong = std::get_if<OutOfRange>(&outcome))
        return *wrong;
    const auto& found = std::get<Drawdown>(outcome);
    CalcAnswer answer;
    answer.cautions = {read_it_drained};
    answer.lines = {{"drawdown", found.drawdown_gal, "gal"},
                    {"share of the tank", found.factor * 100, "%"}};
    if (found.empty_at_start)
        answer.remarks.emplace_back("The precharge is above cut-in: the tank runs empty before the "
                                    "pump starts, and the pressure drops out at each start.");
    answer.remarks.emplace_back(plate_overrules);
    return answer;
}

Outcome<CalcAnswer> work_air_left(const CalcValues& values) {
    const auto outcome = air_left_drawdown(
        {values.at("air"), values.at("cut-in"), values.at("cut-out"), values.at("atmosphere")});
    if (const auto* wrong = std::get_if<OutOfRange>(&outcome))
        return *wrong;
    CalcAnswer answer;
    answer.cautions = {sick_tank};
    answer.lines = {{"drawdown", std::get<double>(outcome), "gal"}};
    answer.remarks = {"A tank with a burst bladder gives what a much smaller tank would give.",
                      plate_overrules};
    return answer;
}

const char* words_for(PrechargeVerdict verdict) {
    switch (verdict) {
    case PrechargeVerdict::low:
        return "The precharge is low: the drawdown is smaller than it could be.";
    case PrechargeVerdict::high:
        return "The precharge is high: the tank may run empty before the pump starts.";
    case PrechargeVerdict::right:
        break;
    }
    return "The precharge is right (within 2 psi, common practice, no source).";
}

Outcome<CalcAnswer> work_precharge(const CalcValues& values) {
    CalcAnswer answer;
    answer.cautions = {read_it_drained, not_above_plate};
    if (const auto measured = values.find("measured")) {
        const auto judged = judge_precharge(values.at("cut-in"), *measured);
        if (const auto* wrong = std::get_if<OutOfRange>(&judged))
            return *wrong;
        const auto& reading = std::get<PrechargeReading>(judged);
        answer.lines = {{"wanted precharge", reading.wanted_psi, "psi"},
                        {"measured minus wanted", reading.off_by_psi, "psi"}};
        answer.remarks = {words_for(reading.verdict), plate_overrules};
        return answer;
    }
    const auto outcome = wanted_precharge(values.at("cut-in"));
    if (const auto* wrong = std::get_if<OutOfRange>(&outcome))
        return *wrong;
    answer.lines = {{"wanted precharge", std::get<double>(outcome), "psi"}};
    answer.remarks = {plate_overrules};
    return answer;
}

Outcome<CalcAnswer> work_drive_precharge(const CalcValues& values) {
    const auto outcome = wanted_drive_precharge(values.at("set-pressure"));
    if (const auto* wrong = std::get_if<OutOfRange>(&outcome))
        return *wrong;
    CalcAnswer answer;
    answer.cautions = {read_it_drained, not_above_plate};
    answer.lines = {{"wanted precharge", std::get<double>(outcome), "psi"}};
    answer.remarks = {"The drive's own sheet overrules this figure.", plate_overrules};
    return answer;
}

Outcome<CalcAnswer> work_tank_weight(const CalcValues& values) {
    const auto outcome = tank_water({values.at("tank"), values.at("precharge"),
                                     values.at("pressure"), values.at("atmosphere")});
    if (const auto* wrong = std::get_if<OutOfRange>(&outcome))
        return *wrong;
    const auto& found = std::get<TankWater>(outcome);
    CalcAnswer answer;
    answer.cautions = {sick_tank};
    answer.lines = {{"water in the tank", found.water_gal, "gal"},
                    {"weight of that water", found.water_lb, "lb"},
                    {"weight of the water if waterlogged", found.waterlogged_lb, "lb"}};
    answer.remarks = {"The empty tank's own weight comes on top.", plate_overrules};
    return answer;
}

}  // namespace

std::vector<WorkedComputation> tank_computations() {
    const CalcInput cut_in =
        needed("cut-in", "psi", "pressure at which the switch starts the pump");
    const CalcInput cut_out =
        needed("cut-out", "psi", "pressure at which the switch stops the pump");
    const CalcInput tank = needed("tank", "gal", "whole volume of the tank");
    const CalcInput precharge =
        needed("precharge", "psi", "air charge, read with the tank drained");
    return {
        {{"drawdown",
          "water a tank gives between cut-out and cut-in",
          "Boyle's law with absolute pressures, bladder whole.",
          {tank, precharge, cut_in, cut_out, atmosphere()},
          "--tank 20gal --precharge 38psi --cut-in 40psi --cut-out 60psi",
          "V*((Pp+Pa)/(Pci+Pa) - (Pp+Pa)/(Pco+Pa)); with the precharge above cut-in, Pp stands for "
          "Pci",
          drawdown_source,
          "gauge pressures of 0 to 300 psi, steady temperature, bladder whole"},
         work_drawdown},
        {{"air-left",
          "water a waterlogged tank gives",
          "What is left of the drawdown when only some air remains at cut-in.",
          {needed("air", "gal", "air in the tank at cut-in"), cut_in, cut_out, atmosphere()},
          "--air 5gal --cut-in 30psi --cut-out 50psi",
          "Vair*(1 - (Pci+Pa)/(Pco+Pa))",
          drawdown_source,
          "gauge pressures of 0 to 300 psi, steady temperature"},
         work_air_left},
        {{"precharge",
          "air charge a tank on a pressure switch wants",
          "A little under cut-in; a reading is judged against it.",
          {cut_in, may_be_left_out("measured", "psi", "air charge, read with the tank drained")},
          "--cut-in 40psi --measured 31psi",
          "Pci - 2 psi",
          "Tech Topics: pressure tanks; Determining the amount of usable water in pressure tanks "
          "(National Driller, c. 2006, repeated 2011)",
          "cut-in of 10 to 100 psi"},
         work_precharge},
        {{"drive-precharge",
          "air charge a tank on a constant-pressure drive wants",
          "A share of the set pressure.",
          {needed("set-pressure", "psi", "pressure that the drive holds")},
          "--set-pressure 50psi",
          "0.70*Pset",
          "common practice, no source",
          "set pressure of 10 to 100 psi"},
         work_drive_precharge},
        {{"tank-weight",
          "water in a tank at a pressure, and its weight",
          "A healthy tank is nearly empty at cut-in; a waterlogged one is full.",
          {tank, precharge, needed("pressure", "psi", "pressure in the tank"), atmosphere()},
          "--tank 44gal --precharge 38psi --pressure 60psi",
          "V*(1 - (Pp+Pa)/(P+Pa)), 8.34 lb to the gallon",
          "first principles (Boyle); weight of water: NWCG Table 3.1 Water handling unit "
          "estimations "
          "(US National Wildfire Coordinating Group), there rounded to 8.3",
          "gauge pressures of 0 to 300 psi, cold fresh water, bladder whole"},
         work_tank_weight},
    };
}

}  // namespace knockwell
