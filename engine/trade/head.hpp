// trade/head.hpp
//
// Feet of water and psi.
//
// Formula  ft = 2.31 * psi;  total head = lift from the pumping level + friction + 2.31 * tank psi
// Source   NWCG Table 3.1 Water handling unit estimations (US National Wildfire Coordinating Group)
// Range    cold fresh water; 0 to 3000 ft
// Care     2.31 is rounded; by the conventional foot of water (NIST SP 811) it is 2.3067
// Held by  tests/trade/checks_test.cpp: 40 psi is 92.4 ft, 100 ft is 43.29 psi
#pragma once
#include "trade/outcome.hpp"

namespace knockwell {

constexpr double ft_per_psi = 2.31;
constexpr double highest_head_ft = 3000;

/// Head (ft) of a gauge pressure, 0 to 1298 psi (3000 ft).
[[nodiscard]] Outcome<double> head_of_pressure(double psi);

/// Gauge pressure (psi) at the foot of a column of water, 0 to 3000 ft.
[[nodiscard]] Outcome<double> pressure_of_head(double head_ft);

struct HeadParts {
    double lift_ft = 0;      // pumping level to tank, 0 to 3000
    double friction_ft = 0;  // in drop pipe and line at the flow in question, 0 to 3000
    double tank_psi = 0;     // gauge, 0 to 300
    bool operator==(const HeadParts&) const = default;
};

/// Total dynamic head (ft).
[[nodiscard]] Outcome<double> total_head(const HeadParts& parts);

}  // namespace knockwell
