#pragma once
// Steady, level, coordinated turns in still air: the four textbook relations.
//
// They are exact for level flight. A gliding turn has n = cos(gamma)/cos(bank) and a ground radius smaller by
// cos^2(gamma); the path solver does not use these functions, it integrates the equations of motion.
//
// A broken range throws std::logic_error.
//
// accuracy    to rounding; the constants printed in handbooks (11.26, 1091) are up to 0.6 % off, these are not
//             (tests/reference/turn_test.cpp)
// source      force balance L cos(bank) = W, L sin(bank) = W V^2/(g R); g = 9.80665 m/s2, ISO 2533

#include "backfield/base/units.hpp"

namespace backfield::flight {

/// Lift over weight, 1 / cos(bank). The stall speed in the turn is sqrt(load_factor) times that at 1 g.
///
/// bank        |bank| < 90 degrees; either side
/// returns     >= 1
double load_factor(Angle bank);

/// V^2 / (g tan|bank|).
///
/// tas         >= 0
/// bank        |bank| < 90 degrees; either side
/// returns     >= 0, always positive whatever the side; infinite for wings level
Length turn_radius(Tas tas, Angle bank);

/// Change of heading in one second, g tan(bank) / V.
///
/// tas         > 0
/// bank        |bank| < 90 degrees, right positive
/// returns     angle turned in one second, right positive
Angle turn_rate(Tas tas, Angle bank);

/// Bank that turns at the given rate, atan(V rate / g). Inverse of turn_rate.
///
/// tas              > 0
/// rate_per_second  angle turned in one second, right positive, finite
/// returns          |bank| < 90 degrees, right positive
Angle bank_for_rate(Tas tas, Angle rate_per_second);

}  // namespace backfield::flight
