#include "base/quantity.hpp"

#include "base/words.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <optional>
#include <system_error>

namespace knockwell {
namespace {

enum class Dimension {
    pressure,
    flow,
    volume,
    length,
    time,
    voltage,
    current,
    resistance,
    capacitance,
    power,
    mass,
    temperature,
    concentration,
    speed,
    frequency,
    wire_resistance,
    acidity,
    saturation,
    fraction
};

// One spelling of a unit: value in the SI unit = (value + offset) * factor.
struct Unit {
    std::string_view spelling;
    Dimension dimension;
    double factor;
    std::string_view says;  // what messages call it
    double offset = 0;
};

constexpr double foot = 0.3048;
constexpr double inch = 0.0254;
constexpr double gravity = 9.80665;
constexpr double pound = 0.45359237;
constexpr double gallon = 231 * inch * inch * inch;
constexpr double liter = 1e-3;
constexpr double psi = pound * gravity / (inch * inch);
constexpr double meter_of_water = 1000 * gravity;  // pascal, conventional
constexpr double foot_of_water = foot * meter_of_water;
constexpr double horsepower = 550 * foot * pound * gravity;
constexpr double day = 86400;
constexpr double year = 365 * day;
constexpr double kelvin = 273.15;
constexpr double rankine = 459.67;

using enum Dimension;

// Whatever capitals a person uses, he finds the lower-case spelling of a unit; a spelling stands
// here with capitals only where the lower case would be another unit, or none.
constexpr auto units = std::to_array<Unit>({
    {"psi", pressure, psi, "psi"},
    {"psig", pressure, psi, "psi"},
    {"bar", pressure, 1e5, "bar"},
    {"mbar", pressure, 1e2, "mbar"},
    {"kpa", pressure, 1e3, "kPa"},
    {"MPa", pressure, 1e6, "MPa"},
    {"fth2o", pressure, foot_of_water, "feet of water"},
    {"mh2o", pressure, meter_of_water, "meters of water"},
    {"inhg", pressure, 3386.389, "inches of mercury"},
    {"gpm", flow, gallon / 60, "gpm"},
    {"gal/min", flow, gallon / 60, "gpm"},
    {"gph", flow, gallon / 3600, "gallons an hour"},
    {"gal/h", flow, gallon / 3600, "gallons an hour"},
    {"l/min", flow, liter / 60, "L/min"},
    {"lpm", flow, liter / 60, "L/min"},
    {"l/s", flow, liter, "L/s"},
    {"m3/h", flow, 1.0 / 3600, "m3/h"},
    {"gal", volume, gallon, "gallons"},
    {"gals", volume, gallon, "gallons"},
    {"gallon", volume, gallon, "gallons"},
    {"gallons", volume, gallon, "gallons"},
    {"l", volume, liter, "liters"},
    {"L", volume, liter, "liters"},
    {"liter", volume, liter, "liters"},
    {"liters", volume, liter, "liters"},
    {"litre", volume, liter, "liters"},
    {"litres", volume, liter, "liters"},
    {"ml", volume, 1e-6, "milliliters"},
    {"m3", volume, 1, "m3"},
    {"ft", length, foot, "feet"},
    {"foot", length, foot, "feet"},
    {"feet", length, foot, "feet"},
    {"in", length, inch, "inches"},
    {"inch", length, inch, "inches"},
    {"inches", length, inch, "inches"},
    {"m", length, 1, "meters"},
    {"meter", length, 1, "meters"},
    {"meters", length, 1, "meters"},
    {"metre", length, 1, "meters"},
    {"metres", length, 1, "meters"},
    {"cm", length, 1e-2, "cm"},
    {"mm", length, 1e-3, "mm"},
    {"s", time, 1, "seconds"},
    {"sec", time, 1, "seconds"},
    {"secs", time, 1, "seconds"},
    {"second", time, 1, "seconds"},
    {"seconds", time, 1, "seconds"},
    {"min", time, 60, "minutes"},
    {"mins", time, 60, "minutes"},
    {"minute", time, 60, "minutes"},
    {"minutes", time, 60, "minutes"},
    {"h", time, 3600, "hours"},
    {"hr", time, 3600, "hours"},
    {"hrs", time, 3600, "hours"},
    {"hour", time, 3600, "hours"},
    {"hours", time, 3600, "hours"},
    {"d", time, day, "days"},
    {"day", time, day, "days"},
    {"days", time, day, "days"},
    {"week", time, 7 * day, "weeks"},
    {"weeks", time, 7 * day, "weeks"},
    {"month", time, year / 12, "months"},
    {"months", time, year / 12, "months"},
    {"yr", time, year, "years"},
    {"yrs", time, year, "years"},
    {"year", time, year, "years"},
    {"years", time, year, "years"},
    {"V", voltage, 1, "volts"},
    {"v", voltage, 1, "volts"},
    {"volt", voltage, 1, "volts"},
    {"volts", voltage, 1, "volts"},
    {"kv", voltage, 1e3, "kilovolts"},
    {"mV", voltage, 1e-3, "millivolts"},
    {"A", current, 1, "amps"},
    {"a", current, 1, "amps"},
    {"amp", current, 1, "amps"},
    {"amps", current, 1, "amps"},
    {"mA", current, 1e-3, "milliamps"},
    {"ohm", resistance, 1, "ohms"},
    {"ohms", resistance, 1, "ohms"},
    {"\u03a9", resistance, 1, "ohms"},  // Greek capital omega
    {"\u2126", resistance, 1, "ohms"},  // the ohm sign
    {"kohm", resistance, 1e3, "kilohms"},
    {"kohms", resistance, 1e3, "kilohms"},
    {"k\u03a9", resistance, 1e3, "kilohms"},
    {"k\u2126", resistance, 1e3, "kilohms"},
    {"megohm", resistance, 1e6, "megohms"},
    {"megohms", resistance, 1e6, "megohms"},
    {"Mohm", resistance, 1e6, "megohms"},
    {"M\u03a9", resistance, 1e6, "megohms"},
    {"M\u2126", resistance, 1e6, "megohms"},
    {"uf", capacitance, 1e-6, "microfarads"},
    {"\u00b5f", capacitance, 1e-6, "microfarads"},  // micro sign
    {"\u03bcf", capacitance, 1e-6, "microfarads"},  // Greek mu
    {"mfd", capacitance, 1e-6, "microfarads"},
    {"hp", power, horsepower, "horsepower"},
    {"W", power, 1, "watts"},
    {"w", power, 1, "watts"},
    {"watt", power, 1, "watts"},
    {"watts", power, 1, "watts"},
    {"kw", power, 1e3, "kilowatts"},
    {"lb", mass, pound, "pounds"},
    {"lbs", mass, pound, "pounds"},
    {"pound", mass, pound, "pounds"},
    {"pounds", mass, pound, "pounds"},
    {"kg", mass, 1, "kg"},
    {"\u00b0f", temperature, 5.0 / 9, "\u00b0F", rankine},
    {"F", temperature, 5.0 / 9, "\u00b0F", rankine},
    {"f", temperature, 5.0 / 9, "\u00b0F", rankine},
    {"\u00b0c", temperature, 1, "\u00b0C", kelvin},
    {"C", temperature, 1, "\u00b0C", kelvin},
    {"c", temperature, 1, "\u00b0C", kelvin},
    {"ppm", concentration, 1, "ppm"},
    {"mg/l", concentration, 1, "mg/L"},
    {"ppb", concentration, 1e-3, "ppb"},
    {"gpg", concentration, 64.79891 / (gallon / liter),
     "grains a gallon"},  // grain 64.79891 mg, exact
    {"ft/s", speed, foot, "feet a second"},
    {"m/s", speed, 1, "meters a second"},
    {"hz", frequency, 1, "hertz"},
    {"ohm/kft", wire_resistance, 1 / (1000 * foot), "ohms a thousand feet"},
    {"ohm/km", wire_resistance, 1e-3, "ohms a kilometer"},
    {"ph", acidity, 1, "pH"},
    {"index", saturation, 1, "an index"},
    {"fl-oz", volume, gallon / 128, "fluid ounces"},
    {"g", mass, 1e-3, "grams"},
    {"", fraction, 1, "a plain number"},
    {"%", fraction, 1e-2, "percent"},
    {"percent", fraction, 1e-2, "percent"},
});

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_letter(char c) { return small_letter(c) >= 'a' && small_letter(c) <= 'z'; }

const Unit* find_exactly(std::string_view spelling) {
    const auto* at = std::find_if(units.begin(), units.end(),
                                  [&](const Unit& unit) { return unit.spelling == spelling; });
    return at == units.end() ? nullptr : at;
}

const Unit* find(std::string_view spelling) {
    if (const Unit* unit = find_exactly(spelling))
        return unit;
    const std::string small = small_letters(spelling);
    // One letter means what it says: "M" is no meter and "S" no second.
    return small.size() > 1 ? find_exactly(small) : nullptr;
}

// A unit of no table: letters, with single '-' or '/' between them.
bool is_word(std::string_view text) {
    bool letter_before = false;
    for (const char c : text) {
        if (!is_letter(c) && !(letter_before && (c == '-' || c == '/')))
            return false;
        letter_before = is_letter(c);
    }
    return letter_before;
}

bool starts_number(std::string_view text) {
    if (!text.empty() && text.front() == '-')
        text.remove_prefix(1);
    if (!text.empty() && text.front() == '.')
        text.remove_prefix(1);
    return !text.empty() && is_digit(text.front());
}

std::optional<std::string> wrong_unit(std::string_view unit) {
    if (unit.empty() || find(unit) || is_word(unit))
        return std::nullopt;
    if (unit.front() == ',')
        return "a comma in a number; write 1200 or 1.5";
    return "what follows the number is no unit";
}

}  // namespace

std::variant<Quantity, std::string> parse_quantity(std::string_view text) {
    constexpr std::size_t most_bytes = 64;
    constexpr double most = 1e15;
    if (text.size() > most_bytes)
        return std::string("longer than a number with its unit can be");
    text = trimmed(text);
    if (text.size() > 1 && text.front() == '+' && text[1] != '-')
        text.remove_prefix(1);
    if (!starts_number(text))
        return std::string("no number; write one such as 12, 12psi or \"12 psi\"");

    double value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    // Only now are both out of the way that from_chars would also read: inf and nan.
    if (error != std::errc{} || !(std::abs(value) <= most))
        return std::string("a number that is too large or too small");
    const auto digits = static_cast<std::size_t>(end - text.data());
    if (digits < text.size() && small_letter(text[digits]) == 'x')
        return std::string("a hexadecimal number; write a decimal one");
    const std::string_view unit = trimmed(text.substr(digits));
    if (const auto wrong = wrong_unit(unit))
        return *wrong;
    return Quantity{value + 0.0, std::string(unit)};  // no negative zero
}

std::variant<double, std::string> convert(const Quantity& quantity, std::string_view unit) {
    if (quantity.unit.empty() || quantity.unit == unit)
        return quantity.value;
    const Unit* from = find(quantity.unit);
    const Unit* to = find(unit);
    if (from && to && from->dimension == to->dimension) {
        if (from->factor == to->factor && from->offset == to->offset)
            return quantity.value;  // other spelling, same unit: not a bit is lost
        return (quantity.value + from->offset) * from->factor / to->factor - to->offset;
    }
    const std::string given = from ? std::string(from->says) : "'" + quantity.unit + "'";
    const std::string wanted = unit.empty() ? "a plain number" : std::string(unit);
    return given + " where " + wanted + " is wanted";
}

bool known_unit(std::string_view unit) { return find(unit) != nullptr; }

std::vector<std::string> unit_spellings() {
    std::vector<std::string> all;
    for (const Unit& unit : units)
        if (!unit.spelling.empty())
            all.emplace_back(unit.spelling);
    return all;
}

}  // namespace knockwell
