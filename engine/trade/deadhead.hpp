// trade/deadhead.hpp
//
// Pressure at the tank when the pump never stops and no water is drawn.
//
// Formula  psi = (shut-off head - static lift) / 2.31
// Source   first principles; 2.31 ft to the psi as in trade/head.hpp
// Range    shut-off head 0 to 3000 ft, static lift 0 to the shut-off head; cold fresh water
// Care     no water flows, so the level in the well stands at static. The pumping level would
//          make the danger look smaller; where static is unknown, take the shallowest that can
//          be believed
// Held by  tests/trade/checks_test.cpp: 400 ft over 150 ft is 108.2 psi
#pragma once
#include "trade/outcome.hpp"

namespace knockwell {

struct DeadheadInputs {
    double shutoff_head_ft = 0;  // from the pump's curve, at no flow
    double static_lift_ft = 0;   // standing water level to the tank
    bool operator==(const DeadheadInputs&) const = default;
};

/// Gauge pressure (psi).
[[nodiscard]] Outcome<double> deadhead_psi(const DeadheadInputs& inputs);

}  // namespace knockwell
