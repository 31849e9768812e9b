#pragma once
// Flies a path again, from its control schedule only: an independent check of the path solver.
//
// It gets the state at the failure, the schedule (load factors, banks, airspeeds, durations), the aircraft data and the
// environment, never a position of the path. It shares the equations of motion with the program and nothing else: air
// and wind come from their own classes, not the solver's tables, and everything is integrated in small fixed time steps
// with Runge-Kutta's fourth-order method.

#include "backfield/aircraft/power.hpp"
#include "backfield/flight/path.hpp"

#include <vector>

namespace backfield::test {

struct Flyer {
  const aircraft::Performance* performance = nullptr;
  double glide_factor = 1.0;
  flight::Model model;
  earth::Environment environment;
  earth::Altitude datum;
  double step_s = 0.05;
  /// A propeller that is feathered after the entry only costs height at once in a path; true: what it costs is flown
  /// instead, and nothing is given away.
  bool fly_late_feathering = false;
  std::optional<aircraft::PowerCondition> power = std::nullopt;  ///< what a path with power until the final has left
};

struct Flown {
  double time_s = 0.0, east_m = 0.0, north_m = 0.0, height_m = 0.0, heading_rad = 0.0;
  double lowest_speed_over_stall = 1e9;  ///< in the entry
};

/// State at the end of the schedule. `at_boundaries`, if given, gets the state after the entry and each segment;
/// `at_steps` the state after every step.
Flown fly_again(const flight::Path& path, const Flyer& flyer, std::vector<Flown>* at_boundaries = nullptr,
                std::vector<Flown>* at_steps = nullptr);

/// Of the states `fly_again` noted: the one at alignment, where the final begins.
const Flown& at_alignment(const flight::Path& path, const std::vector<Flown>& at_boundaries);

}  // namespace backfield::test
