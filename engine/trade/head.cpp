#include "trade/head.hpp"

#include "trade/atmosphere.hpp"

#include <cmath>

namespace knockwell {

Outcome<double> head_of_pressure(double psi) {
    RangeCheck check;
    check.between("pressure", psi, 0, std::floor(highest_head_ft / ft_per_psi), "psi");
    if (!check.fine())
        return check.wrong();
    return ft_per_psi * psi;
}

Outcome<double> pressure_of_head(double head_ft) {
    RangeCheck check;
    check.between("head", head_ft, 0, highest_head_ft, "ft");
    if (!check.fine())
        return check.wrong();
    return head_ft / ft_per_psi;
}

Outcome<double> total_head(const HeadParts& parts) {
    RangeCheck check;
    check.between("lift", parts.lift_ft, 0, highest_head_ft, "ft");
    check.between("friction", parts.friction_ft, 0, highest_head_ft, "ft");
    check.between("pressure", parts.tank_psi, 0, highest_gauge_psi, "psi");
    if (!check.fine())
        return check.wrong();
    return parts.lift_ft + parts.friction_ft + ft_per_psi * parts.tank_psi;
}

}  // namespace knockwell
