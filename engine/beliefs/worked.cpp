#include "beliefs/worked.hpp"

#include "base/quantity.hpp"
#include "base/words.hpp"
#include "beliefs/likelihood.hpp"
#include "trade/calc.hpp"

#include <algorithm>
#include <map>
#include <vector>

namespace knockwell {
namespace {

using Inputs = std::map<std::string, std::string>;

std::variant<Inputs, std::string> split_inputs(std::string_view text) {
    Inputs inputs;
    while (true) {
        const std::size_t comma = text.find(',');
        const std::string_view part = text.substr(0, comma);
        const std::size_t equals = part.find('=');
        if (equals == std::string_view::npos)
            return in_quotes(trimmed(part)) + " is no input=number";
        const std::string name(trimmed(part.substr(0, equals)));
        if (!inputs.emplace(name, trimmed(part.substr(equals + 1))).second)
            return in_quotes(name) + " is typed twice";
        if (comma == std::string_view::npos)
            return inputs;
        text = text.substr(comma + 1);
    }
}

/// "38 psi", where that quantity is known.
std::optional<std::string> quantity_in_words(const Knowledge& knowledge,
                                             const std::string& quantity, const Evidence& known) {
    const std::optional<double> value = known_quantity(knowledge, known, quantity);
    if (!value)
        return std::nullopt;
    return to_the_last_digit(*value) + " " + knowledge[*giver_of(knowledge, quantity)].unit;
}

/// What the computation complains of but for inputs that are left open.
std::string without_those(const std::vector<std::string>& problems,
                          const std::vector<TakenInput>& left_open) {
    std::string all;
    for (const std::string& problem : problems) {
        const bool open =
            std::any_of(left_open.begin(), left_open.end(), [&](const TakenInput& one) {
                return problem.starts_with(one.input + ": is missing");
            });
        if (!open)
            all += (all.empty() ? "" : "; ") + escape_controls(problem);
    }
    return all;
}

std::variant<std::optional<double>, std::string> reading_of(const CalcAnswer& answer,
                                                            const Reading& reading) {
    for (const CalcLine& line : answer.lines) {
        if (line.label != reading.worked->line)
            continue;
        const auto value = convert({line.value, line.unit}, reading.unit);
        if (const auto* why = std::get_if<std::string>(&value))
            return escape_controls(*why);
        return std::optional<double>(std::get<double>(value));
    }
    return "'" + reading.worked->line + "' does not follow from these; give " +
           inputs_to_type(*reading.worked);
}

}  // namespace

std::string inputs_to_type(const WorkedOut& worked) {
    std::vector<std::string> typed;
    std::vector<std::string> taken;
    const Computation* computation = computation_named(worked.by);
    const std::vector<CalcInput> none;
    for (const CalcInput& input : computation == nullptr ? none : computation->inputs) {
        const bool takes =
            std::any_of(worked.takes.begin(), worked.takes.end(),
                        [&](const TakenInput& it) { return it.input == input.name; });
        if (takes)
            taken.push_back(input.name + "=...");
        else if (!input.standard)
            typed.push_back(input.name + "=...");
    }
    std::string text;
    for (const std::string& one : typed)
        text += (text.empty() ? "" : ",") + one;
    if (!taken.empty())
        text += " (with " + list_of(taken, "and") + " where not set)";
    return text;
}

std::variant<std::optional<double>, std::string> worked_reading(const Knowledge& knowledge,
                                                                const Reading& reading,
                                                                std::string_view text,
                                                                const Evidence* known) {
    auto split = split_inputs(text);
    if (const auto* why = std::get_if<std::string>(&split))
        return *why + "; give " + inputs_to_type(*reading.worked);
    Inputs inputs = std::get<Inputs>(std::move(split));
    std::vector<TakenInput> left_open;
    for (const TakenInput& one : reading.worked->takes) {
        if (inputs.contains(one.input))
            continue;
        const auto value =
            known == nullptr ? std::nullopt : quantity_in_words(knowledge, one.quantity, *known);
        if (value)
            inputs[one.input] = *value;
        else
            left_open.push_back(one);
    }
    const auto answer = calculate(reading.worked->by, inputs);
    if (const auto* problems = std::get_if<std::vector<std::string>>(&answer))
        if (std::string wrong = without_those(*problems, left_open); !wrong.empty())
            return wrong;
    // What a setting gives is never taken as the computation's standard: 115 V is not half of 230.
    if (left_open.empty())
        return reading_of(std::get<CalcAnswer>(answer), reading);
    if (known == nullptr)
        return std::optional<double>();
    std::vector<std::string> names;
    for (const TakenInput& one : left_open)
        names.push_back(one.quantity);
    return list_of(names, "and") + (names.size() == 1 ? " is" : " are") + " not known yet; set " +
           (names.size() == 1 ? "it" : "them") + " first, or type " + left_open.front().input +
           "=... with the others";
}

}  // namespace knockwell
