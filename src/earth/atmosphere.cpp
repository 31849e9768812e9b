#include "backfield/earth/atmosphere.hpp"

#include "backfield/base/contract.hpp"

#include <algorithm>

// Symbols
//   h       pressure altitude (m, geopotential)        theta   temperature over T0
//   T0, p0  standard sea level                          delta   pressure over p0
//   L       lapse rate (K/m)                            sigma   density over standard sea level, delta / theta
//   n       g0 / (R L), the exponent of pressure        H11     altitude of the tropopause (m)
// source: ICAO Doc 7488/3 (1993) and ISO 2533:1975, pressure and density in a layer of constant lapse rate and in an
//         isothermal one

namespace backfield::earth {
namespace {

constexpr double kLowest_m = -5000.0;
constexpr double kHighest_m = 20000.0;
constexpr double kTropopause_m = 11000.0;
constexpr double kT0_k = kSeaLevelTemperature.si();
constexpr double kPressureExponent = kStandardGravity / (kGasConstantOfAir * kLapseRate);
constexpr double kTropopauseTheta = 1.0 - kLapseRate * kTropopause_m / kT0_k;
constexpr double kIsothermalScale_m = kGasConstantOfAir * kTropopauseTheta * kT0_k / kStandardGravity;

// A value read back from its own image may leave the range by rounding.
constexpr double kRangeSlack_m = 1e-6;

double in_range_m(double h_m) {
  require(h_m >= kLowest_m - kRangeSlack_m && h_m <= kHighest_m + kRangeSlack_m,
          "the standard atmosphere is used from -5,000 m to 20,000 m only");
  return h_m;
}

double theta_at(double h_m) { return h_m <= kTropopause_m ? 1.0 - kLapseRate * h_m / kT0_k : kTropopauseTheta; }

double tropopause_delta() {
  static const double delta = std::pow(kTropopauseTheta, kPressureExponent);
  return delta;
}

double delta_at(double h_m) {
  if (h_m <= kTropopause_m) return std::pow(theta_at(h_m), kPressureExponent);
  return tropopause_delta() * std::exp((kTropopause_m - h_m) / kIsothermalScale_m);
}

double isothermal_altitude_m(double fraction_of_tropopause_value) {
  return kTropopause_m - kIsothermalScale_m * std::log(fraction_of_tropopause_value);
}

}  // namespace

Temperature standard_temperature(PressureAltitude h) {
  return kelvins(kT0_k * theta_at(in_range_m(h.in_standard_atmosphere.si())));
}

Pressure standard_pressure(PressureAltitude h) {
  return kSeaLevelPressure * delta_at(in_range_m(h.in_standard_atmosphere.si()));
}

double standard_density_ratio(PressureAltitude h) {
  const double h_m = in_range_m(h.in_standard_atmosphere.si());
  return delta_at(h_m) / theta_at(h_m);
}

PressureAltitude pressure_altitude(Pressure p) {
  require(p.si() > 0.0, "a pressure is positive");
  const double delta = p / kSeaLevelPressure;
  const double h_m = delta >= tropopause_delta() ? kT0_k / kLapseRate * (1.0 - std::pow(delta, 1.0 / kPressureExponent))
                                                 : isothermal_altitude_m(delta / tropopause_delta());
  return {metres(in_range_m(h_m))};
}

double density_ratio(Pressure p, Temperature t) {
  require(p.si() > 0.0 && t.si() > 0.0, "pressure and absolute temperature are positive");
  return (p / kSeaLevelPressure) * (kT0_k / t.si());
}

Length density_altitude(double sigma) {
  require(sigma > 0.0, "a density ratio is positive");
  static const double tropopause_sigma = tropopause_delta() / kTropopauseTheta;
  const double h_m = sigma >= tropopause_sigma
                         ? kT0_k / kLapseRate * (1.0 - std::pow(sigma, 1.0 / (kPressureExponent - 1.0)))
                         : isothermal_altitude_m(sigma / tropopause_sigma);
  return metres(in_range_m(h_m));
}

Air::Air(Pressure qnh, Altitude elevation, Temperature temperature, DensityRule rule)
    : qnh_(qnh), elevation_(elevation), temperature_(temperature), rule_(rule) {
  require(in_hectopascals(qnh) >= 870.0 && in_hectopascals(qnh) <= 1085.0, "QNH lies in 870..1085 hPa");
  const double elevation_m = elevation.above_sea_level.si();
  require(elevation_m >= -1000.0 && elevation_m <= 9000.0, "an aerodrome lies at -1,000..9,000 m");
  require(in_celsius(temperature) >= -100.0 && in_celsius(temperature) <= 70.0, "temperature lies in -100..+70 degC");
  station_pressure_altitude_m_ = elevation_m + pressure_altitude(qnh).in_standard_atmosphere.si();
  station_sigma_ = delta_at(station_pressure_altitude_m_) * kT0_k / temperature.si();
}

// The departure from standard temperature is the same at every true altitude: the standard lapse rate up to 11 km,
// constant above. ("True altitude" and "pressure altitude" of the tropopause differ by some hundred metres on a day
// that is not standard; nothing but a jet's last minutes gets there.)
Temperature Air::temperature_at(Altitude a) const {
  const double a_m = in_range_m(a.above_sea_level.si());
  return kelvins(temperature_.si() + kT0_k * (theta_at(a_m) - theta_at(elevation_.above_sea_level.si())));
}

// Hydrostatic balance dp/p = -g0 dz/(R T) says that pressure altitude and true altitude climb in the ratio of standard
// to real temperature: dh/dz = T_standard(h)/T(z). With the same lapse rate in both, T_standard(h(z))/T(z) is constant,
// so the integral is linear; no power is needed, and the aerodrome comes out exactly.
PressureAltitude Air::pressure_altitude_at(Altitude a) const {
  const double a_m = in_range_m(a.above_sea_level.si());
  const double up_m = a_m - elevation_.above_sea_level.si();
  const double h_m =
      station_pressure_altitude_m_ + kT0_k * theta_at(station_pressure_altitude_m_) / temperature_.si() * up_m;
  if (a_m <= kTropopause_m && h_m <= kTropopause_m) return {metres(in_range_m(h_m))};

  // One of the two columns has become isothermal: pressure in the real column first, then its standard altitude.
  const double lapse_top_m = std::min(a_m, kTropopause_m);
  const double top_t_k = temperature_at({metres(lapse_top_m)}).si();
  const double delta = delta_at(station_pressure_altitude_m_) *
                       std::pow(top_t_k / temperature_.si(), kPressureExponent) *
                       std::exp((lapse_top_m - a_m) * kStandardGravity / (kGasConstantOfAir * top_t_k));
  return pressure_altitude(kSeaLevelPressure * delta);
}

double Air::sigma(Altitude a) const {
  if (rule_ == DensityRule::aerodrome) return station_sigma_;
  return delta_at(pressure_altitude_at(a).in_standard_atmosphere.si()) * kT0_k / temperature_at(a).si();
}

Length Air::density_altitude_at_aerodrome() const { return density_altitude(station_sigma_); }

}  // namespace backfield::earth
