#pragma once
// Directions and bearings. Computation uses true directions only; a magnetic one has to be converted on the way in.

#include "backfield/base/units.hpp"

namespace backfield::earth {

/// Angle brought into [0, 2 pi).
inline Angle wrap_turn(Angle a) {
  double r = std::fmod(a.si(), 2.0 * kPi);
  if (r < 0.0) r += 2.0 * kPi;
  return radians(r >= 2.0 * kPi ? 0.0 : r);
}

/// Angle brought into [-pi, pi): the signed smaller turn, right (clockwise) positive.
inline Angle wrap_signed(Angle a) { return radians(wrap_turn(radians(a.si() + kPi)).si() - kPi); }

/// A bearing clockwise from true north.
class TrueDirection {
 public:
  constexpr TrueDirection() = default;
  explicit TrueDirection(Angle clockwise_from_true_north) : angle_(wrap_turn(clockwise_from_true_north)) {}
  [[nodiscard]] Angle angle() const { return angle_; }             ///< [0, 2 pi)
  [[nodiscard]] double deg() const { return in_degrees(angle_); }  ///< [0, 360)
  [[nodiscard]] TrueDirection reciprocal() const { return TrueDirection(radians(angle_.si() + kPi)); }
  [[nodiscard]] TrueDirection turned(Angle right) const { return TrueDirection(angle_ + right); }

 private:
  Angle angle_{};
};

inline TrueDirection true_degrees(double deg) { return TrueDirection(degrees(deg)); }

/// Signed turn from one direction to another, [-pi, pi), right positive.
inline Angle turn_between(TrueDirection from, TrueDirection to) { return wrap_signed(to.angle() - from.angle()); }

/// A bearing clockwise from magnetic north; useless until the variation is known.
class MagneticDirection {
 public:
  explicit MagneticDirection(Angle clockwise_from_magnetic_north) : angle_(wrap_turn(clockwise_from_magnetic_north)) {}
  /// variation   angle from true to magnetic north, east positive
  [[nodiscard]] TrueDirection to_true(Angle variation_east) const { return TrueDirection(angle_ + variation_east); }
  [[nodiscard]] double deg() const { return in_degrees(angle_); }
  static MagneticDirection from_true(TrueDirection t, Angle variation_east) {
    return MagneticDirection(t.angle() - variation_east);
  }

 private:
  Angle angle_{};
};

}  // namespace backfield::earth
