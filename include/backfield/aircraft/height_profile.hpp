#pragma once
// Height over distance along a take-off path: straight between knots.

#include "backfield/base/units.hpp"

#include <algorithm>
#include <vector>

namespace backfield::aircraft {

struct HeightProfile {
  struct Knot {
    Length distance;  ///< from brake release, over the ground
    Length height;    ///< above the aerodrome
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
};

}  // namespace backfield::aircraft
