// trade/tank_weight.hpp
//
// Water in a pressure tank at a pressure, and its weight.
//
// Formula  water = V * (1 - (Pp+Pa)/(P+Pa)), none at or below the precharge; 8.34 lb to the gallon
// Source   Boyle, as in trade/drawdown.hpp; weight of water: NWCG Table 3.1 Water handling unit
//          estimations (US National Wildfire Coordinating Group), there rounded to 8.3
// Range    cold fresh water, bladder whole; a waterlogged tank holds its whole volume
// Held by  tests/trade/checks_test.cpp: 44 gal, precharge 38 psi, at 60 psi holds 12.96 gal,
//          108 lb
#pragma once
#include "trade/atmosphere.hpp"
#include "trade/outcome.hpp"

namespace knockwell {

constexpr double water_lb_per_gal = 8.34;

struct TankAtPressure {
    double tank_gal = 0;       // above 0, at most 10000
    double precharge_psi = 0;  // gauge, 0 to 300, read with the tank drained
    double pressure_psi = 0;   // gauge, 0 to 300
    double atmosphere_psi = sea_level_psi;
    bool operator==(const TankAtPressure&) const = default;
};

struct TankWater {
    double water_gal = 0;
    double water_lb = 0;
    double waterlogged_lb = 0;  // the tank full of water to the top
    bool operator==(const TankWater&) const = default;
};

/// Water only; the empty tank's own weight comes on top.
[[nodiscard]] Outcome<TankWater> tank_water(const TankAtPressure& tank);

}  // namespace knockwell
