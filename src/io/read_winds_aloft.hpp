#pragma once
// A forecast of winds aloft in a case file.

#include "fields.hpp"

#include "backfield/decision/case.hpp"

namespace backfield::io {

/// Reads `winds_aloft: {station, text}` into `weather.aloft`: levels at least 1,500 ft above the aerodrome, as heights
/// above it. What is left out is said as an assumption, and so is that the forecast is the station's.
/// air         of the departure aerodrome; none when it is not known: then the text is checked and nothing is kept
/// departure   when it is; none: not stated. A forecast for use at other times of the day is warned about
void read_winds_aloft(const Value& value, const std::optional<earth::Air>& air,
                      const std::optional<earth::Instant>& departure, decision::Weather& weather);

}  // namespace backfield::io
