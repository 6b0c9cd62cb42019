// trade/motor_amps.cpp
//
// Currents of a single-phase motor by the code's tables, and what protects it.
//
// Formula  locked rotor = 6 * full load; conductor 125 %, overload 125 % (service factor from 1.15)
//          or 115 %, breaker up to 250 %, time-delay fuse 175 %
// Source   NFPA 70 National Electrical Code, 430.248, 430.251(A) (2008), 430.22, 430.32, 430.52, in
//          reproductions; 240.6(A), standard sizes, from memory
// Range    single phase, 115 and 230 V, 1/2 to 5 hp
// Care     the tables are for wire and breakers; a motor is judged against its nameplate or
//          service-factor amps
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

#include <algorithm>
#include <array>

namespace knockwell {
namespace {

struct MotorRow {
    const char* name;
    double amps_115;
    double amps_230;
};
constexpr auto motors = std::to_array<MotorRow>({{"0.5hp", 9.8, 4.9},
                                                 {"0.75hp", 13.8, 6.9},
                                                 {"1hp", 16, 8},
                                                 {"1.5hp", 20, 10},
                                                 {"2hp", 24, 12},
                                                 {"3hp", 34, 17},
                                                 {"5hp", 56, 28}});

/// The standard size that is not below: the next one above is allowed where a share is none
/// (430.52).
double standard_size(double amps) {
    constexpr std::array sizes{15., 20., 25., 30., 35.,  40.,  45.,  50.,
                               60., 70., 80., 90., 100., 110., 125., 150.};
    return *std::find_if(sizes.begin(), sizes.end(), [&](double size) { return size >= amps; });
}

Outcome<CalcAnswer> work_motor_amps(const CalcValues& values) {
    const MotorRow& row = motors[static_cast<std::size_t>(values.at("motor"))];
    const double full = values.at("volts") > 0 ? row.amps_230 : row.amps_115;
    const double plate = values.find("nameplate").value_or(full);
    CalcAnswer answer;
    answer.lines = {{"full load by the table", full, "A"},
                    {"locked rotor by the table", 6 * full, "A"},
                    {"locked rotor to full load", 6, ""},
                    {"least ampacity of the wire", 1.25 * full, "A"},
                    {"overload, service factor 1.15 or more", 1.25 * plate, "A"},
                    {"overload, other motors", 1.15 * plate, "A"},
                    {"largest breaker", 2.5 * full, "A"},
                    {"its next standard size", standard_size(2.5 * full), "A"},
                    {"largest time-delay fuse", 1.75 * full, "A"},
                    {"the fuse's next standard size", standard_size(1.75 * full), "A"}};
    answer.remarks = {"For wire and breakers only. Judge a motor against its nameplate or "
                      "service-factor amps; real motors lock at 4 to 7 times (common practice, no "
                      "source).",
                      "A breaker is never made larger to stop it from tripping."};
    return answer;
}

std::vector<std::string> motor_names() {
    std::vector<std::string> names;
    for (const MotorRow& row : motors)
        names.emplace_back(row.name);
    return names;
}

}  // namespace

WorkedComputation motor_amps_computation() {
    return {
        {"motor-amps",
         "amps of a single-phase motor by the code's tables, and its protection",
         "Full load, locked rotor, wire, overload, breaker, fuse.",
         {chosen_from("motor", motor_names(), "size of the motor"),
          chosen_from("volts", {"115V", "230V"}, "volts of the motor"),
          may_be_left_out("nameplate", "A", "amps on the nameplate", {0.1, 500})},
         "--motor 1hp --volts 230V",
         "tables; 6*I, 1.25*I, 1.15*I, 2.5*I, 1.75*I",
         "NFPA 70 National Electrical Code, 430.248, 430.251(A) (2008), 430.22, 430.32, 430.52, "
         "in reproductions; 240.6(A), standard sizes, from memory",
         "single phase, 1/2 to 5 hp"},
        work_motor_amps};
}

}  // namespace knockwell
