#pragma once
// Places: geodetic, and in the local frame every computation uses.

#include "backfield/earth/direction.hpp"

namespace backfield::earth {

/// WGS 84 latitude (north positive, -90..90 degrees) and longitude (east positive, -180..180 degrees).
struct Geodetic {
  Angle latitude;
  Angle longitude;
};

/// Metres east and north of the frame's origin, along the Earth's surface.
struct Position {
  Length east;
  Length north;
};

inline Length distance(Position a, Position b) {
  return metres(std::hypot((a.east - b.east).si(), (a.north - b.north).si()));
}

/// The point `along` metres in direction `towards` and `right` metres to the right of it.
inline Position offset(Position from, TrueDirection towards, Length along, Length right = metres(0)) {
  const double s = std::sin(towards.angle().si());
  const double c = std::cos(towards.angle().si());
  return {from.east + along * s + right * c, from.north + along * c - right * s};
}

/// Largest relative error of a distance between two places within 60 km of a frame's origin (d^2/6R^2 = 1.5e-5).
inline constexpr double kFrameDistanceError = 2e-5;

/// Azimuthal equidistant frame about a departure aerodrome: distances and bearings from the origin are exact on the
/// ellipsoid (to rounding), and everything within 60 km is true to kFrameDistanceError. Holds on every latitude,
/// poles and antimeridian included; farther out only what is measured from the origin stays exact.
///
/// Places with a latitude beyond +-90 degrees or a value that is not finite throw std::logic_error.
///
/// Vertical figures never come from this frame: they stay altitudes above mean sea level (a tangent plane would be
/// 280 m off at 60 km).
///
/// accuracy    against geodesics on WGS 84 (tests/reference/frame_test.cpp)
/// source      C. F. F. Karney, Algorithms for geodesics, J. Geodesy 87, 43-55 (2013), sec. 8, by way of GeographicLib
class LocalFrame {
 public:
  /// Throws std::logic_error unless -90 <= latitude <= 90 and both are finite.
  explicit LocalFrame(Geodetic origin);
  [[nodiscard]] Geodetic origin() const { return origin_; }
  [[nodiscard]] Position to_local(Geodetic place) const;
  [[nodiscard]] Geodetic to_geodetic(Position place) const;
  /// A true bearing at `place`, turned into the frame, whose north is the origin's (meridians converge: 0.9 degrees at
  /// 60 km east on latitude 60). The straight line it starts in the frame stays within 0.01 degrees of the geodesic.
  [[nodiscard]] TrueDirection to_local(Geodetic place, TrueDirection bearing_there) const;
  [[nodiscard]] TrueDirection to_geodetic(Position place, TrueDirection bearing_in_frame) const;

 private:
  Geodetic origin_;
};

/// Length and initial bearing of the geodesic on WGS 84.
struct Geodesic {
  Length length;
  TrueDirection initial_bearing;
};
Geodesic geodesic(Geodetic from, Geodetic to);
/// The place `length` along the geodesic that leaves `from` at `bearing`.
Geodetic destination(Geodetic from, TrueDirection bearing, Length length);

}  // namespace backfield::earth
