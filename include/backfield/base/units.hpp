#pragma once
// Small strong types for the quantities of flight planning.
//
// A value is made by naming its unit (`feet(1200)`) and read by naming a unit (`in_feet(h)`), so a bare number never
// crosses a public boundary. Values are stored in SI. Kernels unwrap at their top into doubles with suffixed names
// (`h_m`, `v_mps`) and wrap again at their end.
//
// Conversion factors are exact by definition unless a source is named beside them.

#include <cmath>

namespace backfield {

/// A scalar with a dimension. `Dimension` is only a name; the stored value is in the SI unit of that dimension.
template <class Dimension>
class Quantity {
 public:
  constexpr Quantity() = default;
  static constexpr Quantity from_si(double value) { return Quantity(value); }
  [[nodiscard]] constexpr double si() const { return si_; }

  constexpr Quantity operator-() const { return Quantity(-si_); }
  constexpr Quantity& operator+=(Quantity other) {
    si_ += other.si_;
    return *this;
  }
  constexpr Quantity& operator-=(Quantity other) {
    si_ -= other.si_;
    return *this;
  }
  friend constexpr Quantity operator+(Quantity a, Quantity b) { return Quantity(a.si_ + b.si_); }
  friend constexpr Quantity operator-(Quantity a, Quantity b) { return Quantity(a.si_ - b.si_); }
  friend constexpr Quantity operator*(Quantity a, double k) { return Quantity(a.si_ * k); }
  friend constexpr Quantity operator*(double k, Quantity a) { return Quantity(a.si_ * k); }
  friend constexpr Quantity operator/(Quantity a, double k) { return Quantity(a.si_ / k); }
  friend constexpr double operator/(Quantity a, Quantity b) { return a.si_ / b.si_; }
  friend constexpr auto operator<=>(Quantity a, Quantity b) = default;

 private:
  explicit constexpr Quantity(double value) : si_(value) {}
  double si_ = 0.0;
};

using Length = Quantity<struct LengthDimension>;                                // metre
using Speed = Quantity<struct SpeedDimension>;                                  // metre per second
using Duration = Quantity<struct DurationDimension>;                            // second
using Mass = Quantity<struct MassDimension>;                                    // kilogram
using Pressure = Quantity<struct PressureDimension>;                            // pascal
using Volume = Quantity<struct VolumeDimension>;                                // cubic metre
using Density = Quantity<struct DensityDimension>;                              // kilogram per cubic metre
using MassFlow = Quantity<struct MassFlowDimension>;                            // kilogram per second
using Angle = Quantity<struct AngleDimension>;                                  // radian
using Temperature = Quantity<struct TemperatureDimension>;                      // kelvin, absolute
using TemperatureDifference = Quantity<struct TemperatureDifferenceDimension>;  // kelvin

inline constexpr double kPi = 3.14159265358979323846;
inline constexpr double kMetresPerFoot = 0.3048;          // International yard and pound agreement, 1959
inline constexpr double kMetresPerNauticalMile = 1852.0;  // First Extraordinary Hydrographic Conference, Monaco 1929
inline constexpr double kKilogramsPerPound = 0.45359237;  // International yard and pound agreement, 1959
inline constexpr double kCubicMetresPerUsGallon = 3.785411784e-3;  // 231 cubic inches
inline constexpr double kPascalsPerInchOfMercury = 3386.389;       // at 0 degC, the value altimetry uses
inline constexpr double kMetresPerSecondPerKnot = kMetresPerNauticalMile / 3600.0;
inline constexpr double kStandardGravity = 9.80665;  // m/s2, ISO 2533

constexpr Length metres(double v) { return Length::from_si(v); }
constexpr Length feet(double v) { return Length::from_si(v * kMetresPerFoot); }
constexpr Length nautical_miles(double v) { return Length::from_si(v * kMetresPerNauticalMile); }
constexpr double in_metres(Length v) { return v.si(); }
constexpr double in_feet(Length v) { return v.si() / kMetresPerFoot; }
constexpr double in_nautical_miles(Length v) { return v.si() / kMetresPerNauticalMile; }

constexpr Speed metres_per_second(double v) { return Speed::from_si(v); }
constexpr Speed knots(double v) { return Speed::from_si(v * kMetresPerSecondPerKnot); }
constexpr Speed kilometres_per_hour(double v) { return Speed::from_si(v / 3.6); }
constexpr Speed miles_per_hour(double v) { return Speed::from_si(v * 0.44704); }
constexpr Speed feet_per_minute(double v) { return Speed::from_si(v * kMetresPerFoot / 60.0); }
constexpr double in_metres_per_second(Speed v) { return v.si(); }
constexpr double in_knots(Speed v) { return v.si() / kMetresPerSecondPerKnot; }
constexpr double in_feet_per_minute(Speed v) { return v.si() * 60.0 / kMetresPerFoot; }

constexpr Duration seconds(double v) { return Duration::from_si(v); }
constexpr Duration minutes(double v) { return Duration::from_si(v * 60.0); }
constexpr double in_seconds(Duration v) { return v.si(); }

constexpr Mass kilograms(double v) { return Mass::from_si(v); }
constexpr Mass pounds(double v) { return Mass::from_si(v * kKilogramsPerPound); }
constexpr double in_kilograms(Mass v) { return v.si(); }
constexpr double in_pounds(Mass v) { return v.si() / kKilogramsPerPound; }

constexpr Volume litres(double v) { return Volume::from_si(v * 1e-3); }
constexpr Volume us_gallons(double v) { return Volume::from_si(v * kCubicMetresPerUsGallon); }
constexpr double in_litres(Volume v) { return v.si() * 1e3; }
constexpr Density kilograms_per_litre(double v) { return Density::from_si(v * 1e3); }
constexpr double in_kilograms_per_litre(Density v) { return v.si() * 1e-3; }
constexpr MassFlow kilograms_per_hour(double v) { return MassFlow::from_si(v / 3600.0); }
constexpr double in_kilograms_per_hour(MassFlow v) { return v.si() * 3600.0; }

constexpr Pressure pascals(double v) { return Pressure::from_si(v); }
constexpr Pressure hectopascals(double v) { return Pressure::from_si(v * 100.0); }
constexpr Pressure inches_of_mercury(double v) { return Pressure::from_si(v * kPascalsPerInchOfMercury); }
constexpr double in_pascals(Pressure v) { return v.si(); }
constexpr double in_hectopascals(Pressure v) { return v.si() / 100.0; }
constexpr double in_inches_of_mercury(Pressure v) { return v.si() / kPascalsPerInchOfMercury; }

constexpr Angle radians(double v) { return Angle::from_si(v); }
constexpr Angle degrees(double v) { return Angle::from_si(v * kPi / 180.0); }
constexpr double in_radians(Angle v) { return v.si(); }
constexpr double in_degrees(Angle v) { return v.si() * 180.0 / kPi; }

constexpr Temperature kelvins(double v) { return Temperature::from_si(v); }
constexpr Temperature celsius(double v) { return Temperature::from_si(v + 273.15); }
constexpr Temperature fahrenheit(double v) { return Temperature::from_si((v - 32.0) / 1.8 + 273.15); }
constexpr double in_kelvins(Temperature v) { return v.si(); }
constexpr double in_celsius(Temperature v) { return v.si() - 273.15; }
constexpr double in_fahrenheit(Temperature v) { return (v.si() - 273.15) * 1.8 + 32.0; }
constexpr TemperatureDifference celsius_degrees(double v) { return TemperatureDifference::from_si(v); }
constexpr Temperature operator+(Temperature t, TemperatureDifference d) { return kelvins(t.si() + d.si()); }
constexpr TemperatureDifference difference(Temperature a, Temperature b) { return celsius_degrees(a.si() - b.si()); }

/// Time to cover a distance, and the other two ways round.
constexpr Duration operator/(Length d, Speed v) { return seconds(d.si() / v.si()); }
constexpr Speed operator/(Length d, Duration t) { return metres_per_second(d.si() / t.si()); }
constexpr Length operator*(Speed v, Duration t) { return metres(v.si() * t.si()); }
constexpr Length operator*(Duration t, Speed v) { return metres(v.si() * t.si()); }

constexpr Mass operator*(Volume v, Density d) { return kilograms(v.si() * d.si()); }
constexpr Mass operator*(MassFlow f, Duration t) { return kilograms(f.si() * t.si()); }

/// Calibrated and true airspeed are both speeds; mixing them is the classic slip, so they do not convert by accident.
/// The conversion needs a density: earth/atmosphere.hpp.
struct Cas {
  Speed value;
  friend constexpr auto operator<=>(Cas, Cas) = default;
};
struct Tas {
  Speed value;
  friend constexpr auto operator<=>(Tas, Tas) = default;
};

}  // namespace backfield
