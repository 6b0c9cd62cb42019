// Quantities as typed, and their conversion.
#include "base/quantity.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace knockwell {
namespace {

std::string wrong_with(std::string_view text) {
    const auto parsed = parse_quantity(text);
    const auto* wrong = std::get_if<std::string>(&parsed);
    return wrong ? *wrong : "nothing";
}

std::string unconverted(const Quantity& quantity, std::string_view unit) {
    const auto converted = convert(quantity, unit);
    const auto* wrong = std::get_if<std::string>(&converted);
    return wrong ? *wrong : "nothing";
}

double converted(double value, const char* from, const char* to) {
    return std::get<double>(convert({value, from}, to));
}

TEST(Quantity, ReadsNumberAndUnitWithAndWithoutBlanks) {
    const struct {
        const char* text = nullptr;
        Quantity meant;
    } cases[] = {
        {"12psi", {12, "psi"}},
        {"12 psi", {12, "psi"}},
        {"  1.5\tbar ", {1.5, "bar"}},
        {"-3", {-3, ""}},
        {"+3", {3, ""}},
        {".5gal", {0.5, "gal"}},
        {"7 years", {7, "years"}},
        {"1e3ohm", {1000, "ohm"}},
        {"2.5e-3 A", {0.0025, "A"}},
        {"30 %", {30, "%"}},
        {"3 taps", {3, "taps"}},
        {"4 starts/day", {4, "starts/day"}},
        {"2 m3/h", {2, "m3/h"}},
        {"55\u00b0F", {55, "\u00b0F"}},
        {"2 M\u03a9", {2, "M\u03a9"}},
        {"1e15", {1e15, ""}},
    };
    for (const auto& [text, meant] : cases) {
        SCOPED_TRACE(text);
        const auto parsed = parse_quantity(text);
        ASSERT_TRUE(std::holds_alternative<Quantity>(parsed)) << std::get<std::string>(parsed);
        EXPECT_EQ(std::get<Quantity>(parsed), meant);
    }
}

TEST(Quantity, MinusZeroIsZero) {
    EXPECT_FALSE(std::signbit(std::get<Quantity>(parse_quantity("-0psi")).value));
}

TEST(Quantity, RefusesWhatIsNoNumber) {
    const std::string no_number = "no number; write one such as 12, 12psi or \"12 psi\"";
    for (const char* text : {"", "  ", "psi", "nan", "-nan", "inf", "-inf", "infinity", "+-3",
                             "--3", "- 3", ".", "-.psi", "\u00bd"})
        EXPECT_EQ(wrong_with(text), no_number) << text;
}

TEST(Quantity, RefusesNumbersNobodyMeans) {
    const std::string size = "a number that is too large or too small";
    for (const char* text : {"1e16", "-1e16", "1e999", "1e-999"})
        EXPECT_EQ(wrong_with(text), size) << text;
    const std::string hexadecimal = "a hexadecimal number; write a decimal one";
    for (const char* text : {"0x1A", "0xAB", "-0x10"})
        EXPECT_EQ(wrong_with(text), hexadecimal) << text;
    EXPECT_EQ(wrong_with("1,200 gal"), "a comma in a number; write 1200 or 1.5");
    EXPECT_EQ(wrong_with(std::string(64, '1') + "1"), "longer than a number with its unit can be");
    EXPECT_EQ(wrong_with("1" + std::string(63, 'a')), "nothing");
}

TEST(Quantity, RefusesWhatFollowsTheUnit) {
    const std::string no_unit = "what follows the number is no unit";
    for (const char* text : {"12psi3", "1/2", "12 psi foo", "1.2.3", "3 -psi", "3psi-", "3 p--i",
                             "12psi\n", "12psi\x1b[31m", "5 \xff", "3 in 4", "12!"})
        EXPECT_EQ(wrong_with(text), no_unit) << text;
}

// Factors of NIST SP 811 (2008), appendix B.8, from memory, to the digits printed there.
TEST(Quantity, ConvertsByTheFactorsOfNistSp811) {
    const struct {
        const char* from = nullptr;
        const char* to = nullptr;
        double factor = 0;
        double relative = 0;
    } cases[] = {
        {"psi", "kPa", 6.894757, 1e-7},   {"bar", "kPa", 100, 1e-15},
        {"MPa", "kPa", 1000, 1e-15},      {"mbar", "kPa", 0.1, 1e-15},
        {"ftH2O", "kPa", 2.989067, 1e-7}, {"mH2O", "kPa", 9.80665, 1e-12},
        {"inHg", "kPa", 3.386389, 1e-7},  {"gal", "L", 3.785412, 1e-6},
        {"m3", "L", 1000, 1e-15},         {"mL", "L", 0.001, 1e-15},
        {"gpm", "L/s", 0.06309020, 1e-7}, {"gph", "gpm", 1.0 / 60, 1e-15},
        {"L/s", "L/min", 60, 1e-15},      {"m3/h", "L/s", 1.0 / 3.6, 1e-15},
        {"ft", "m", 0.3048, 1e-15},       {"in", "mm", 25.4, 1e-15},
        {"cm", "mm", 10, 1e-15},          {"h", "s", 3600, 1e-15},
        {"day", "min", 1440, 1e-15},      {"week", "days", 7, 1e-15},
        {"year", "days", 365, 1e-15},     {"months", "years", 1.0 / 12, 1e-15},
        {"kV", "V", 1000, 1e-15},         {"mV", "V", 0.001, 1e-15},
        {"mA", "A", 0.001, 1e-15},        {"kohm", "ohm", 1000, 1e-15},
        {"megohm", "kohm", 1000, 1e-15},  {"hp", "W", 745.6999, 1e-7},
        {"kW", "W", 1000, 1e-15},         {"lb", "kg", 0.45359237, 1e-15},
        {"mg/L", "ppm", 1, 1e-15},        {"ppb", "ppm", 0.001, 1e-15},
        {"gpg", "mg/L", 17.11806, 1e-7},  {"%", "", 0.01, 1e-15},
    };
    for (const auto& [from, to, factor, relative] : cases) {
        SCOPED_TRACE(std::string(from) + " to " + to);
        EXPECT_NEAR(converted(1, from, to), factor, relative * factor);
        EXPECT_NEAR(converted(-37, from, to), -37 * factor, 37 * relative * factor);
        if (*to == '\0')
            continue;  // a plain number is taken in the wanted unit
        EXPECT_NEAR(converted(1, to, from), 1 / factor, 2 * relative / factor);
    }
}

TEST(Quantity, TemperaturesHaveTheirOwnZero) {
    EXPECT_NEAR(converted(32, "\u00b0F", "\u00b0C"), 0, 1e-12);
    EXPECT_NEAR(converted(212, "F", "C"), 100, 1e-12);
    EXPECT_NEAR(converted(-40, "C", "\u00b0F"), -40, 1e-12);
    EXPECT_NEAR(converted(10, "C", "F"), 50, 1e-12);
}

TEST(Quantity, OtherSpellingsAreTheSameUnitToTheLastBit) {
    const double value = 0.1 + 0.2;
    for (const auto& [from, to] : {std::pair{"PSI", "psi"},
                                   {"Gal", "gallons"},
                                   {"GPM", "gal/min"},
                                   {"l/min", "lpm"},
                                   {"KPA", "kPa"},
                                   {"mg/l", "ppm"},
                                   {"hrs", "h"},
                                   {"Years", "yr"},
                                   {"volts", "V"},
                                   {"M\u03a9", "megohm"},
                                   {"\u2126", "ohm"},
                                   {"percent", "%"},
                                   {"\u00b0F", "F"},
                                   {"\u00b5F", "mfd"},
                                   {"\u00b5f", "\u03bcF"},
                                   {"\u00b0f", "\u00b0F"},
                                   {"\u00b0c", "C"},
                                   {"ml", "mL"},
                                   {"mh2o", "mH2O"},
                                   {"ftH2O", "fth2o"}})
        EXPECT_EQ(converted(value, from, to), value) << from << " to " << to;
}

TEST(Quantity, CapitalsThatTellUnitsApartAreKept) {
    EXPECT_FALSE(known_unit("MV"));
    EXPECT_FALSE(known_unit("mPa"));
    EXPECT_FALSE(known_unit("M"));
    EXPECT_FALSE(known_unit("Ma"));
    EXPECT_TRUE(known_unit("mV"));
    EXPECT_TRUE(known_unit("MPa"));
    EXPECT_TRUE(known_unit(""));
}

TEST(Quantity, APlainNumberIsTakenInTheWantedUnit) {
    EXPECT_EQ(std::get<double>(convert({12, ""}, "psi")), 12);
    EXPECT_EQ(std::get<double>(convert({12, ""}, "taps")), 12);
    EXPECT_EQ(std::get<double>(convert({40, ""}, "%")), 40);
    EXPECT_EQ(std::get<double>(convert({3, "taps"}, "taps")), 3);
}

TEST(Quantity, AnotherDimensionIsNamed) {
    EXPECT_EQ(unconverted({12, "V"}, "psi"), "volts where psi is wanted");
    EXPECT_EQ(unconverted({12, "min"}, "gpm"), "minutes where gpm is wanted");
    EXPECT_EQ(unconverted({12, "furlongs"}, "ft"), "'furlongs' where ft is wanted");
    EXPECT_EQ(unconverted({12, "psi"}, "taps"), "psi where taps is wanted");
    EXPECT_EQ(unconverted({12, "psi"}, ""), "psi where a plain number is wanted");
    EXPECT_EQ(unconverted({12, "Taps"}, "taps"), "'Taps' where taps is wanted");
}

}  // namespace
}  // namespace knockwell
