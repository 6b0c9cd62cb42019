// trade/precharge.hpp
//
// Air charge that a pressure tank wants.
//
// Wanted   switch: Pp = Pci - 2 psi.  Constant-pressure drive: Pp = 0.70 * set pressure
// Source   switch: Tech Topics: pressure tanks; Determining the amount of usable water in pressure
//          tanks (National Driller, c. 2006, repeated 2011); drive: common practice, no source
// Range    cut-in 10 to 100 psi; within 2 psi of what is wanted is right (common practice, no
//          source)
// Care     read with the power locked out and the tank drained: with water in it, the gauge at
//          the air valve reads the water's pressure and says nothing of the charge
// Held by  tests/trade/checks_test.cpp: 28 psi for 30/50, 38 psi for 40/60
#pragma once
#include "trade/outcome.hpp"

namespace knockwell {

constexpr double precharge_under_cut_in_psi = 2;
constexpr double precharge_tolerance_psi = 2;
constexpr double drive_precharge_share = 0.70;

/// Wanted precharge (psi gauge) for a pressure switch with this cut-in.
[[nodiscard]] Outcome<double> wanted_precharge(double cut_in_psi);

/// Wanted precharge (psi gauge) for a constant-pressure drive with this set pressure, 10 to 100
/// psi.
[[nodiscard]] Outcome<double> wanted_drive_precharge(double set_psi);

enum class PrechargeVerdict { low, right, high };

/// How a precharge read with the tank drained (0 to 300 psi) stands to the wanted one.
struct PrechargeReading {
    double wanted_psi = 0;
    double off_by_psi = 0;  // measured - wanted
    PrechargeVerdict verdict = PrechargeVerdict::right;
    bool operator==(const PrechargeReading&) const = default;
};

[[nodiscard]] Outcome<PrechargeReading> judge_precharge(double cut_in_psi, double measured_psi);

}  // namespace knockwell
