#pragma once
// How high a way has to be over ground of a height, and where along a straight the runway's surroundings are.

#include "clearance_reserves.hpp"

#include "backfield/flight/clearance.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace backfield::flight {

/// What is asked, by height above the runway.
struct Requirement {
  double aligned, over;
  /// Height less what is asked: what ground may rise to. Never falls, and its slope changes at two corners.
  [[nodiscard]] double ceiling(double height) const {
    if (height <= aligned) return height;
    return std::max(0.5 * (height + aligned), height - over);
  }
  /// The lowest height from which the ground is no longer too high.
  [[nodiscard]] double height_for(double ground) const {
    if (ground <= aligned) return ground;
    return std::min(2.0 * ground - aligned, ground + over);
  }
  [[nodiscard]] std::array<double, 2> corners() const { return {aligned, aligned + 2.0 * over}; }
  /// `left` over ground as high as the runway counts for kClearanceOfInterest.
  [[nodiscard]] double margin(double left, double height) const {
    const double flat = ceiling(height) - kReserveHeight_m;
    const double whole = kClearanceOfInterest.si();
    return left <= 0.0 || flat >= whole ? left : left * whole / std::max(flat, kReserveHeight_m);
  }
};

/// The part of a straight that lies within a rectangle: [from, to] of its shares, from > to where there is none.
struct Part {
  double from = 0.0, to = 1.0;
  void cut(double start, double change, double low, double high) {
    if (change == 0.0) {
      if (start < low || start > high) to = -1.0;
      return;
    }
    const double a = (low - start) / change;
    const double b = (high - start) / change;
    from = std::max(from, std::min(a, b));
    to = std::min(to, std::max(a, b));
  }
};

/// Of the straight from a to b, what lies within `by_m` of the runway.
inline Part around(const AtRunway& runway, double by_m, const WayPoint& a, const WayPoint& b) {
  const double s = std::sin(runway.track.angle().si());
  const double c = std::cos(runway.track.angle().si());
  const double e = a.east_m - runway.threshold.east.si();
  const double n = a.north_m - runway.threshold.north.si();
  const double de = b.east_m - a.east_m;
  const double dn = b.north_m - a.north_m;
  Part part;
  part.cut(e * s + n * c, de * s + dn * c, -by_m, runway.length.si() + by_m);
  part.cut(e * c - n * s, de * c - dn * s, -by_m, by_m);
  return part;
}

}  // namespace backfield::flight
