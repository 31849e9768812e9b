#pragma once
// Weather in a case file: a METAR, plain fields, or a METAR completed by fields.

#include "fields.hpp"

#include "backfield/decision/case.hpp"

namespace backfield::io {

/// A wind as a person types it, before the variation is known.
struct TypedWind {
  std::optional<Bearing> from;  ///< none: calm or variable
  Speed mean{};
  std::optional<Speed> gust;
  std::optional<std::pair<Bearing, Bearing>> sector;
};

/// "calm", "variable 3 kt", "360 deg true 15 kt gusting 25 kt varying 330 deg to 030 deg".
Parsed<TypedWind> parse_wind(std::string_view text);
inline constexpr const char* kAcceptedWind =
    R"("calm", "variable 3 kt", or a direction with its reference and a speed, )"
    R"(such as "270 deg true 15 kt" or "270 deg magnetic 15 kt gusting 25 kt")";

/// Reads `weather`.
/// variation   east positive; a magnetic wind without it is refused
/// elevation   of the departure aerodrome, for levels given as altitudes
/// station     of the departure aerodrome: a METAR from elsewhere is warned about
/// departure   when it is; none: not stated, and the time of a METAR is not looked at
std::optional<decision::Weather> read_weather(const Value& value, const std::optional<Angle>& variation,
                                              const std::optional<earth::Altitude>& elevation,
                                              const std::string& station,
                                              const std::optional<earth::Instant>& departure);

}  // namespace backfield::io
