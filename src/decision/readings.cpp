#include "backfield/decision/assess.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::decision {

Length altimeter_reading(const Case& c, Length height, GateKind kind) {
  const earth::Air air(c.weather.qnh, c.elevation, c.weather.oat, earth::DensityRule::local);
  const earth::Altitude altitude{c.elevation.above_sea_level + height};
  const Length ground = air.pressure_altitude_at(c.elevation).in_standard_atmosphere;
  // The altimeter reads elevation on the ground by the definition of QNH, and nothing on QFE.
  const Length on_ground = c.altimeter == AltimeterSetting::qnh ? c.elevation.above_sea_level : Length{};
  const Length uncorrected = on_ground + height;
  const Length corrected = on_ground + air.pressure_altitude_at(altitude).in_standard_atmosphere - ground;
  return kind == GateKind::opens ? std::max(uncorrected, corrected) : std::min(uncorrected, corrected);
}

Length rounded(Length reading, GateKind kind, Length step) {
  if (step.si() <= 0.0) return reading;
  // A millimetre of tolerance: a reading that is a multiple but for rounding noise stays where it is.
  const double steps = reading / step;
  const double noise = 1e-3 / step.si();
  return step * (kind == GateKind::opens ? std::ceil(steps - noise) : std::floor(steps + noise));
}

}  // namespace backfield::decision
