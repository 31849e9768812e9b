#pragma once
// How the minimum control speed of unsupercharged engines falls as the air thins, while the stall, calibrated, stays.
//
// The yaw of the engine that runs grows with its thrust, power over true airspeed; what the rudder can do with the
// square of calibrated airspeed. So v_mca^3 goes with the power and with the root of the density. With power as the
// density that is v_mca sea level times sqrt(sigma): the larger one, used where a file allows a lower v_mca. Power
// really falls faster, as 1.132 sigma - 0.132 (Gagg and Ferrar, 1934; from memory): the smaller one, used to warn.
//
// source      that v_mc falls with altitude and the stall does not, so that they meet and the stall may come first, in
//             a turn towards the dead engine: FAA-H-8083-3C, Airplane Flying Handbook, ch. 13 (its charts are not
//             quoted). The two laws: derived here
// test        tests/reference/control_speed_test.cpp

#include "backfield/base/units.hpp"
#include "backfield/earth/atmosphere.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::aircraft {

/// sigma       density ratio, > 0; above 1 the file's speed stands
inline Cas v_mca_at_most(Cas at_sea_level, double sigma) {
  return {at_sea_level.value * std::sqrt(std::min(1.0, sigma))};
}
inline Cas v_mca_at_least(Cas at_sea_level, double sigma) {
  const double s = std::min(1.0, sigma);
  return {at_sea_level.value * std::cbrt(std::max(0.0, 1.132 * s - 0.132) * std::sqrt(s))};
}

}  // namespace backfield::aircraft
