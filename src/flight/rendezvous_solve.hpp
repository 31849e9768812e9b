#pragma once
// Newton's method for one word in the wind as it is.

#include "rendezvous_errand.hpp"

#include <array>
#include <optional>

namespace backfield::flight {

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
struct SolutionGroup {
  LaneBits found{};
  Turning<Lanes> paths;
  LaneVector mean_wind;
};
SolutionGroup solve_side_by_side(const Craft& craft, const Drift& drift, const ErrandGroup& errands,
                                 const Turning<Lanes>& starts);
/// The same for several starts of a question, of three turns, with a limit.
SolutionGroup solve_three_turns_side_by_side(const Craft& craft, const Drift& drift, const Errand& errand,
                                             const std::array<Controls, kLanes>& starts, double limit);

}  // namespace backfield::flight
