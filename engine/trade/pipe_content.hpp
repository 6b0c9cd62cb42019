// trade/pipe_content.hpp
//
// Gallons in a foot of round pipe or casing.
//
// Formula  0.0408 * d^2, d the inside in inches (pi/4 * d^2 in cubic feet, 7.48 gal each)
// Source   Shock chlorination of wells and water systems, Tables I-II (Mesa County Health Dept.
//          Regional Laboratory, Colorado)
// Held by  tests/trade/checks.toml: 6 in holds 1.47 gal/ft, 152 mm holds 18.15 L/m
#pragma once

namespace knockwell {

/// Gallons a foot of `inside_in` inches.
[[nodiscard]] constexpr double gal_per_ft(double inside_in) {
    return 0.0408 * inside_in * inside_in;
}

}  // namespace knockwell
