#include "trade/calc.hpp"

#include "base/nearest.hpp"
#include "base/quantity.hpp"
#include "base/words.hpp"
#include "trade/computations.hpp"

#include <algorithm>

namespace knockwell {
namespace {

std::vector<WorkedComputation> make_computations() {
    std::vector<WorkedComputation> all = tank_computations();
    for (WorkedComputation& one : pump_computations())
        all.push_back(std::move(one));
    for (const auto one :
         {// tank and flow
          air_share_computation, tank_size_computation, leak_rate_computation,
          refill_flow_computation, pipe_loss_computation, pipe_content_computation,
          hole_flow_computation, water_hammer_computation, plate_force_computation,
          // pump and well
          suction_lift_computation, pump_power_computation, shutoff_share_computation,
          speed_change_computation, well_storage_computation, recovery_computation,
          specific_capacity_computation, pump_down_computation, house_demand_computation,
          fixture_demand_computation,
          // electrics
          wire_drop_computation, volts_lost_computation, copper_computation, winding_computation,
          winding_heat_computation, three_wire_computation, insulation_computation,
          supply_volts_computation, unbalance_computation, motor_amps_computation,
          locked_rotor_computation, running_amps_computation, capacitor_computation,
          capacitor_bleed_computation, contact_heat_computation,
          // water
          saturation_computation, larson_computation, hardness_computation, galvanic_computation,
          disinfection_computation, dose_strength_computation, limit_computation})
        all.push_back(one());
    return all;
}

// Made once: a knowledge base asks for several of them each time it is read.
const std::vector<WorkedComputation>& worked_computations() {
    static const std::vector<WorkedComputation> all = make_computations();
    return all;
}

const WorkedComputation* find_computation(std::string_view name) {
    const auto& all = worked_computations();
    const auto one = std::find_if(all.begin(), all.end(), [&](const WorkedComputation& candidate) {
        return candidate.computation.name == name;
    });
    return one == all.end() ? nullptr : &*one;
}

std::string unknown(const std::string& kind, const std::string& name,
                    const std::vector<std::string>& known) {
    const std::vector<std::string> near = nearest(name, known);
    const std::vector<std::string>& meant = near.empty() ? known : near;
    return "there is no " + kind + " '" + name + "'; " + (near.empty() ? "there is " : "perhaps ") +
           list_of(meant, near.empty() ? "and" : "or");
}

std::variant<double, std::string> read_choice(const CalcInput& input, const std::string& text) {
    const auto at = std::find(input.choices.begin(), input.choices.end(), text);
    if (at != input.choices.end())
        return static_cast<double>(at - input.choices.begin());
    const std::vector<std::string> near = nearest(text, input.choices);
    return input.name + ": '" + text + "' is not among " +
           (near.empty() ? list_of(input.choices, "and")
                         : "the choices; perhaps " + list_of(near, "or"));
}

std::variant<double, std::string> read_input(const CalcInput& input, const std::string& text) {
    if (!input.choices.empty())
        return read_choice(input, text);
    const auto parsed = parse_quantity(text);
    if (const auto* wrong = std::get_if<std::string>(&parsed))
        return input.name + ": " + *wrong;
    const auto converted = convert(std::get<Quantity>(parsed), input.unit);
    if (const auto* wrong = std::get_if<std::string>(&converted))
        return input.name + ": " + *wrong;
    const double value = std::get<double>(converted);
    if (value >= input.least && value <= input.most)
        return value;
    return input.name + ": " + number(value) + (input.unit.empty() ? "" : " " + input.unit) +
           " is out of range (from " + number(input.least) + " to " + number(input.most) +
           (input.unit.empty() ? "" : " " + input.unit) + ")";
}

// Every input of the computation that is given or has a standard value; what is wrong goes to
// `problems`.
std::map<std::string, double> read_inputs(const Computation& computation,
                                          const std::map<std::string, std::string>& given,
                                          std::vector<std::string>& problems) {
    std::map<std::string, double> values;
    for (const CalcInput& input : computation.inputs) {
        const auto at = given.find(input.name);
        if (at == given.end() && !input.standard) {
            if (!input.optional)
                problems.push_back(input.name + ": is missing (" + input.help +
                                   (input.unit.empty() ? "" : ", " + input.unit) + ")");
            continue;
        }
        const auto value = read_input(input, at == given.end() ? *input.standard : at->second);
        if (const auto* wrong = std::get_if<std::string>(&value))
            problems.push_back(*wrong);
        else
            values[input.name] = std::get<double>(value);
    }
    return values;
}

void find_unknown_inputs(const Computation& computation,
                         const std::map<std::string, std::string>& given,
                         std::vector<std::string>& problems) {
    std::vector<std::string> known;
    for (const CalcInput& input : computation.inputs)
        known.push_back(input.name);
    for (const auto& [name, text] : given)
        if (std::find(known.begin(), known.end(), name) == known.end())
            problems.push_back(unknown("input", name, known));
}

}  // namespace

std::optional<double> CalcValues::find(const std::string& name) const {
    const auto at = values_.find(name);
    return at == values_.end() ? std::nullopt : std::optional<double>(at->second);
}

CalcInput needed(const char* name, const char* unit, const char* help, Taken taken) {
    return {name, unit, help, std::nullopt, false, taken.least, taken.most, {}};
}

CalcInput may_be_left_out(const char* name, const char* unit, const char* help, Taken taken) {
    return {name, unit, help, std::nullopt, true, taken.least, taken.most, {}};
}

CalcInput usually(const char* name, const char* unit, const char* standard, const char* help,
                  Taken taken) {
    return {name, unit, help, standard, false, taken.least, taken.most, {}};
}

CalcInput chosen_from(const char* name, std::vector<std::string> choices, const char* help) {
    return {name, "", help, std::nullopt, false, -1e15, 1e15, std::move(choices)};
}

std::vector<Computation> computations() {
    std::vector<Computation> all;
    for (const WorkedComputation& one : worked_computations())
        all.push_back(one.computation);
    return all;
}

const Computation* computation_named(std::string_view name) {
    const WorkedComputation* one = find_computation(name);
    return one == nullptr ? nullptr : &one->computation;
}

std::variant<CalcAnswer, std::vector<std::string>>
calculate(const std::string& name, const std::map<std::string, std::string>& inputs) {
    const WorkedComputation* one = find_computation(name);
    if (one == nullptr) {
        std::vector<std::string> known;
        for (const WorkedComputation& candidate : worked_computations())
            known.push_back(candidate.computation.name);
        return std::vector<std::string>{unknown("computation", name, known)};
    }

    std::vector<std::string> problems;
    find_unknown_inputs(one->computation, inputs, problems);
    std::map<std::string, double> values = read_inputs(one->computation, inputs, problems);
    if (!problems.empty())
        return problems;

    Outcome<CalcAnswer> outcome = one->work(CalcValues(std::move(values)));
    if (const auto* wrong = std::get_if<OutOfRange>(&outcome))
        return wrong->says;
    CalcAnswer answer = std::get<CalcAnswer>(std::move(outcome));
    answer.formula = one->computation.formula;
    if (answer.source.empty())  // a table gives the source of its row
        answer.source = one->computation.source;
    answer.range = one->computation.range;
    return answer;
}

}  // namespace knockwell
