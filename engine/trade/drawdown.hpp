// trade/drawdown.hpp
//
// Water that a pressure tank gives between cut-out and cut-in.
//
// Given    tank volume V and air pressure Pa; gauge pressures of precharge Pp, cut-in Pci and
//          cut-out Pco (gal and psi)
// Wanted   Vd = V * f,  f = (Pp+Pa)/(max(Pci,Pp)+Pa) - (Pp+Pa)/(Pco+Pa)
// Idea     Boyle: the air keeps pressure times volume, so absolute pressures count
// Source   How to calculate and control pressure tank drawdown (National Driller, Feb 2006)
// Ours     differs: with the precharge above cut-in the tank is empty before the pump starts, so
//          the water ends at Pp and not at Pci
// Range    slow cycles of a few minutes at steady temperature; bladder whole. An air cushion
//          that has shrunk is air_left_drawdown
// Held by  tests/trade/checks_test.cpp: 85 gal, 30/50 psi, precharge 28 psi gives 25.1 gal
#pragma once
#include "trade/atmosphere.hpp"
#include "trade/outcome.hpp"

namespace knockwell {

struct TankOnSwitch {
    double tank_gal = 0;  // above 0, at most 10000
    double precharge_psi =
        0;                   // gauge, read with the tank drained; 0 is a plain tank filled with air
    double cut_in_psi = 0;   // gauge
    double cut_out_psi = 0;  // gauge, above cut-in and above the precharge
    double atmosphere_psi = sea_level_psi;
    bool operator==(const TankOnSwitch&) const = default;
};

struct Drawdown {
    double drawdown_gal = 0;
    double factor = 0;            // drawdown / tank volume, 0 to 1
    bool empty_at_start = false;  // precharge above cut-in: pressure drops out at each start
    bool operator==(const Drawdown&) const = default;
};

[[nodiscard]] Outcome<Drawdown> drawdown(const TankOnSwitch& tank);

/// The same with the precharge that the switch wants, 2 psi under cut-in.
[[nodiscard]] Outcome<Drawdown> drawdown_as_wanted(double tank_gal, double cut_in_psi,
                                                   double cut_out_psi);

struct AirLeft {
    double air_gal = 0;  // air in the tank at cut-in, above 0, at most 10000
    double cut_in_psi = 0;
    double cut_out_psi = 0;
    double atmosphere_psi = sea_level_psi;
    bool operator==(const AirLeft&) const = default;
};

/// Drawdown (gal) of a waterlogged tank: Vd = Vair * (1 - (Pci+Pa)/(Pco+Pa)).
[[nodiscard]] Outcome<double> air_left_drawdown(const AirLeft& tank);

}  // namespace knockwell
