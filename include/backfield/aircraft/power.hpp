#pragma once
// What is left of the power, and what the aeroplane does with it. The only place where thrust comes from.
//
// Total loss, partial loss, one engine out and full power are one model: the drag of the glide and what the engines
// that still run put against it,
//
//   (D-T)/W = (v^2 + n^2/v^2)/(2E) - P/(W V) - T0/W
//
// A propeller gives a power P that is the same at every speed, a jet a thrust T0 that is. Either is calibrated from
// the rate of climb that the aircraft file states for the condition, so that at its own speed the file's figure comes
// out again; the drag of a dead engine and of the rudder against it are in that figure, and so in P.
//
// source      climb as excess power over weight, and the parabolic drag polar: any text on aircraft performance
// accuracy    small angles: a gradient of 10 % is given 0.5 % too steep (of itself), and bank, which costs (n^2 - 1) of
//             induced drag, is exact in n

#include "backfield/aircraft/performance.hpp"

namespace backfield::aircraft {

enum class PowerLeft {
  none,            ///< total loss
  fraction,        ///< a share of the full power; singles
  one_engine_out,  ///< the file's own table for it; twins
  all
};
constexpr const char* name_of(PowerLeft left) {
  switch (left) {
    case PowerLeft::none:
      return "none";
    case PowerLeft::fraction:
      return "partial";
    case PowerLeft::one_engine_out:
      return "one engine out";
    case PowerLeft::all:
      return "all";
  }
  return "";
}

struct PowerCondition {
  PowerLeft left = PowerLeft::none;
  double fraction = 0.0;      ///< of full power, 0..1; with PowerLeft::fraction only
  double climb_factor = 1.0;  ///< on the file's rate of climb, the policy's or a world's; > 0
};

/// Per unit of weight.
struct Thrust {
  double power_mps = 0.0;  ///< P/W
  double thrust = 0.0;     ///< T0/W
  /// Over weight at a true airspeed (m/s).
  [[nodiscard]] double at(double tas_mps) const { return power_mps / tas_mps + thrust; }
};

/// What the engines left put against the drag, at the mass and in the air of `conditions`.
///
/// returns     outside, with axis and end named, where the file's table of the rate of climb ends or was never stated.
///             Negative where the file sinks faster than its own glide: more drag than the clean polar knows of
/// test        tests/reference/power_test.cpp
Lookup<Thrust> thrust_left(const Performance& performance, const Conditions& conditions,
                           const PowerCondition& condition);

/// Steady rate of climb (sink negative) at a held airspeed and bank, clean: excess power over weight.
///
/// cas         > 0
/// bank        magnitude below 80 degrees
/// returns     outside as thrust_left
Lookup<Speed> excess_power(const Performance& performance, const Conditions& conditions,
                           const PowerCondition& condition, Cas cas, Angle bank);

/// Gradient of a rate of climb in still air: rate over true airspeed, small angles, climbing +.
double still_air_gradient(Speed rate, Tas tas);

}  // namespace backfield::aircraft
