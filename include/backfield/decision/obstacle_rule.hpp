#pragma once
// How far a net take-off path on one engine has to stay from what stands along the departure track: so much above it,
// or so much beside it.

#include "backfield/base/units.hpp"

#include <string>

namespace backfield::decision {

/// One of the rules that a policy names. Distances grow with D, the distance flown beyond the end of the take-off
/// distance available; before it D is zero.
///
/// test        tests/unit/obstacle_rule_test.cpp, with the sources of the usual numbers
struct ObstacleRule {
  std::string name;
  Length over{};               ///< >= 0, of the net path above the top, at D = 0 ...
  double over_growth = 0.0;    ///< ... and so much more for each unit of D
  Length beside{};             ///< >= 0, from the track, at D = 0: what is further off need not be cleared ...
  double beside_growth = 0.0;  ///< ... and so much more for each unit of D

  [[nodiscard]] Length over_at(Length d) const { return over + d * over_growth; }
  [[nodiscard]] Length beside_at(Length d) const { return beside + d * beside_growth; }
};

}  // namespace backfield::decision
