#pragma once
// Newton's method for one word in the wind as it is.

#include "rendezvous_drift.hpp"
#include "rendezvous_lanes.hpp"

#include <array>
#include <optional>

namespace backfield::flight {

/// What is asked: from the origin.
struct Errand {
  double height = 0.0;
  double heading = 0.0;
  Vector begin;  ///< ahead(heading)
  Vector goal;
  double direction = 0.0;
  Vector along;       ///< ahead(direction)
  bool track = true;  ///< `direction` is a track over the ground, else the heading of the air path
  Drift::At air;      ///< where it begins
};

/// Heading less track where a track is held, by its sine. nullopt: cannot be held, or without headway.
std::optional<double> crab_sine(const Errand& errand, double airspeed, const Drift::At& air);

struct Solution {
  Controls controls;
  Vector mean_wind;  ///< blowing all the time it would drift the word as far
};
/// From controls near a root to the root: position to 1e-3 m as integrated, direction to 1e-6 rad, and by one more step
/// of Newton's to the square of that. nullopt when the search does not converge, leaves the word or sees, steps being
/// small, that the root costs more than `limit`.
std::optional<Solution> solve(const Craft& craft, const Drift& drift, const Errand& errand, const Controls& start,
                              double limit);
/// The same for several with a straight at once, without a limit: the same bytes.
using ErrandGroup = std::array<Errand, kLanes>;
std::array<std::optional<Solution>, kLanes> solve_side_by_side(const Craft& craft, const Drift& drift,
                                                               const ErrandGroup& errands,
                                                               const std::array<Controls, kLanes>& starts);

}  // namespace backfield::flight
