// trade/atmosphere.hpp
//
// Pressure of the air, which every gauge pressure stands on.
//
// Source   How to calculate and control pressure tank drawdown (National Driller, Feb 2006):
//          14.7 psi at sea level, 11.8 psi at 6,000 ft
// Range    8 psi (higher than any house well) to 16 psi (a low shore on a day of high pressure)
#pragma once

namespace knockwell {

constexpr double sea_level_psi = 14.7;
constexpr double thinnest_air_psi = 8;
constexpr double thickest_air_psi = 16;

/// Highest gauge pressure the computations take: twice the plate of the strongest common tank (150
/// psi).
constexpr double highest_gauge_psi = 300;

/// From this share of the lowest plate on a gauge pressure is a danger (common practice, no
/// source).
constexpr double near_the_plate = 0.9;

}  // namespace knockwell
