#pragma once
// The bracket: the worlds every verdict must survive.

#include "backfield/decision/case.hpp"
#include "backfield/earth/environment.hpp"

#include <string>
#include <vector>

namespace backfield::decision {

/// Roll, climb, path and stop in one and the same air.
struct World {
  std::string name;
  earth::Environment environment;
  double climb_factor = 1.0;
  [[nodiscard]] earth::WindVector surface_wind() const { return environment.wind.surface(); }
};

/// The worlds of the policy for the wind of the case; the first one is the plan.
///
/// A reported sector of direction replaces the shifts: one world at each end of it. When the report is calm or
/// variable, direction and strength say nothing, so the wind rules are replaced by one world for each of the policy's
/// calm directions (counted from the departure track) with the strongest of report, gust and the policy's calm speed;
/// worlds that change the climb stay.
std::vector<World> bracket(const Case& the_case);

}  // namespace backfield::decision
