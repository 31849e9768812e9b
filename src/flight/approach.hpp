#pragma once
// The exact tier of the path solver: from the start of a straight leg to a goal, flown step by step: straight, line-up
// turn, final. What is claimed comes from here.

#include "connection.hpp"
#include "screen.hpp"

namespace backfield::flight {

/// Solves words for one target; where to begin looking it takes from the screen.
class Approach {
 public:
  Approach(const Glider& glider, const Style& style, const Screen& screen)
      : glider_(&glider), style_(&style), screen_(&screen) {}

  /// The path of the same word and family as `like` at another value of its parameter.
  [[nodiscard]] Connection again(const PathFinder::Fan& fan, const PathFinder::Target& target, const Connection& like,
                                 double value) const;
  /// The path whose straight starts at `leaf`: Screen::by_heading, flown.
  [[nodiscard]] Connection by_heading(const Leaf& leaf, int first_sense, int last_sense,
                                      const PathFinder::Target& target) const;
  /// The line-up turn of `c` from `p`, ending on the heading that holds the runway's track at its crab_height. Returns
  /// the angle turned.
  double line_up(const PathFinder::Target& target, const Connection& c, Point& p, std::vector<Segment>* segments) const;

 private:
  [[nodiscard]] Connection by_time(const PathFinder::Fan& fan, const Connection& about,
                                   const PathFinder::Target& target) const;

  const Glider* glider_;
  const Style* style_;
  const Screen* screen_;
};

}  // namespace backfield::flight
