#pragma once
// The air and the ground of one world, as flight sees them.

#include "backfield/earth/atmosphere.hpp"
#include "backfield/earth/wind.hpp"

namespace backfield::earth {

/// Flat ground at the elevation of the departure aerodrome; terrain and obstacles join here.
struct Environment {
  Air air;
  WindProfile wind;
};

}  // namespace backfield::earth
