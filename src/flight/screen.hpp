#pragma once
// The quick tier of the path solver: the same words as `approach`, by reading tables instead of flying.
//
// It compares and nominates; what it likes is flown by Approach before anything is claimed. 96 of 100 of its paths are
// aligned within 1 m of the flown ones' height and aim within 10 m of theirs (tests/laws/screen_test.cpp).

#include "connection.hpp"
#include "straight_table.hpp"

namespace backfield::flight {

class Screen {
 public:
  /// Any height.
  static constexpr double kAnything = -1e9;

  Screen(const StraightTable& straights, double level_cas) : straights_(&straights), level_cas_(level_cas) {}

  /// The path whose straight starts at `leaf`. Its length is the only unknown: the line-up turn must end on the axis.
  /// worth       height above the runway: a path that seems to be aligned below it is left at that (Connection::sunk)
  [[nodiscard]] Connection by_heading(const Leaf& leaf, int first_sense, int last_sense,
                                      const PathFinder::Target& target, double worth = kAnything) const;
  /// The path with a straight of `time` whose heading is near the runway's track (`towards`) or its reciprocal. Its
  /// heading is the only unknown. Long straights need this: there a degree of heading moves the end by hundreds of
  /// metres, and when both turns carry the aeroplane equally far to the side any length ends on the axis.
  /// near        a path of the same family, if one is known: looked for in its direction first
  [[nodiscard]] Connection by_time(const PathFinder::Fan& fan, int first_sense, int last_sense, double time,
                                   bool towards, const PathFinder::Target& target,
                                   const Connection* near = nullptr) const;
  /// The change of heading about which those are looked for, by up to kFarthestFromParallel.
  [[nodiscard]] static double parallel(const PathFinder::Fan& fan, int first_sense, bool towards,
                                       const PathFinder::Target& target);
  /// The path of the same word and family as `like` at another value of its parameter.
  [[nodiscard]] Connection again(const PathFinder::Fan& fan, const PathFinder::Target& target, const Connection& like,
                                 double value) const;

  /// Metres across the axis, right +, where a line-up turn that begins at `leaf` ends.
  [[nodiscard]] static double off_at_once(const Leaf& leaf, int last_sense, const PathFinder::Target& target);

  /// How long a straight glide from `p` takes down to a height; 0 from below it.
  [[nodiscard]] double time_down(const Point& p, double height) const;

 private:
  /// end         height at which the line-up turn ends, about: where the looks begin
  [[nodiscard]] Connection by_heading(const Leaf& leaf, int first_sense, int last_sense,
                                      const PathFinder::Target& target, double worth, double end) const;
  const StraightTable* straights_;
  double level_cas_;
};

}  // namespace backfield::flight
