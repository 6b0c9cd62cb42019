// `worked_out` of an observation: the computation that gives its reading.
#include "base/quantity.hpp"
#include "knowledge/fields.hpp"
#include "trade/calc.hpp"

#include <algorithm>
#include <sstream>

namespace knockwell {
namespace {

/// The answer to the computation's own example, which shows every line that it can give.
CalcAnswer answer_to_example(const Computation& computation) {
    std::map<std::string, std::string> inputs;
    std::istringstream in(computation.example);
    for (std::string option, text; in >> option >> text;)
        inputs[option.substr(2)] = text;
    auto answer = calculate(computation.name, inputs);
    auto* given = std::get_if<CalcAnswer>(&answer);
    return given == nullptr ? CalcAnswer{} : std::move(*given);
}

/// What is said of a line that the computation does not give, or gives in another unit.
void check_line(ReadRun& run, const Word& line, const Computation& computation,
                const std::string& what, const std::string& unit) {
    const CalcAnswer answer = answer_to_example(computation);
    const auto at = std::find_if(answer.lines.begin(), answer.lines.end(),
                                 [&](const CalcLine& one) { return one.label == line.text; });
    if (at == answer.lines.end()) {
        std::vector<std::string> labels;
        for (const CalcLine& one : answer.lines)
            labels.push_back(one.label);
        run.error("bad-computation", line.span,
                  "'" + computation.name + "' gives no line '" + line.text + "'",
                  "it gives " + some_of(labels));
        return;
    }
    if (!known_unit(unit))
        return;
    const auto converted = convert({1, at->unit}, unit);
    if (const auto* why = std::get_if<std::string>(&converted))
        run.error("bad-computation", line.span, what + " does not fit its reading: " + *why,
                  "the reading's unit is that of the line, or of its kind");
}

/// The quantity that settings give for an input, or nothing and a problem.
bool takes_fit(ReadRun& run, const Word& quantity, const CalcInput& input,
               const std::string& what) {
    const Setting* from = look_up_quantity(run, quantity.text, quantity.span, what, "takes");
    if (from == nullptr)
        return false;
    const Setting& giver = *from;
    if (!known_unit(giver.unit))
        return false;
    const auto converted = convert({1, giver.unit}, input.unit);
    if (const auto* why = std::get_if<std::string>(&converted)) {
        run.error("bad-computation", quantity.span,
                  "'" + quantity.text + "' does not fit input '" + input.name + "': " + *why,
                  "take a quantity of the input's kind", {{giver.head.span, "its setting"}});
        return false;
    }
    return true;
}

std::vector<TakenInput> read_takes(ReadRun& run, const Entry& takes, const Computation& computation,
                                   const std::string& what) {
    std::vector<TakenInput> all;
    std::vector<std::string> inputs;
    for (const CalcInput& input : computation.inputs)
        inputs.push_back(input.name);
    for (const Entry& entry : takes.value.entries()) {
        const std::string name(entry.key);
        const auto quantity = as_text(run, entry.value, "'" + name + "' of " + what);
        const auto input = std::find_if(computation.inputs.begin(), computation.inputs.end(),
                                        [&](const CalcInput& one) { return one.name == name; });
        if (input == computation.inputs.end()) {
            run.error("bad-computation", entry.key_span,
                      "'" + computation.name + "' has no input '" + name + "'",
                      write_instead(run, name, inputs, "it is given " + some_of(inputs)));
            continue;
        }
        if (quantity && takes_fit(run, {*quantity, entry.value.span}, *input, what))
            all.push_back({name, std::string(*quantity)});
    }
    return all;
}

}  // namespace

std::optional<WorkedOut> read_worked_out(Fields& fields, ReadRun& run, const std::string& unit) {
    const Entry* table = fields.entry("worked_out", Node::Kind::table);
    if (table == nullptr)
        return std::nullopt;
    const std::string what = fields.what("worked_out").text();
    Fields parts(run, table->value, table->key_span, what);
    const auto by = parts.word("by", Must::must);
    const auto line = parts.word("line", Must::must);
    const Entry* takes = parts.entry("takes", Node::Kind::table);
    parts.finish();
    if (!by || !line)
        return std::nullopt;
    const Computation* computation = computation_named(by->text);
    if (computation == nullptr) {
        std::vector<std::string> names;
        for (const Computation& one : computations())
            names.push_back(one.name);
        run.error("unknown-computation", by->span,
                  what + " names the computation '" + by->text + "', which does not exist",
                  write_instead(run, by->text, names, "knockwell calc lists them"));
        return std::nullopt;
    }
    check_line(run, *line, *computation, what, unit);
    WorkedOut worked{std::string(by->text), std::string(line->text), {}};
    if (takes != nullptr)
        worked.takes = read_takes(run, *takes, *computation, what);
    return worked;
}

}  // namespace knockwell
