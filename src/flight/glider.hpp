#pragma once
// Steady gliding flight in steps: the arithmetic under the path solver.
//
// One step takes density at its middle height and the mean of wind and shear over it, and treats airspeed, flight-path
// angle and turn rate as constant; position along an arc is then exact (a circle in the air, carried by the wind). In
// air that does not change with height a step of any length is exact. Otherwise a straight goes from node to node of
// the medium, between which the wind is linear, an arc in steps of up to 5 degrees that end on nodes as well, and a
// roll in parts that are shorter where a node may lie within their reach. A step that meets a node is flown from layer
// to layer: where the shear jumps, a mean over height is none over time. A level that lifts it from below and lets it
// sink from above holds it (tests/laws/reflight_test.cpp holds the sum of all errors to 2 m and 2 ft).
//
// Rejected: Runge-Kutta in time, which needs four samples of air a step and is still not exact in uniform air.

#include "backfield/flight/equations.hpp"
#include "medium.hpp"

#include <cmath>

namespace backfield::flight {

/// Metres, seconds, radians; height above the departure elevation. Sine and cosine of the heading go along: they are
/// turned with it, which is cheaper than asking for them again at every step.
struct Point {
  double t = 0.0, e = 0.0, n = 0.0, h = 0.0, psi = 0.0;
  double s = 0.0, c = 1.0;
};
inline Point make_point(const Point& at, double psi) {
  Point p = at;
  p.psi = psi;
  p.s = std::sin(psi);
  p.c = std::cos(psi);
  return p;
}

using equations::Trim;

/// A bank held, with what the equations need of it.
struct HeldBank {
  double bank = 0.0;           ///< magnitude
  double cas = 0.0;            ///< flown in it
  double radius_per_V2 = 0.0;  ///< 1 / (g tan(bank))
  Trim trim;
};

struct Attitude {
  double bank = 0.0;  ///< magnitude
  double cas = 0.0;
};

/// Rolling between wings level and a bank while the calibrated airspeed changes.
struct Ramp {
  static constexpr int kParts = 4;  ///< for any roll: the end of a turn must not jump where the number of parts changes
  double duration = 0.0;
  double bank_from = 0.0, bank_to = 0.0;  ///< magnitudes
  double cas_from = 0.0, cas_to = 0.0;
  double tan[kParts] = {};       ///< means over each part
  double tan_rise[kParts] = {};  ///< from its start to its end
  Trim trim[kParts];             ///< in the middle of each part, bank averaged over it
  double gain = 0.0;             ///< heading gained where true and calibrated airspeed are the same
};
/// From its end back to its beginning.
Ramp reversed(Ramp ramp);

enum class Time { forwards, backwards };

/// How what is left of the engines pushes: with the same power at every speed, or the same thrust.
enum class Propulsion { none, propeller, jet };

class Glider {
 public:
  /// parasite    factor of the configuration, 1 clean
  Glider(const Medium& medium, double best_glide_cas, double glide_ratio, const Model& model, double parasite = 1.0)
      : medium_(&medium),
        vbg_(best_glide_cas),
        E_(glide_ratio),
        parasite_(parasite),
        level_(equations::trim(best_glide_cas, best_glide_cas, 1.0, parasite, glide_ratio)),
        angle_(model.angle) {}
  /// The same with what the medium's air says the engines left push with, wings level at `level_cas`.
  [[nodiscard]] Glider powered(Propulsion propulsion, double level_cas) const {
    Glider g = *this;
    g.propulsion_ = propulsion;
    g.level_ = trim(level_cas, 1.0);
    return g;
  }

  [[nodiscard]] const Medium& medium() const { return *medium_; }
  [[nodiscard]] double best_glide_cas() const { return vbg_; }
  [[nodiscard]] double level_cas() const { return level_.cas; }  ///< flown wings level
  [[nodiscard]] bool is_powered() const { return propulsion_ != Propulsion::none; }
  [[nodiscard]] bool is_powered_by_propeller() const { return propulsion_ == Propulsion::propeller; }
  /// Over weight at a true airspeed.
  [[nodiscard]] double thrust(const AirSample& air, double V) const {
    return propulsion_ == Propulsion::none ? 0.0 : propulsion_ == Propulsion::propeller ? air.push / V : air.push;
  }
  /// Drag of a trim that thrust does not make up for.
  [[nodiscard]] Trim net(const Trim& trim, const AirSample& air, double V) const {
    return is_powered() ? equations::with_thrust(trim, thrust(air, V)) : trim;
  }
  [[nodiscard]] double glide_ratio() const { return E_; }

  /// What one steady descent does at one height and heading.
  struct Rates {
    double V, sin_gamma, cos_gamma;
    AirSample air;
  };
  [[nodiscard]] Rates rates(double h, double sin_psi, double cos_psi, const Trim& trim) const {
    return rates(medium_->at(h), sin_psi, cos_psi, trim);
  }
  [[nodiscard]] Rates rates(const AirSample& air, double sin_psi, double cos_psi, const Trim& trim) const {
    const double V = trim.cas * air.tas_per_cas;
    const double along = air.wind_east_slope * sin_psi + air.wind_north_slope * cos_psi;
    const auto d = equations::steady_descent(V, net(trim, air, V), trim.cas * air.tas_per_cas_slope, along, angle_);
    return {V, d.sin_gamma, d.cos_gamma, air};
  }
  /// Wings level at level_cas(): best glide speed when the power is off.
  [[nodiscard]] const Trim& level() const { return level_; }
  [[nodiscard]] Trim trim(double cas, double sec2) const { return equations::trim(cas, vbg_, sec2, parasite_, E_); }
  [[nodiscard]] HeldBank hold(double bank, double cas) const {
    const double t = std::tan(bank);
    return {bank, cas, 1.0 / (kStandardGravity * t), trim(cas, 1.0 + t * t)};
  }

  /// Turn by `angle` (right +) at a held bank.
  void turn(Point& p, const HeldBank& bank, double angle) const;
  /// The same in one step through the air given, which turns to `sense`; an angle against it is flown backwards in
  /// time. Returns the height lost per radian of `angle`.
  double arc(Point& p, const HeldBank& bank, int sense, double angle, const AirSample& air) const;
  /// Straight on for `time`, wings level.
  void straight(Point& p, const Trim& trim, double time) const;
  /// Roll in or out in direction `sense` (+1 right). Backwards in time, `ramp` is given as it is met: from its end.
  void roll(Point& p, const Ramp& ramp, int sense, Time time = Time::forwards) const;

  /// From one bank and airspeed to another.
  [[nodiscard]] Ramp make_ramp(const Attitude& from, const Attitude& to, double roll_rate) const;
  /// Does the wind's change with height jump between two heights so that a roll-out may hover there?
  [[nodiscard]] bool may_hover(double bottom, double top) const;
  /// Heading gained by a ramp at a height.
  [[nodiscard]] double ramp_gain(const Ramp& r, double h) const { return r.gain / medium_->at(h).tas_per_cas; }

 private:
  /// Of one part of a roll between two heights.
  [[nodiscard]] int roll_steps(double top, double bottom, double tas) const;

  const Medium* medium_;
  double vbg_;
  double E_;
  double parasite_;
  Trim level_;
  AngleRule angle_;
  Propulsion propulsion_ = Propulsion::none;
};

}  // namespace backfield::flight
