#include "trade/precharge.hpp"

#include "trade/atmosphere.hpp"

namespace knockwell {
namespace {

constexpr double lowest_switch_psi = 10;
constexpr double highest_switch_psi = 100;

PrechargeVerdict verdict_on(double off_by_psi) {
    if (off_by_psi < -precharge_tolerance_psi)
        return PrechargeVerdict::low;
    return off_by_psi > precharge_tolerance_psi ? PrechargeVerdict::high : PrechargeVerdict::right;
}

}  // namespace

Outcome<double> wanted_precharge(double cut_in_psi) {
    RangeCheck check;
    check.between("cut-in", cut_in_psi, lowest_switch_psi, highest_switch_psi, "psi");
    if (!check.fine())
        return check.wrong();
    return cut_in_psi - precharge_under_cut_in_psi;
}

Outcome<double> wanted_drive_precharge(double set_psi) {
    RangeCheck check;
    check.between("set-pressure", set_psi, lowest_switch_psi, highest_switch_psi, "psi");
    if (!check.fine())
        return check.wrong();
    return drive_precharge_share * set_psi;
}

Outcome<PrechargeReading> judge_precharge(double cut_in_psi, double measured_psi) {
    RangeCheck check;
    check.between("cut-in", cut_in_psi, lowest_switch_psi, highest_switch_psi, "psi");
    check.between("measured", measured_psi, 0, highest_gauge_psi, "psi");
    if (!check.fine())
        return check.wrong();
    const double wanted = cut_in_psi - precharge_under_cut_in_psi;
    return PrechargeReading{wanted, measured_psi - wanted, verdict_on(measured_psi - wanted)};
}

}  // namespace knockwell
