#include "trade/drawdown.hpp"

#include "trade/precharge.hpp"

#include <algorithm>

namespace knockwell {
namespace {

constexpr double largest_gal = 10000;

void check_switch(RangeCheck& check, double cut_in, double cut_out, double atmosphere) {
    check.between("cut-in", cut_in, 0, highest_gauge_psi, "psi");
    check.between("cut-out", cut_out, 0, highest_gauge_psi, "psi");
    check.between("atmosphere", atmosphere, thinnest_air_psi, thickest_air_psi, "psi");
    if (check.fine())
        check.demand(cut_out > cut_in, "cut-out: must be above cut-in");
}

}  // namespace

Outcome<Drawdown> drawdown(const TankOnSwitch& tank) {
    RangeCheck check;
    check.between("tank", tank.tank_gal, 0, largest_gal, "gal", true);
    check.between("precharge", tank.precharge_psi, 0, highest_gauge_psi, "psi");
    check_switch(check, tank.cut_in_psi, tank.cut_out_psi, tank.atmosphere_psi);
    if (check.fine())
        check.demand(tank.precharge_psi < tank.cut_out_psi,
                     "precharge: at or above cut-out the tank takes no water");
    if (!check.fine())
        return check.wrong();

    const double empties_at = std::max(tank.cut_in_psi, tank.precharge_psi);
    const double air = tank.precharge_psi + tank.atmosphere_psi;
    const double factor =
        air / (empties_at + tank.atmosphere_psi) - air / (tank.cut_out_psi + tank.atmosphere_psi);
    return Drawdown{tank.tank_gal * factor, factor, tank.precharge_psi > tank.cut_in_psi};
}

Outcome<Drawdown> drawdown_as_wanted(double tank_gal, double cut_in_psi, double cut_out_psi) {
    return drawdown({tank_gal, cut_in_psi - precharge_under_cut_in_psi, cut_in_psi, cut_out_psi});
}

Outcome<double> air_left_drawdown(const AirLeft& tank) {
    RangeCheck check;
    check.between("air", tank.air_gal, 0, largest_gal, "gal", true);
    check_switch(check, tank.cut_in_psi, tank.cut_out_psi, tank.atmosphere_psi);
    if (!check.fine())
        return check.wrong();
    return tank.air_gal *
           (1 - (tank.cut_in_psi + tank.atmosphere_psi) / (tank.cut_out_psi + tank.atmosphere_psi));
}

}  // namespace knockwell
