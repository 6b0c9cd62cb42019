// trade/locked_rotor.cpp
//
// Amps of a locked motor from the code letter on its plate.
//
// Formula  A = 1000*kVA/hp*hp/V
// Source   NFPA 70 National Electrical Code, table 430.7(B), in a reproduction
// Range    single phase, letters G to N
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

#include <array>

namespace knockwell {
namespace {

struct Letter {
    const char* name;
    double least;  // kVA/hp
    double most;
};
constexpr auto letters = std::to_array<Letter>({{"G", 5.6, 6.29},
                                                {"H", 6.3, 7.09},
                                                {"J", 7.1, 7.99},
                                                {"K", 8.0, 8.99},
                                                {"L", 9.0, 9.99},
                                                {"M", 10.0, 11.19},
                                                {"N", 11.2, 12.49}});

Outcome<CalcAnswer> work_locked_rotor(const CalcValues& values) {
    const Letter& letter = letters[static_cast<std::size_t>(values.at("letter"))];
    const double each = 1000 * values.at("motor") / values.at("volts");
    CalcAnswer answer;
    answer.lines = {{"locked, at least", letter.least * each, "A"},
                    {"locked, at most", letter.most * each, "A"}};
    return answer;
}

}  // namespace

WorkedComputation locked_rotor_computation() {
    std::vector<std::string> names;
    for (const Letter& letter : letters)
        names.emplace_back(letter.name);
    return {{"locked-rotor",
             "amps of a locked motor from its code letter",
             "What a bound pump draws until its overload opens.",
             {chosen_from("letter", names, "code letter on the plate"),
              needed("motor", "hp", "size of the motor", {0.05, 100}),
              usually("volts", "V", "230V", "volts", {24, 1000})},
             "--letter K --motor 1hp",
             "1000*kVA/hp*hp/V",
             "NFPA 70 National Electrical Code, table 430.7(B), in a reproduction",
             "single phase, letters G to N"},
            work_locked_rotor};
}

}  // namespace knockwell
