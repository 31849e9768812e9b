#pragma once
// Degrees on a grid of latitude and longitude.

#include "backfield/earth/position.hpp"

#include <cmath>

namespace backfield::earth {

// No degree on WGS 84 is shorter: of latitude on the equator, of longitude for the cosine of the geodetic latitude.
inline constexpr double kNorthPerDegree_m = 110'574.0;
inline constexpr double kEastPerDegree_m = 111'319.0;

/// Degrees of longitude from `origin` to `place`, the short way.
inline double east_of(Geodetic place, Geodetic origin) {
  return std::remainder(in_degrees(place.longitude - origin.longitude), 360.0);
}

}  // namespace backfield::earth
