#pragma once
// What is kept from every requirement on clearance.

#include "backfield/base/units.hpp"

namespace backfield::flight {

inline constexpr double kReserveHeight_m = 2.0 * kMetresPerFoot;  // what a path flown again may be lower by ...
inline constexpr double kReserveAside_m = 2.0;                    // ... and off to the side

}  // namespace backfield::flight
