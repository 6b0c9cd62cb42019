// trade/copper.hpp
//
// How the resistance of copper grows with its temperature.
//
// Source   0.00393 for a kelvin, from 20 C on: Copper Wire Tables, Circular 31 / Handbook 100 (US
//          National Bureau of Standards, 1914/1966), as restated in secondary sources
// Range    annealed copper, -40 to 200 C
#pragma once

namespace knockwell {

/// Of its resistance at 20 C, for each kelvin.
inline constexpr double copper_per_kelvin = 0.00393;

/// What copper has at this temperature, as a share of its ohms at 20 C.
[[nodiscard]] constexpr double copper_growth(double celsius) {
    return 1 + copper_per_kelvin * (celsius - 20);
}

}  // namespace knockwell
