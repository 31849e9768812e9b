#pragma once
// Wind. A vector here is always the motion of the air; "from" exists only where a person reads or types.

#include "backfield/earth/altitude.hpp"
#include "backfield/earth/direction.hpp"

#include <vector>

namespace backfield::earth {

/// Motion of the air: towards east and towards north.
struct WindVector {
  Speed towards_east;
  Speed towards_north;

  [[nodiscard]] Speed speed() const { return metres_per_second(std::hypot(towards_east.si(), towards_north.si())); }
  /// Direction the wind comes from, as it is reported. North for calm.
  [[nodiscard]] TrueDirection from() const {
    if (towards_east.si() == 0.0 && towards_north.si() == 0.0) return {};
    return TrueDirection(radians(std::atan2(-towards_east.si(), -towards_north.si())));
  }
  friend constexpr WindVector operator*(WindVector w, double k) { return {w.towards_east * k, w.towards_north * k}; }
};

/// The usual way to state one: direction it comes from, and speed (>= 0).
inline WindVector wind_from(TrueDirection from, Speed speed) {
  return {speed * -std::sin(from.angle().si()), speed * -std::cos(from.angle().si())};
}

/// Headwind (+) or tailwind (-) on a track, and the crosswind blowing from the right (+).
struct WindComponents {
  Speed headwind;
  Speed from_right;
};
inline WindComponents components(WindVector w, TrueDirection track) {
  const double s = std::sin(track.angle().si());
  const double c = std::cos(track.angle().si());
  return {-(w.towards_east * s + w.towards_north * c), -(w.towards_east * c - w.towards_north * s)};
}

/// Heading that holds a track, and the ground speed along it.
/// returns     when the crosswind exceeds the airspeed no heading holds the track: crab NaN, ground speed 0, heading
/// the
///             track itself. A headwind above what is left gives ground_speed <= 0.
/// source      the wind triangle
struct WindTriangle {
  TrueDirection heading;
  Angle crab;  ///< heading minus track, right +
  Speed ground_speed;
};
WindTriangle hold_track(TrueDirection track, Tas tas, WindVector wind);

/// Power law: u = u10 (z/10 m)^exponent.       source: engineering practice for the neutral surface layer
struct PowerLaw {
  double exponent;
};
/// Logarithmic law: u = u10 ln(z/z0)/ln(10 m/z0), 10 m up to `top`; constant above it.
///                                             source: Davenport-Wieringa roughness classes
struct LogLaw {
  Length roughness;
  Length top;
};

/// Largest difference between a law and its samples, as a fraction of the 10 m wind speed: 0.05 kt when 60 kt is
/// reported (tests/unit/wind_test.cpp).
inline constexpr double kLawSamplingError = 0.05 / 60.0;

/// Height at which wind is reported; laws start here.     source: WMO-No. 8, surface wind
inline constexpr Length kWindReportHeight = metres(10);

/// Wind as a function of height above the departure elevation.
///
/// Stored as levels between which the vector is linear; below the lowest level (10 m, where wind is reported) and above
/// the highest it is constant. A law is sampled into levels (kLawSamplingError), so solver and re-flight integrate the
/// very same profile.
///
/// A broken range below throws std::logic_error.
class WindProfile {
 public:
  struct Level {
    Height height;
    WindVector wind;
  };

  static WindProfile uniform(WindVector w);
  /// exponent    0..0.6; the profile stops growing at `top` (default 600 m: the law is a surface-layer law), > 10 m
  static WindProfile power_law(WindVector at_10m, PowerLaw law, Height top = {metres(600)});
  /// roughness   above 0, at most 5 m; top > 10 m
  static WindProfile log_law(WindVector at_10m, LogLaw law);
  /// levels      at least one, strictly rising heights
  static WindProfile levels(std::vector<Level> levels);
  /// The law up to 100 m, then linear to the lowest level aloft, then the levels. When that level is at 100 m or lower
  /// the law is not used: linear from the 10 m wind to it.
  /// aloft       at least one, strictly rising heights, all above 10 m
  static WindProfile joined(WindVector at_10m, PowerLaw law, std::vector<Level> aloft);

  [[nodiscard]] WindVector at(Height above_departure_elevation) const;
  [[nodiscard]] WindVector surface() const { return levels_.front().wind; }
  [[nodiscard]] bool is_uniform() const { return levels_.size() == 1; }
  [[nodiscard]] const std::vector<Level>& data() const { return levels_; }
  [[nodiscard]] WindProfile scaled(double factor) const;
  /// Every vector turned by the same angle, clockwise positive.
  [[nodiscard]] WindProfile turned(Angle right) const;

 private:
  explicit WindProfile(std::vector<Level> levels) : levels_(std::move(levels)) {}
  std::vector<Level> levels_;
};

}  // namespace backfield::earth
