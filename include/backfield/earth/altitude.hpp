#pragma once
// Three lengths that are not the same thing: altitude, height and pressure altitude.

#include "backfield/base/units.hpp"

namespace backfield::earth {

/// Vertical distance above mean sea level.
struct Altitude {
  Length above_sea_level;
  friend constexpr auto operator<=>(Altitude, Altitude) = default;
};

/// Vertical distance above a datum that the variable's name or its documentation states; here mostly the elevation
/// of the departure aerodrome.
struct Height {
  Length above_datum;
  friend constexpr auto operator<=>(Height, Height) = default;
};

/// The geopotential altitude at which the standard atmosphere has the pressure in question.
struct PressureAltitude {
  Length in_standard_atmosphere;
  friend constexpr auto operator<=>(PressureAltitude, PressureAltitude) = default;
};

constexpr Height operator-(Altitude a, Altitude datum) { return {a.above_sea_level - datum.above_sea_level}; }
constexpr Altitude operator+(Altitude datum, Height h) { return {datum.above_sea_level + h.above_datum}; }

}  // namespace backfield::earth
