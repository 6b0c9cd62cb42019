// Every check value of checks.toml against the computation it names.
#include "base/quantity.hpp"
#include "trade/calc.hpp"
#include "trade/cycle.hpp"
#include "trade/deadhead.hpp"
#include "trade/drawdown.hpp"
#include "trade/head.hpp"
#include "trade/precharge.hpp"
#include "trade/tank_weight.hpp"

#include <gtest/gtest.h>
#include <toml++/toml.h>

#include <functional>
#include <map>
#include <set>
#include <sstream>
#include <string>

namespace knockwell {
namespace {

// The inputs of one check, each of which must be taken.
class Inputs {
public:
    explicit Inputs(const toml::table& table) {
        for (const auto& [key, value] : table)
            values_[std::string(key.str())] = value.value<double>().value();
    }
    double operator[](const std::string& name) {
        taken_.insert(name);
        return values_.at(name);
    }
    bool all_taken() const { return taken_.size() == values_.size(); }

private:
    std::map<std::string, double> values_;
    std::set<std::string> taken_;
};

template <class Value>
Value sure(const Outcome<Value>& outcome) {
    return std::get<Value>(outcome);  // out of range throws, and the check fails by name
}

double converted(double value, const char* from, const char* to) {
    return std::get<double>(convert({value, from}, to));
}

TankOnSwitch tank_on_switch(Inputs& in, double tank_gal) {
    return {tank_gal, in["precharge_psi"], in["cut_in_psi"], in["cut_out_psi"], in["patm_psi"]};
}

double si_drawdown(Inputs& in) {
    const auto psi = [&](const char* name) { return converted(in[name], "bar", "psi"); };
    const Drawdown found = sure(drawdown({converted(in["tank_l"], "L", "gal"), psi("precharge_bar"),
                                          psi("cut_in_bar"), psi("cut_out_bar"), psi("patm_bar")}));
    return converted(found.drawdown_gal, "gal", "L");
}

double water_at(Inputs& in, const char* pressure) {
    return sure(tank_water({in["tank_gal"], in["precharge_psi"], in[pressure], in["patm_psi"]}))
        .water_gal;
}

Cycle cycle_of(Inputs& in) { return sure(cycle({in["dd_gal"], in["pump_gpm"], in["demand_gpm"]})); }

Cycle worst_of(Inputs& in) { return sure(shortest_cycle(in["dd_gal"], in["pump_gpm"])); }

using Through = std::function<double(Inputs&)>;

std::map<std::string, Through> functions() {
    return {
        {"convert.mH2O.kPa", [](Inputs& in) { return converted(in["m"], "mH2O", "kPa"); }},
        {"convert.ftH2O.psi", [](Inputs& in) { return converted(in["ft"], "ftH2O", "psi"); }},
        {"convert.psi.mH2O", [](Inputs& in) { return converted(in["psi"], "psi", "mH2O"); }},
        {"convert.inHg.ftH2O", [](Inputs& in) { return converted(in["inhg"], "inHg", "ftH2O"); }},
        {"head.head", [](Inputs& in) { return sure(head_of_pressure(in["psi"])); }},
        {"head.pressure", [](Inputs& in) { return sure(pressure_of_head(in["ft"])); }},
        {"head.total",
         [](Inputs& in) {
             return sure(total_head({in["lift_ft"], in["friction_ft"], in["psi"]}));
         }},
        {"deadhead",
         [](Inputs& in) {
             return sure(deadhead_psi({in["shutoff_head_ft"], in["lift_ft"]}));
         }},
        {"drawdown.factor",
         [](Inputs& in) { return sure(drawdown(tank_on_switch(in, 44))).factor; }},
        {"drawdown",
         [](Inputs& in) {
             return sure(drawdown(tank_on_switch(in, in["tank_gal"]))).drawdown_gal;
         }},
        {"drawdown.si", si_drawdown},
        {"drawdown.air_left",
         [](Inputs& in) {
             return sure(air_left_drawdown(
                 {in["air_gal"], in["cut_in_psi"], in["cut_out_psi"], in["patm_psi"]}));
         }},
        {"cycle.length", [](Inputs& in) { return cycle_of(in).cycle_min; }},
        {"cycle.starts", [](Inputs& in) { return cycle_of(in).starts_per_hour; }},
        {"cycle.shortest", [](Inputs& in) { return worst_of(in).cycle_min; }},
        {"cycle.most_starts", [](Inputs& in) { return worst_of(in).starts_per_hour; }},
        {"cycle.ceiling_hour", [](Inputs& in) { return sure(starts_ceiling(in["hp"])).per_hour; }},
        {"cycle.ceiling_day",
         [](Inputs& in) { return sure(starts_ceiling(1)).per_day * in["h"] / 24; }},
        {"precharge", [](Inputs& in) { return sure(wanted_precharge(in["cut_in_psi"])); }},
        {"precharge.drive_share",
         [](Inputs& in) { return sure(wanted_drive_precharge(in["set_psi"])) / in["set_psi"]; }},
        {"tank_weight.at_cut_out", [](Inputs& in) { return water_at(in, "cut_out_psi"); }},
        {"tank_weight.at_cut_in", [](Inputs& in) { return water_at(in, "cut_in_psi"); }},
        {"tank_weight.waterlogged",
         [](Inputs& in) {
             return sure(tank_water({in["gal"], 38, 60})).waterlogged_lb;
         }},
    };
}

// "drawdown --tank 20gal --cut-in 40psi" as a person would type it behind `knockwell calc`.
std::variant<CalcAnswer, std::vector<std::string>> called(const std::string& call) {
    std::istringstream in(call);
    std::string name;
    in >> name;
    std::map<std::string, std::string> words;
    for (std::string option, text; in >> option >> text;)
        words[option.substr(2)] = text;
    return calculate(name, words);
}

// The value of the line that the check names, in the unit that it wants.
double value_of_call(const toml::table& check) {
    const auto result = called(check["call"].value<std::string>().value());
    if (const auto* wrong = std::get_if<std::vector<std::string>>(&result)) {
        ADD_FAILURE() << wrong->front();
        return 0;
    }
    const auto label = check["line"].value<std::string>().value();
    for (const CalcLine& line : std::get<CalcAnswer>(result).lines)
        if (line.label == label) {
            const auto unit = check["in"].value<std::string>();
            return unit ? converted(line.value, line.unit.c_str(), unit->c_str()) : line.value;
        }
    ADD_FAILURE() << "no line '" << label << "'";
    return 0;
}

double value_through(const toml::table& check, const std::map<std::string, Through>& through,
                     std::set<std::string>& used) {
    const auto name = check["through"].value<std::string>().value();
    const auto function = through.find(name);
    if (function == through.end()) {
        ADD_FAILURE() << "no function '" << name << "'";
        return 0;
    }
    used.insert(name);
    Inputs inputs(*check["inputs"].as_table());
    const double value = function->second(inputs);
    EXPECT_TRUE(inputs.all_taken());
    return value;
}

// The published and the hand-worked figures, within the tolerance that stands beside them.
TEST(TradeChecks, EveryValueOfTheFileIsMet) {
    const toml::table file = toml::parse_file(KNOCKWELL_TESTS_DIR "/trade/checks.toml");
    const toml::array* checks = file["check"].as_array();
    ASSERT_NE(checks, nullptr);
    ASSERT_EQ(checks->size(), 306U);
    const auto through = functions();
    std::set<std::string> used;
    std::set<std::string> called_names;
    for (const toml::node& node : *checks) {
        const toml::table& check = *node.as_table();
        SCOPED_TRACE(check["id"].value<std::string>().value());
        const auto call = check["call"].value<std::string>();
        const double value = call ? value_of_call(check) : value_through(check, through, used);
        if (call)
            called_names.insert(call->substr(0, call->find(' ')));
        EXPECT_NEAR(value, check["expected"].value<double>().value(),
                    check["tolerance"].value<double>().value());
        EXPECT_FALSE(check["source"].value<std::string>().value().empty());
    }
    EXPECT_EQ(used.size(), through.size()) << "a function that no check names";
    // Those of calc_test.cpp alone, and those that the functions above are called through.
    const std::set<std::string> held_elsewhere = {
        "drawdown", "air-left",   "precharge", "drive-precharge", "tank-weight", "head",
        "pressure", "total-head", "deadhead",  "air-share",       "volts-lost",  "shutoff-share"};
    for (const Computation& one : computations())
        EXPECT_TRUE(called_names.contains(one.name) || held_elsewhere.contains(one.name))
            << one.name << " has no check";
}

}  // namespace
}  // namespace knockwell
