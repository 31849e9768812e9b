#pragma once
// Where the sun is.
//
//   const Instant departure = *utc(2026, 11, 27, 16, 40);
//   const Angle high = sun_elevation({degrees(47.9), degrees(11.6)}, departure);   // below the horizon negative
//
// source      J. Meeus, Astronomical Algorithms, 2nd ed. 1998: Julian day, eq. 7.1; position of the sun of low
// accuracy,
//             ch. 25, eqs. 25.2 to 25.8; sidereal time at Greenwich, eq. 12.4; altitude, eq. 13.6. Universal time is
//             used for dynamical time: 70 s, in which the sun moves 0.001 degrees.
// accuracy    kSunElevationError for the years 1950 to 2099 against a numerical ephemeris
// (tests/reference/sun_test.cpp)

#include "backfield/base/units.hpp"
#include "backfield/earth/position.hpp"

#include <optional>

namespace backfield::earth {

/// A moment in universal time.
struct Instant {
  double julian_date = 0.0;  ///< days; 2451545.0 is noon of 1 January 2000. To about 0.1 ms as a double.
  friend constexpr auto operator<=>(Instant, Instant) = default;
};
inline Instant operator+(Instant t, Duration d) { return {t.julian_date + in_seconds(d) / 86400.0}; }
inline Duration operator-(Instant a, Instant b) { return seconds((a.julian_date - b.julian_date) * 86400.0); }

/// A moment as a clock in universal time shows it, to the nearest minute.
struct UtcClock {
  int year, month, day, hour, minute;
};
UtcClock clock_of(Instant t);

inline constexpr int kFirstSunYear = 1950;
inline constexpr int kLastSunYear = 2099;

/// year 1950..2099, month 1..12, day of that month, hour 0..23, minute 0..59; otherwise none
std::optional<Instant> utc(const UtcClock& clock);

/// Largest error of `sun_elevation`.
inline constexpr Angle kSunElevationError = degrees(0.02);

/// Elevation of the sun's centre over the horizontal plane, refraction left out: -90 to 90 degrees. Civil twilight ends
/// where this is -6 degrees, and the upper limb is on a flat horizon, refraction counted, at about -0.833 degrees.
/// place       latitude and longitude (east positive) on the ellipsoid
Angle sun_elevation(const Geodetic& place, Instant t);

/// The next moment at which the sun's centre passes an elevation, up or down.
/// within      how far to look ahead, more than zero
/// returns     none when it does not: polar day, polar night, or later
/// accuracy    a second of the model's own time; two passings less than 5 minutes apart are taken as none
std::optional<Instant> next_passing(const Geodetic& place, Instant from, Angle elevation, Duration within);

}  // namespace backfield::earth
