#pragma once
// The International Standard Atmosphere (troposphere and lower stratosphere) and the air of the day.
//
// source      ISO 2533 / ICAO Doc 7488/3 / U.S. Standard Atmosphere 1976: T0 288.15 K, p0 101325 Pa, lapse 6.5 K/km to
//             11 km geopotential, R 287.05287 J/(kg K), g0 9.80665 m/s2
// accuracy    rows of the standards to their last digit (tests/reference/atmosphere_test.cpp)
//
// All altitudes here are geopotential, as an altimeter's are; geometric height is larger by 0.6 m at 2,000 m and by
// 0.05 % at 3,200 m, which is not modelled.
//
// Whatever leaves its stated range, NaN included, throws std::logic_error: it is a slip in the program, because the
// readers have checked every input.

#include "backfield/base/units.hpp"
#include "backfield/earth/altitude.hpp"

namespace backfield::earth {

inline constexpr Temperature kSeaLevelTemperature = kelvins(288.15);
inline constexpr Pressure kSeaLevelPressure = pascals(101325.0);
inline constexpr double kSeaLevelDensity = 1.225;       // kg/m3, p0 / (R T0)
inline constexpr double kLapseRate = 0.0065;            // K/m
inline constexpr double kGasConstantOfAir = 287.05287;  // J/(kg K)

/// Standard values at a pressure altitude, -5,000 m to 20,000 m (the span of ICAO Doc 7488/3 below its second layer).
Temperature standard_temperature(PressureAltitude h);
Pressure standard_pressure(PressureAltitude h);
/// Density over the standard density at sea level.
double standard_density_ratio(PressureAltitude h);
/// Inverse of standard_pressure; 54.75 to 1,776 hPa.
PressureAltitude pressure_altitude(Pressure p);
/// Density ratio of air at a pressure and temperature.
double density_ratio(Pressure p, Temperature t);
/// The pressure altitude at which the standard atmosphere has this density ratio; 0.0719 to 1.577.
Length density_altitude(double density_ratio);

/// Which density the physics uses: the aerodrome's everywhere (hand arithmetic), or that of the height flown at.
enum class DensityRule { aerodrome, local };

/// The air over (and below) one aerodrome.
///
/// pressure      at the aerodrome, the one that makes an altimeter set to QNH read its elevation; elsewhere hydrostatic
///               in the column of the day
/// temperature   the reported one plus the standard change with altitude, so the departure from standard is the same at
///               every altitude
/// accuracy      exact in that column: pressure altitude within 1e-6 m (tests/laws/earth_laws_test.cpp)
/// source        ICAO Doc 7488/3, barometric equation, integrated from the aerodrome instead of from sea level
class Air {
 public:
  /// qnh           870..1085 hPa; altimeter setting that reads elevation on the ground
  /// elevation     of the aerodrome that reports, -1,000..9,000 m
  /// temperature   outside air temperature at that elevation, -100..+70 degC
  Air(Pressure qnh, Altitude elevation, Temperature temperature, DensityRule rule);

  [[nodiscard]] Pressure qnh() const { return qnh_; }
  [[nodiscard]] Altitude elevation() const { return elevation_; }
  [[nodiscard]] Temperature temperature_at_aerodrome() const { return temperature_; }
  [[nodiscard]] DensityRule rule() const { return rule_; }
  [[nodiscard]] Air with(DensityRule rule) const { return Air(qnh_, elevation_, temperature_, rule); }

  /// Pressure altitude at a true altitude. On the aerodrome exactly elevation + pressure_altitude(QNH); above it the
  /// air column is as warm as the day, so the pressure falls slower or faster than standard.
  [[nodiscard]] PressureAltitude pressure_altitude_at(Altitude a) const;
  [[nodiscard]] Temperature temperature_at(Altitude a) const;
  /// Density ratio the physics uses at `a`, by the rule.
  [[nodiscard]] double sigma(Altitude a) const;
  [[nodiscard]] Length density_altitude_at_aerodrome() const;

 private:
  Pressure qnh_;
  Altitude elevation_;
  Temperature temperature_;
  DensityRule rule_;
  double station_pressure_altitude_m_;
  double station_sigma_;
};

inline Tas to_tas(Cas cas, double sigma) { return {cas.value / std::sqrt(sigma)}; }
inline Cas to_cas(Tas tas, double sigma) { return {tas.value * std::sqrt(sigma)}; }

}  // namespace backfield::earth
