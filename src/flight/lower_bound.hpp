#pragma once
// The height no path can do without: an admissible bound, to reject the hopeless early and to say "certainly none".

#include "approach.hpp"

namespace backfield::flight {

///   h + (V^2 - V_end^2)/2g >= sqrt(d_air^2 + (c Vbg^2/g)^2 dpsi^2) / E'
///
/// for a steady path from the end of an entry. d_air is the least distance through the air (ground distance less all
/// the wind can carry), dpsi the least change of heading (crab included), E' the glide ratio in the kindest slope of
/// density and wind on the path, c covers cos(gamma)^2 of the steepest glide. The entry itself is left out: unloading
/// in the push has less drag than any steady flight.
///
/// source      best glide at every curvature of a parabolic polar: tan(gamma)^2 = (1/E)^2 + (2 K m / R)^2 with
///             m = 2W/(rho g S); integrated along any path, by the triangle inequality
/// test        tests/laws/path_laws_test.cpp attacks it with the exact model
class LowerBound {
 public:
  /// top         no point asked for is higher than this above the departure elevation
  LowerBound(const Glider& glider, const Style& style, const Model& model, const PathFinder::Target& target,
             double top);

  struct Balance {
    double energy = 0.0;  ///< height and speed in hand, as height above the goal's elevation
    double need = 0.0;
    [[nodiscard]] double spare() const { return energy - need; }
  };
  [[nodiscard]] Balance at(const Point& p) const;

 private:
  const PathFinder::Target* target_;
  double E_;           ///< E'
  double speed_;       ///< kinetic height in hand at most
  double per_radian_;  ///< c Vbg^2 / g
  double crab_;        ///< largest angle between heading and track
  double drift_;       ///< ground covered by the wind for each metre of energy height
};

}  // namespace backfield::flight
