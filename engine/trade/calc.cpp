#include "trade/calc.hpp"

#include "base/nearest.hpp"
#include "base/quantity.hpp"
#include "base/words.hpp"
#include "trade/computations.hpp"

#include <algorithm>

namespace knockwell {
namespace {

std::vector<WorkedComputation> worked_computations() {
    std::vector<WorkedComputation> all = tank_computations();
    for (WorkedComputation& one : pump_computations())
        all.push_back(std::move(one));
    return all;
}

std::string unknown(const std::string& kind, const std::string& name,
                    const std::vector<std::string>& known) {
    const std::vector<std::string> near = nearest(name, known);
    const std::vector<std::string>& meant = near.empty() ? known : near;
    return "there is no " + kind + " '" + name + "'; " + (near.empty() ? "there is " : "perhaps ") +
           list_of(meant, near.empty() ? "and" : "or");
}

std::variant<double, std::string> read_input(const CalcInput& input, const std::string& text) {
    const auto parsed = parse_quantity(text);
    if (const auto* wrong = std::get_if<std::string>(&parsed))
        return input.name + ": " + *wrong;
    const auto converted = convert(std::get<Quantity>(parsed), input.unit);
    if (const auto* wrong = std::get_if<std::string>(&converted))
        return input.name + ": " + *wrong;
    return std::get<double>(converted);
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
                problems.push_back(input.name + ": is missing (" + input.help + ", " + input.unit +
                                   ")");
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

CalcInput needed(const char* name, const char* unit, const char* help) {
    return {name, unit, help, std::nullopt, false};
}

CalcInput may_be_left_out(const char* name, const char* unit, const char* help) {
    return {name, unit, help, std::nullopt, true};
}

std::vector<Computation> computations() {
    std::vector<Computation> all;
    for (WorkedComputation& one : worked_computations())
        all.push_back(std::move(one.computation));
    return all;
}

std::variant<CalcAnswer, std::vector<std::string>>
calculate(const std::string& name, const std::map<std::string, std::string>& inputs) {
    const std::vector<WorkedComputation> all = worked_computations();
    const auto one = std::find_if(all.begin(), all.end(), [&](const WorkedComputation& candidate) {
        return candidate.computation.name == name;
    });
    if (one == all.end()) {
        std::vector<std::string> known;
        for (const WorkedComputation& candidate : all)
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
    answer.source = one->computation.source;
    answer.range = one->computation.range;
    return answer;
}

}  // namespace knockwell
