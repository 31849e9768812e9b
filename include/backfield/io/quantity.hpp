#pragma once
// Quantities as a person types them: a number, a space, a unit ("68 kt", "29.92 inHg").

#include "backfield/base/units.hpp"
#include "backfield/earth/direction.hpp"
#include "backfield/earth/position.hpp"

#include <optional>
#include <string>
#include <string_view>

namespace backfield::io {

enum class Dimension {
  length,          ///< m, ft, km, NM
  speed,           ///< kt, m/s, km/h, mph
  vertical_speed,  ///< ft/min, m/s
  duration,        ///< s, min
  mass,            ///< kg, lb
  pressure,        ///< hPa, inHg
  temperature,     ///< C, F
  angle,           ///< deg
  angular_rate,    ///< deg/s
  percent,         ///< %; SI value is the plain ratio
  number,          ///< no unit
  arm,             ///< m, cm, mm, in: a lever arm, from the datum of the aircraft
  volume,          ///< l, USgal
  density,         ///< kg/l, lb/USgal
  mass_flow,       ///< kg/h, lb/h
  volume_flow      ///< l/h, USgal/h; SI value in cubic metres a second
};

/// A value or the reason why there is none. Exactly one of `value` and `hint` is meaningful.
template <class T>
struct Parsed {
  std::optional<T> value;
  std::string hint;  ///< how to mend the text, a sentence without its full stop; may be empty

  [[nodiscard]] bool ok() const { return value.has_value(); }
};

/// Reads one number with one unit of the dimension.
///
/// text        decimal point, no thousands separators, no other base; spaces around number and unit do not matter;
///             units are case-sensitive because M, m and NM differ
/// returns     SI value; always finite. Refuses: a missing or unknown unit, a decimal comma, nan, inf, values that a
///             double cannot hold
/// accuracy    the conversion factors of base/units.hpp (tests/unit/quantity_test.cpp)
Parsed<double> parse_quantity(std::string_view text, Dimension dimension);

/// What parse_quantity accepts, for an error message: `a speed in kt, m/s, km/h or mph, such as "68 kt"`.
std::string accepted_quantity(Dimension dimension);

/// Converts a number in the named unit to SI; the unit must be one of the dimension (contract).
double to_si(double value, std::string_view unit, Dimension dimension);

/// A bearing as typed, with its reference, 0..360 degrees: "040 deg true", "270 deg magnetic".
struct Bearing {
  double degrees = 0.0;
  bool magnetic = false;

  /// variation_east   angle from true to magnetic north, east positive
  [[nodiscard]] earth::TrueDirection to_true(Angle variation_east) const;
};
Parsed<Bearing> parse_bearing(std::string_view text);
inline constexpr const char* kAcceptedBearing =
    R"(a bearing of 0 to 360 deg with its reference, such as "040 deg true" or "040 deg magnetic")";

/// Magnetic variation "3 deg E" or "18 deg W", at most 180 degrees; east positive.
Parsed<Angle> parse_variation(std::string_view text);
inline constexpr const char* kAcceptedVariation = R"(a variation such as "3 deg E" or "18 deg W")";

/// A WGS 84 position in decimal degrees, "46.1234 N, 7.5 E".
Parsed<earth::Geodetic> parse_position(std::string_view text);
inline constexpr const char* kAcceptedPosition =
    R"(latitude, then longitude, in decimal degrees, such as "46.1234 N, 7.5000 E")";

}  // namespace backfield::io
