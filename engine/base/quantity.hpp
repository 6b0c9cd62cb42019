// base/quantity.hpp
//
// A number with its unit, as a technician types it: "12psi", "1.5 bar", "7 years".
//
// Dimensions  pressure, flow, volume, length, speed, time, frequency, voltage, current, resistance,
//             resistance of a length of wire, capacitance, power, mass, temperature, concentration,
//             acidity, the saturation index, fraction
// Source      A. Thompson, B. N. Taylor, Guide for the Use of the International System of Units,
//             NIST Special Publication 811, 2008 edition, appendix B (from memory where no line of
//             tests/base/quantity_test.cpp says more). Exact: foot 0.3048 m, US gallon 231 in3,
//             pound 0.45359237 kg, standard gravity 9.80665 m/s2; psi, ftH2O and horsepower follow
//             from them
// Care        a foot of water here is the conventional one, 2.3067 ft to the psi; the trade's 2.31
//             stands in trade/head.hpp. ppm and mg/L are taken as equal, which holds for thin
//             solutions in water. A year has 365 days, a month is its twelfth part
#pragma once
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace knockwell {

/// A value in a unit. An empty unit is a plain number.
struct Quantity {
    double value = 0;
    std::string unit;  // as typed, blanks around it removed
    bool operator==(const Quantity&) const = default;
};

/// Reads a decimal number and, after it, a unit (with or without blanks between): one of the
/// tables, or any word of ASCII letters, with '-' or '/' between letters. Otherwise says what is
/// wrong (lower case, no full stop). Refused: no number, nan, infinity, hexadecimal, more than
/// 1e15 either way, more than 64 bytes, anything after the unit.
[[nodiscard]] std::variant<Quantity, std::string> parse_quantity(std::string_view text);

/// The value of `quantity` in `unit`. A plain number is taken as being in `unit` already; an empty
/// `unit` wants a plain number, and percent are then hundredths. A unit of no table converts to
/// itself only. Otherwise says what is wrong, such as "volts where psi is wanted".
[[nodiscard]] std::variant<double, std::string> convert(const Quantity& quantity,
                                                        std::string_view unit);

/// Whether `unit` stands in a table of units. Capitals matter where they tell units apart (mV,
/// MPa); "PSI" and "Gal" are taken as meant.
[[nodiscard]] bool known_unit(std::string_view unit);

/// Every spelling that stands in a table of units, but the empty one.
[[nodiscard]] std::vector<std::string> unit_spellings();

}  // namespace knockwell
