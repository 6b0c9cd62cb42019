#include "trade/tank_weight.hpp"

#include <algorithm>

namespace knockwell {

Outcome<TankWater> tank_water(const TankAtPressure& tank) {
    RangeCheck check;
    check.between("tank", tank.tank_gal, 0, 10000, "gal", true);
    check.between("precharge", tank.precharge_psi, 0, highest_gauge_psi, "psi");
    check.between("pressure", tank.pressure_psi, 0, highest_gauge_psi, "psi");
    check.between("atmosphere", tank.atmosphere_psi, thinnest_air_psi, thickest_air_psi, "psi");
    if (!check.fine())
        return check.wrong();
    const double air_share =
        (tank.precharge_psi + tank.atmosphere_psi) / (tank.pressure_psi + tank.atmosphere_psi);
    const double water = tank.tank_gal * std::max(0.0, 1 - air_share);
    return TankWater{water, water_lb_per_gal * water, water_lb_per_gal * tank.tank_gal};
}

}  // namespace knockwell
