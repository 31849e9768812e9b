#pragma once
// Every root of a word in a uniform wind.

#include "rendezvous_word.hpp"

#include <optional>
#include <vector>

namespace backfield::flight {

/// A heading at the start and one at the end, a goal seen from the origin, and a wind.
struct UniformErrand {
  double begin = 0.0, end = 0.0;
  Vector begin_ahead, end_ahead;
  Vector goal, wind;
  /// Roots outside the word by so much are wanted, too: another wind may bring them inside. Radians; of a straight, the
  /// time of a first turn by as much. At least 1e-9: roots may lie on the edge, and beside it by rounding.
  double slack = 1e-9;
  /// How far the wind may be from the one that blows, m/s. Near misses by as much are returned, too, as pairs beside
  /// them where two roots may lie that this wind does not show.
  double stray = 0.0;
  double soonest = 0.0;             ///< no path takes less time; 0 will do
  const Controls* known = nullptr;  ///< a root that need not be found
};

/// Appends every root, to 1e-5 rad. Paths that certainly cost more than `limit` may be left out.
void find_two_turns(const Craft& craft, const UniformErrand& errand, Word word, double limit,
                    std::vector<Controls>& roots);
/// A straight between two turns as in calm air, to a goal moved against the wind for about as long as that takes;
/// nullopt when the circles overlap.
std::optional<Controls> guess_two_turns(const Craft& craft, const UniformErrand& errand, Word word);
void find_three_turns(const Craft& craft, const UniformErrand& errand, Word word, double limit,
                      std::vector<Controls>& roots);

}  // namespace backfield::flight
