#pragma once
// Every root of a word in a uniform wind.

#include "rendezvous_reach.hpp"

#include <vector>

namespace backfield::flight {

/// A heading at the start and one at the end, a goal seen from the origin, and a wind; of one question or several.
template <class T>
struct UniformErrandOf {
  T begin{}, end{};
  VectorOf<T> begin_ahead, end_ahead;
  VectorOf<T> goal, wind;
  /// Roots outside the word by so much are wanted, too: another wind may bring them inside. Radians; of a straight, the
  /// time of a first turn by as much. At least 1e-9: roots may lie on the edge, and beside it by rounding.
  T slack = T{} + 1e-9;
  /// How far the wind may be from the one that blows, m/s. Near misses by as much are returned, too, as pairs beside
  /// them where two roots may lie that this wind does not show.
  T stray{};
  T soonest{};  ///< no path takes less time; 0 will do
};
struct UniformErrand : UniformErrandOf<double> {
  const Controls* known = nullptr;  ///< a root that need not be found
};

/// Where the paths of a word with a straight are, if any, that do not certainly cost more than a limit.
struct Bounds {
  /// First turns from one to another, and the last turn where the first is 0.
  struct Strip {
    Range firsts;
    double last = 0.0;
  };
  static constexpr int kMany = 99;
  int strips = kMany;    ///< how many there are; 0: no path
  double at_none = 0.0;  ///< last turn where the first is 0, but for full circles
  double room = 0.0;     ///< what the turns may cost
  Range firsts;          ///< first turns, from one in [0, 2 pi), but for full circles
  Strip only;            ///< where there is one
};
/// Appends every root, to 1e-5 rad, within bounds (of this limit or a higher one) with a strip and no root found. Paths
/// that certainly cost more than `limit` may be left out.
void find_two_turns(const Craft& craft, const UniformErrand& errand, Word word, const Bounds& bounds, double limit,
                    std::vector<Controls>& roots);
/// Can three turns reach the goal at all? Both words.
bool within_three_turns(const Craft& craft, const UniformErrand& errand, double limit);
void find_three_turns(const Craft& craft, const UniformErrand& errand, Word word, double limit,
                      std::vector<Controls>& roots);

}  // namespace backfield::flight
