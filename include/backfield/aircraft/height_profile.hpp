#pragma once
// Height and speed over distance along a take-off path: height straight between knots, and the square of speed.

#include "backfield/base/units.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace backfield::aircraft {

struct HeightProfile {
  struct Knot {
    Length distance;  ///< from brake release, over the ground
    Length height;    ///< above the aerodrome
    Speed tas{};      ///< true airspeed there
  };
  std::vector<Knot> knots;  ///< distances rising; where two are equal the height jumps
  double beyond = 0.0;      ///< height for each unit of distance after the last knot, climbing +

  /// Before the first knot it is not relied on to be off the ground: zero. At a jump, the height after it.
  /// test        tests/unit/height_profile_test.cpp
  [[nodiscard]] Length at(Length distance) const {
    const auto next = std::upper_bound(knots.begin(), knots.end(), distance,
                                       [](Length d, const Knot& knot) { return d < knot.distance; });
    if (next == knots.begin()) return {};
    const Knot& a = *(next - 1);
    if (next == knots.end()) return a.height + (distance - a.distance) * beyond;
    return a.height + (next->height - a.height) * ((distance - a.distance) / (next->distance - a.distance));
  }

  /// Before the first knot its speed, after the last one that one's: as with one acceleration between two knots.
  /// test        tests/unit/height_profile_test.cpp
  [[nodiscard]] Speed tas_at(Length distance) const {
    const auto next = std::upper_bound(knots.begin(), knots.end(), distance,
                                       [](Length d, const Knot& knot) { return d < knot.distance; });
    if (knots.empty()) return {};
    if (next == knots.begin()) return next->tas;
    const Knot& a = *(next - 1);
    if (next == knots.end()) return a.tas;
    const double share = (distance - a.distance) / (next->distance - a.distance);
    const double low = a.tas.si() * a.tas.si();
    return metres_per_second(std::sqrt(low + (next->tas.si() * next->tas.si() - low) * share));
  }
};

}  // namespace backfield::aircraft
