#pragma once
// The distance to an outline by other means than the program's: winding angle and closest points.

#include "backfield/base/units.hpp"
#include "backfield/earth/position.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace backfield::test {

/// Outside positive.
inline double distance_to(const std::vector<earth::Position>& ring, double e, double n) {
  double winding = 0.0;
  double nearest = 1e18;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const auto& a = ring[i];
    const auto& b = ring[(i + 1) % ring.size()];
    const double to_a = std::atan2(a.east.si() - e, a.north.si() - n);
    const double to_b = std::atan2(b.east.si() - e, b.north.si() - n);
    winding += std::remainder(to_b - to_a, 2.0 * kPi);
    const double length = std::hypot((b.east - a.east).si(), (b.north - a.north).si());
    const double ue = (b.east - a.east).si() / length;
    const double un = (b.north - a.north).si() / length;
    const double along = std::min(length, std::max(0.0, (e - a.east.si()) * ue + (n - a.north.si()) * un));
    nearest = std::min(nearest, std::hypot(e - a.east.si() - along * ue, n - a.north.si() - along * un));
  }
  return std::abs(winding) > kPi ? -nearest : nearest;
}

}  // namespace backfield::test
