// trade/calc.hpp
//
// The computations of this floor, callable by name with the words a person types.
//
// Given    a name and inputs as text: "drawdown", { tank: "20gal", precharge: "38 psi", ... }
// Wanted   labeled values with units, the formula, its source and range, what to watch out for
// Care     a front end prints the cautions before the values
// Held by  tests/trade/calc_test.cpp
#pragma once
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace knockwell {

struct CalcInput {
    std::string name;  // kebab-case, so that it serves as an option: --cut-in
    std::string unit;  // values are taken in this unit; text may use another of the same dimension
    std::string help;
    std::optional<std::string> standard;  // taken where nothing is said, in words such as "14.7psi"
    bool optional = false;             // may be left out; then something of the answer is left out
    double least = -1e15;              // values from here ...
    double most = 1e15;                // ... to here are taken
    std::vector<std::string> choices;  // words taken instead of a number; their place is the value
    bool operator==(const CalcInput&) const = default;
};

struct Computation {
    std::string name;   // kebab-case
    std::string title;  // a few words
    std::string says;   // a sentence or two
    std::vector<CalcInput> inputs;
    std::string example;  // inputs as options: "--cut-in 40psi"
    std::string formula;
    std::string source;  // publication, or "common practice, no source"
    std::string range;   // where it holds
    bool operator==(const Computation&) const = default;
};

struct CalcLine {
    std::string label;
    double value = 0;
    std::string unit;
    bool operator==(const CalcLine&) const = default;
};

struct CalcAnswer {
    std::vector<std::string> cautions;  // to be read before anything else; sentences
    std::vector<CalcLine> lines;        // at least one
    std::string formula;
    std::string source;
    std::string range;
    std::vector<std::string> remarks;  // sentences
    bool operator==(const CalcAnswer&) const = default;
};

/// Every computation, in the order of a help text.
[[nodiscard]] std::vector<Computation> computations();

/// The one of that name; nullptr where there is none.
[[nodiscard]] const Computation* computation_named(std::string_view name);

/// Works out `name` from texts by input name. Otherwise all that is wrong with the call: unknown
/// name or input, missing input, unreadable value, wrong unit, value out of range (lower case, no
/// full stop; they may quote the text as typed, so escape them before printing).
[[nodiscard]] std::variant<CalcAnswer, std::vector<std::string>>
calculate(const std::string& name, const std::map<std::string, std::string>& inputs);

}  // namespace knockwell
