#include "trade/deadhead.hpp"

#include "trade/head.hpp"

namespace knockwell {

Outcome<double> deadhead_psi(const DeadheadInputs& inputs) {
    RangeCheck check;
    check.between("shutoff-head", inputs.shutoff_head_ft, 0, highest_head_ft, "ft", true);
    check.between("static-lift", inputs.static_lift_ft, 0, highest_head_ft, "ft");
    if (check.fine())
        check.demand(inputs.static_lift_ft <= inputs.shutoff_head_ft,
                     "static-lift: above the shut-off head no water reaches the tank");
    if (!check.fine())
        return check.wrong();
    return (inputs.shutoff_head_ft - inputs.static_lift_ft) / ft_per_psi;
}

}  // namespace knockwell
